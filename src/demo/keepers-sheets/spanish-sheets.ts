import { type LesionId, lesionKinds } from "../../records/lesion-kinds.ts";
import type { SheetCell, SheetRow, Sheets } from "../sheet-row.ts";
import { dayMonthYear } from "./as-written.ts";

type Table = readonly (readonly SheetCell[])[];
type SpanishColumn = readonly [header: string, cell: (row: SheetRow) => SheetCell];

const feet: Record<string, string> = {
  LF: "delantera izquierda",
  RF: "delantera derecha",
  LH: "trasera izquierda",
  RH: "trasera derecha",
};
const claws: Record<string, string> = { inner: "interno", outer: "externo" };
const sexes: Record<string, string> = { female: "hembra", male: "macho", wether: "castrado" };
const states: Record<string, string> = { found: "encontrada", healing: "sanando", healed: "sanada" };

const plain =
  (column: string) =>
  (row: SheetRow): SheetCell =>
    row[column];
const day =
  (column: string) =>
  (row: SheetRow): SheetCell =>
    dayMonthYear(row[column]) ?? row[column];
const worded =
  (column: string, words: Record<string, string>) =>
  (row: SheetRow): SheetCell =>
    row[column] === null ? null : (words[String(row[column])] ?? row[column]);
const flag = (column: string) => worded(column, { yes: "sí", no: "no" });

const goats: readonly SpanishColumn[] = [
  ["Arete", plain("animal")],
  ["Nombre", plain("name")],
  ["Sexo", worded("sex", sexes)],
  ["Nacimiento", day("born")],
  ["Padre", plain("sire")],
  ["Madre", plain("dam")],
  ["Línea", plain("line")],
  ["Raza", plain("breed")],
];

const trims: readonly SpanishColumn[] = [
  ["Arete", plain("animal")],
  ["Fecha", day("date")],
  ["Pata", worded("foot", feet)],
  ["Dedo", worded("claw", claws)],
  ["Largo antes (mm)", plain("toe_before_mm")],
  ["Largo después (mm)", plain("toe_after_mm")],
  ["Saliente antes (mm)", plain("overhang_before_mm")],
  ["Saliente después (mm)", plain("overhang_after_mm")],
  ["Recortado", flag("trimmed")],
  ["Sangró", flag("bled")],
  ["Recortó", plain("trimmer")],
  ["Midió", plain("measurer")],
  ["Repetición", plain("repeat")],
];

const gaits: readonly SpanishColumn[] = [
  ["Arete", plain("animal")],
  ["Fecha", day("date")],
  ["Marcha", plain("gait")],
  ["Escala de marcha", (row) => String(row.gait_scale).replace("-", " a ")],
  ["Observador", plain("scorer")],
];

const lesions: readonly SpanishColumn[] = [
  ["Arete", plain("animal")],
  ["Fecha", day("date")],
  ["Pata", worded("foot", feet)],
  ["Dedo", worded("claw", claws)],
  ["Lesión", (row) => lesionKinds[row.lesion as LesionId].words.es[0]],
  ["Mal olor", flag("smell")],
  ["Estado", worded("status", states)],
  ["Revisado por", plain("examiner")],
];

const rations: readonly SpanishColumn[] = [
  ["Corral", plain("pen")],
  ["Desde", day("from")],
  ["Hasta", day("to")],
  ["Proteína cruda (%)", plain("crude_protein_pct_dm")],
  ["Cobre (mg/kg)", plain("copper_mg_per_kg_dm")],
  ["Consumo de materia seca (kg)", plain("intake_kg_dm_per_head_day")],
];

const stays: readonly SpanishColumn[] = [
  ["Arete", plain("animal")],
  ["Corral", plain("pen")],
  ["Desde", day("from")],
  ["Hasta", day("to")],
];

/** The flock's sheets with Spanish headers and words, days as day.month.year; one table a file name. */
export function spanishSheets(sheets: Sheets): Readonly<Record<string, Table>> {
  const table = (columns: readonly SpanishColumn[], rows: readonly SheetRow[]): Table => [
    columns.map(([header]) => header),
    ...rows.map((row) => columns.map(([, cell]) => cell(row))),
  ];
  return {
    cabras: table(goats, sheets.animals),
    recortes: table(trims, sheets.trims),
    marcha: table(gaits, sheets.gaits),
    lesiones: table(lesions, sheets.lesions),
    raciones: table(rations, sheets.rations),
    estancias: table(stays, sheets.stays),
  };
}
