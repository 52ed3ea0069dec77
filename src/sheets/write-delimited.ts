/** A value to be written: text, a number, or nothing. */
export type DelimitedCell = string | number | boolean | null;

export interface DelimitedOptions {
  readonly delimiter?: "," | ";" | "\t" | "|";
  /** Mark between whole and decimals of numbers given as numbers. */
  readonly decimalMark?: "." | ",";
  readonly lineEnd?: "\n" | "\r\n";
  /** Puts U+FEFF in front, by which spreadsheets know UTF-8. */
  readonly byteOrderMark?: boolean;
  /** False leaves text that a spreadsheet would take for a formula as it is. */
  readonly spreadsheetSafe?: boolean;
}

/** Writes rows as delimited text (RFC 4180; see `delimitedLines` for what is written how). */
export function writeDelimited(
  rows: Iterable<readonly DelimitedCell[]>,
  options: DelimitedOptions = {},
): string {
  return [...delimitedLines(rows, options)].join("");
}

/**
 * The lines of `writeDelimited` one by one, each with its line end, for tables too large for one text.
 *
 * Cells that hold a delimiter, a quote, a line break, or spaces at their ends are quoted, quotes in them
 * doubled. Numbers are written shortest; null as an empty cell. Text that a spreadsheet would run as a formula
 * gets an apostrophe in front (see `guardText`). A first cell that would read as a `sep=` line, or a whole row
 * that would read as a blank line, is quoted.
 *
 * @throws RangeError on a number that is not finite: a missing value is null, never NaN.
 */
export function* delimitedLines(
  rows: Iterable<readonly DelimitedCell[]>,
  options: DelimitedOptions = {},
): Generator<string, void, undefined> {
  const {
    delimiter = ",",
    decimalMark = ".",
    lineEnd = "\n",
    byteOrderMark = false,
    spreadsheetSafe = true,
  } = options;
  const needsQuotes = new RegExp(`[${delimiter === "|" ? "\\|" : delimiter}"\\r\\n]|^\\s|\\s$|^sep=`, "i");
  let mark = byteOrderMark ? "\ufeff" : "";
  for (const row of rows) {
    const cells = row.map((cell) => {
      const text = cellText(cell, decimalMark, spreadsheetSafe);
      return needsQuotes.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
    });
    const line = cells.length === 1 && cells[0] === "" ? '""' : cells.join(delimiter);
    yield mark + line + lineEnd;
    mark = "";
  }
}

/**
 * Puts an apostrophe before text that starts with = + - @, a tab or a carriage return, which spreadsheets run
 * as a formula, unless it is a plain number. Text that already looks so guarded gets one more, so that
 * `unguardText` brings every text back.
 */
export function guardText(text: string): string {
  return formulaStart.test(text) && !plainNumber.test(text) ? `'${text}` : text;
}

/** Takes off the apostrophe that `guardText` (or a spreadsheet) has put in front. */
export function unguardText(text: string): string {
  return text.startsWith("'") && formulaStart.test(text) ? text.slice(1) : text;
}

const formulaStart = /^'*[=+\-@\t\r]/;
const plainNumber = /^[-+]?\d{1,15}(?:[.,]\d{1,15})?%?$/;

function cellText(cell: DelimitedCell, decimalMark: "." | ",", spreadsheetSafe: boolean): string {
  if (cell === null) return "";
  if (typeof cell === "string") return spreadsheetSafe ? guardText(cell) : cell;
  if (typeof cell === "boolean") return cell ? "TRUE" : "FALSE";
  if (!Number.isFinite(cell))
    throw new RangeError("A number to be written must be finite; write null for a missing one.");
  const text = String(cell);
  return decimalMark === "," ? text.replace(".", ",") : text;
}
