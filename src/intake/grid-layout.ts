import { type KindId, kindIds } from "../records/kinds.ts";
import { addDayEvidence, noEvidence, settleDayOrder } from "./day-order.ts";
import { daysWithYear } from "./day-without-year.ts";
import { fold } from "./fold.ts";
import { matchHeader } from "./header-words.ts";
import { type DayOrder, dayParts } from "./read-day.ts";
import type { NumberedRow } from "./sheet-top.ts";

/** A grid: animals down and dates across, or the reverse. */
export interface FoundGrid {
  readonly at: number;
  readonly headers: readonly string[];
  /** `visits`: numbered columns (`Trim 1`, `Trim 2`) of which each cell is the day of a trim. */
  readonly across: "dates" | "animals" | "visits";
  /** Dates across as they read with the year that a title gives; the headers where they name their own. */
  readonly dayTexts: readonly string[];
  /** Whether dates across name no year, and no title or other date gives one. */
  readonly lacksYear: boolean;
  /** The column that names what goes down: the animal, or the day. */
  readonly down: number;
  /** Columns whose header is a date, or a tag. */
  readonly cells: readonly number[];
  /** Plain columns beside them (pen, note). */
  readonly beside: readonly { readonly index: number; readonly column: string }[];
  /** Order of the dates across; null where they tell themselves. */
  readonly dayOrder: DayOrder | null;
}

const ROWS_LOOKED_AT = 30;

/** Finds a grid's header among the first rows; null when there is none. */
export function findGrid(
  rows: readonly NumberedRow[],
  knownAnimals: ReadonlySet<string> | null,
  titlesAbove: (at: number) => readonly string[],
): Omit<FoundGrid, "dayOrder"> | null {
  // under a plain header a row with a blank before dates is a record, not tags across
  let inTable = false;
  for (let at = 0; at < Math.min(ROWS_LOOKED_AT, rows.length - 1); at++) {
    const headers = rows[at]!.cells;
    const below = rows.slice(at + 1);
    const days = daysWithYear(headers, titlesAbove(at));
    const found =
      datesAcross(headers, days.texts, below) ??
      (inTable ? null : animalsAcross(headers, below, knownAnimals)) ??
      visitsAcross(headers, below);
    if (found !== null) {
      const ofDates = found.across === "dates";
      return {
        at,
        headers,
        dayTexts: ofDates ? days.texts : headers,
        lacksYear: ofDates && days.lacksYear,
        ...found,
      };
    }
    inTable ||= isPlainHeader(headers);
  }
  return null;
}

/** The order of the dates across a grid, or the date that reads both ways. */
export function settleGridDays(
  grid: Omit<FoundGrid, "dayOrder">,
  dayFirst: boolean | null,
): FoundGrid | { readonly question: string } {
  if (grid.across !== "dates") return { ...grid, dayOrder: null };
  const evidence = noEvidence();
  for (const index of grid.cells) addDayEvidence(evidence, grid.dayTexts[index]!);
  const settled = settleDayOrder(evidence, dayFirst);
  return "question" in settled ? settled : { ...grid, dayOrder: settled.order };
}

type Placed = Pick<FoundGrid, "across" | "down" | "cells" | "beside">;

function datesAcross(
  headers: readonly string[],
  dayTexts: readonly string[],
  below: readonly NumberedRow[],
): Placed | null {
  const cells = dayTexts.flatMap((text, i) => (isDate(text) ? [i] : []));
  if (cells.length < 2) return null;
  // under a grid's dates stand marks and lengths; a plain row with two dates has dates beneath it
  const under = textsUnder(below, cells);
  if (under.length === 0 || under.filter(isDate).length > under.length / 2) return null;
  const plain = headers.flatMap((header, i) => (cells.includes(i) ? [] : [{ header, i }]));
  const named = plain.find(({ header }) => matchHeader("trims", header)?.column.name === "animal");
  const blank = plain.find(({ header, i }) => header.trim() === "" && textsUnder(below, [i]).length > 0);
  const first = plain.find(({ i }) => i < cells[0]! && textsUnder(below, [i]).length > 0);
  const down = named?.i ?? blank?.i ?? (plain.length === 1 ? first?.i : undefined);
  if (down === undefined) return null;
  return { across: "dates", down, cells, beside: besideColumns(plain, down) };
}

function animalsAcross(
  headers: readonly string[],
  below: readonly NumberedRow[],
  known: ReadonlySet<string> | null,
): Placed | null {
  const down = headers.findIndex(
    (header) => header.trim() === "" || matchHeader("trims", header)?.column.name === "date",
  );
  if (down < 0) return null;
  const daysDown = textsUnder(below, [down]);
  if (daysDown.length === 0 || daysDown.filter(isDate).length < 0.8 * daysDown.length) return null;
  const others = headers.flatMap((header, i) => (i === down || header.trim() === "" ? [] : [{ header, i }]));
  const beside = besideColumns(others, down);
  const rest = others.filter(({ i }) => !beside.some(({ index }) => index === i));
  // a header that names a column stands above a plain table
  if (rest.some(({ header }) => known?.has(header.trim()) !== true && namesColumn(header))) return null;
  const tags = rest.filter(({ header }) => (known === null ? /\d/.test(header) : known.has(header.trim())));
  if (tags.length < 2 || tags.length < 0.6 * rest.length) return null;
  return { across: "animals", down, cells: tags.map(({ i }) => i), beside };
}

/** Whether most cells of a row name columns, as the header of a plain table does. */
function isPlainHeader(cells: readonly string[]): boolean {
  const filled = cells.filter((cell) => cell.trim() !== "");
  const naming = filled.filter(namesColumn).length;
  return naming >= 2 && naming > filled.length / 2;
}

function namesColumn(header: string): boolean {
  return kindIds.some((kind) => matchHeader(kind, header) !== null);
}

/** Numbered trims across, with the day of each in the cells. */
function visitsAcross(headers: readonly string[], below: readonly NumberedRow[]): Placed | null {
  const cells = headers.flatMap((header, i) => (isNumberedTrim(header) ? [i] : []));
  const under = textsUnder(below, cells);
  if (cells.length < 2 || under.length === 0) return null;
  if (under.filter((text) => dayParts(text) !== null).length < 0.5 * under.length) return null;
  const plain = headers.flatMap((header, i) => (cells.includes(i) ? [] : [{ header, i }]));
  const down = plain.find(({ header }) => matchHeader("trims", header)?.column.name === "animal")?.i;
  return down === undefined ? null : { across: "visits", down, cells, beside: besideColumns(plain, down) };
}

const trimWords = new Set(["trim", "trims", "trimmed", "trimming", "recorte", "recortes", "despalme"]);
const besideTrim = new Set([
  "hoof",
  "date",
  "day",
  "no",
  "nr",
  "number",
  "of",
  "fecha",
  "dia",
  "de",
  "num",
  "numero",
]);

/** `Trim 1`, `2nd trim`, `Trim date 3`, `Recorte 4`. */
function isNumberedTrim(header: string): boolean {
  const words = fold(header).split(" ");
  const trims = words.filter((word) => trimWords.has(word)).length;
  const numbers = words.filter((word) => /^\d{1,2}(?:st|nd|rd|th)?$/.test(word)).length;
  const others = words.filter((word) => besideTrim.has(word)).length;
  return trims === 1 && numbers === 1 && trims + numbers + others === words.length;
}

const besideKind: KindId = "trims";

/** Columns beside the grid that hold one thing for the whole row. */
function besideColumns(
  plain: readonly { readonly header: string; readonly i: number }[],
  down: number,
): { readonly index: number; readonly column: string }[] {
  return plain.flatMap(({ header, i }) => {
    const name = i === down ? undefined : matchHeader(besideKind, header)?.column.name;
    return name !== undefined && rowColumns.has(name) ? [{ index: i, column: name }] : [];
  });
}

const rowColumns = new Set(["pen", "note", "trimmer", "measurer", "flock"]);

function textsUnder(below: readonly NumberedRow[], columns: readonly number[]): string[] {
  const texts: string[] = [];
  for (const { cells } of below) {
    for (const index of columns) {
      const text = (cells[index] ?? "").trim();
      if (text !== "") texts.push(text);
      if (texts.length >= CELLS_LOOKED_AT) return texts;
    }
  }
  return texts;
}

const CELLS_LOOKED_AT = 500;

/** A header is a date only in a form that a tag does not take: a bare number is none. */
function isDate(text: string): boolean {
  const parts = dayParts(text);
  return parts !== null && parts.form !== "serial" && !/^\d{8}$/.test(text.trim());
}
