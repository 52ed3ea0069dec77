import type { Book, LoadColumn } from "../../src/book/book.ts";
import { herdColumns, schemaStatements } from "../../src/book/schema.ts";
import type { FlockToTake } from "../../src/intake/flock-settings.ts";
import type { CellTrouble, ReadBatch, RecordBatch, RemarkFound } from "../../src/intake/reading.ts";
import type { SheetToTake } from "../../src/intake/sheet-to-take.ts";
import { stagingStatements } from "../../src/intake/staging.ts";
import type { TakeOptions } from "../../src/intake/take-sheets.ts";
import { takeSheets } from "../../src/intake/take-sheets.ts";
import { parseIsoDay } from "../../src/records/days.ts";
import { type KindId, kinds } from "../../src/records/kinds.ts";
import { defaultSettings, type Settings } from "../../src/records/settings.ts";
import { sha256 } from "../../src/records/sha256.ts";

/** A record as a test writes it: herd columns by name, days as ISO text. */
export type HandMadeRecord = Readonly<Record<string, string | number | boolean | null>>;

export interface HandMadeSheet {
  readonly file: string;
  readonly worksheet?: string | null;
  readonly flock?: string;
  readonly kind: KindId;
  readonly records: readonly HandMadeRecord[];
  /** Row of each record; 2, 3, … where not given. */
  readonly rows?: readonly number[];
  readonly troubles?: readonly Omit<CellTrouble, "kind">[];
  readonly remarks?: readonly RemarkFound[];
  readonly bytes?: string;
  /** How many records the reader says it read, where that shall be wrong. */
  readonly claims?: number;
}

/** A worksheet as the readers would hand it on, without any text to read. */
function handMadeSheet(sheet: HandMadeSheet): SheetToTake {
  const rowOf = (i: number): number => sheet.rows?.[i] ?? i + 2;
  const text = sheet.bytes ?? JSON.stringify([sheet.kind, sheet.records, sheet.troubles ?? []]);
  const columns = Object.keys(Object.assign({}, ...sheet.records)).filter((name) => name !== "flock");
  const seen = new Map<number, number>();
  const records: RecordBatch = {
    kind: sheet.kind,
    size: sheet.records.length,
    rowNo: Int32Array.from(sheet.records, (_, i) => rowOf(i)),
    part: Int32Array.from(sheet.records, (_, i) => {
      const part = seen.get(rowOf(i)) ?? 0;
      seen.set(rowOf(i), part + 1);
      return part;
    }),
    flock: sheet.records.some((record) => "flock" in record)
      ? sheet.records.map((record) => (record.flock as string | undefined) ?? null)
      : null,
    columns: columns.map((name) => loadColumn(sheet.kind, name, sheet.records)),
  };
  const troubles = (sheet.troubles ?? []).map((trouble) => ({ ...trouble, kind: sheet.kind }));
  const lost = new Set(
    troubles.filter(({ loses }) => loses === "record").map(({ rowNo, part }) => `${rowNo} ${part}`),
  );
  const rows = [...new Set([...records.rowNo, ...troubles.map(({ rowNo }) => rowNo)])].sort((a, b) => a - b);
  const batch: ReadBatch = {
    rawRowNo: Int32Array.from(rows),
    rawCells: rows.map((row) =>
      sheet.records.flatMap((record, i) => (rowOf(i) === row ? Object.values(record).map(String) : [])),
    ),
    records: [records],
    read: { [sheet.kind]: sheet.claims ?? records.size + lost.size },
    troubles,
    remarks: sheet.remarks ?? [],
    unmapped: [],
  };
  return {
    flock: sheet.flock ?? "flock",
    file: sheet.file,
    worksheet: sheet.worksheet ?? null,
    sha256: sha256(new TextEncoder().encode(text)),
    correctionsKey: "",
    understanding: {
      layout: "table",
      kinds: [sheet.kind],
      headerRow: 1,
      columns: columns.map((name, index) => ({
        index,
        header: name,
        meaning: { kind: sheet.kind, column: name, foot: null, claw: null },
        unit: null,
        unitFrom: null,
        dayOrder: null,
        decimalMark: null,
        sample: "",
        sureness: "name",
      })),
      animal: null,
    },
    lineTroubles: [],
    batches: () => [batch],
    outcomes: () => [],
    answers: () => [],
  };
}

export async function emptyTables(book: Book): Promise<void> {
  await book.run([...schemaStatements(), ...stagingStatements()].join(";\n"));
}

export interface HandMadeRun extends Partial<TakeOptions> {
  readonly settings?: Partial<Settings>;
  readonly flocks?: readonly FlockToTake[];
}

/** Takes hand-made sheets into a book. */
export async function takeHandMade(book: Book, sheets: readonly HandMadeSheet[], run: HandMadeRun = {}) {
  const { settings, flocks, ...options } = run;
  const one: FlockToTake = {
    flock: "flock",
    settings: { ...defaultSettings, ...settings },
    namedBy: "settings",
  };
  return book.transaction(() =>
    takeSheets(book, flocks ?? [one], sheets.map(handMadeSheet), {
      today: "2024-12-31",
      version: "test",
      verb: "ingest",
      replace: false,
      ...options,
    }),
  );
}

function loadColumn(kind: KindId, name: string, records: readonly HandMadeRecord[]): LoadColumn {
  const cells = records.map((record) => record[name] ?? null);
  const sqlType =
    kind === "corrections"
      ? name === "row"
        ? "INTEGER"
        : "VARCHAR"
      : herdColumns(kinds[kind]).find((column) => column.name === name)?.sqlType;
  switch (sqlType) {
    case "DATE":
      return {
        name,
        type: "day",
        values: Float64Array.from(cells, (cell) => (cell === null ? Number.NaN : parseIsoDay(String(cell))!)),
      };
    case "DOUBLE":
      return {
        name,
        type: "number",
        values: Float64Array.from(cells, (cell) => (cell === null ? Number.NaN : Number(cell))),
      };
    case "INTEGER":
      return {
        name,
        type: "integer",
        values: Float64Array.from(cells, (cell) => (cell === null ? Number.NaN : Number(cell))),
      };
    case "BOOLEAN":
      return { name, type: "flag", values: cells.map((cell) => cell as boolean | null) };
    case "VARCHAR":
      return { name, type: "text", values: cells.map((cell) => (cell === null ? null : String(cell))) };
    default:
      throw new Error(`kind ${kind} has no column ${name}`);
  }
}
