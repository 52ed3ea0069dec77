import {
  type JsonColumns,
  jsonHeaders,
  lookThroughObject,
  noJsonColumns,
  objectRows,
} from "./json-objects.ts";
import { arrayCells } from "./json-rows.ts";
import { afterSpace, brokenAt, endOfValue } from "./json-scanner.ts";
import { notesOfTable } from "./note-list.ts";
import { inBatches, type NumberedRow } from "./row-batches.ts";
import { SheetFailure } from "./sheet-failure.ts";
import { sheetLimits } from "./sheet-limits.ts";
import { decodedChunks, type FoundEncoding, noDecodingFinds } from "./text-encoding.ts";
import type { TextTable } from "./text-table.ts";
import type { TroubleList } from "./trouble-list.ts";

/**
 * Reads lines of JSON, one object (or array) each. The header is row 1, so line n of the file is row n + 1,
 * more where objects above took several rows; arrays have no header and keep the line's number. A line that does not hold together is a trouble and left
 * out. Returns null if no line holds a row.
 */
export function readNdjson(
  file: string,
  bytes: Uint8Array,
  encoding: FoundEncoding,
  troubles: TroubleList,
): TextTable | null {
  const notes = notesOfTable();
  const columns = noJsonColumns();
  let ofObjects: boolean | null = null;
  let furtherRows = 0;
  for (const line of linesOf(bytes, encoding)) {
    const row = line.number + (ofObjects === false ? 0 : 1) + furtherRows;
    if (line.text === null) {
      troubles.add("row_too_long", String(sheetLimits.rowCharacters), { row });
      continue;
    }
    try {
      const start = rowStart(line.text);
      if (start === -1) continue;
      ofObjects ??= line.text[start] === "{";
      if (ofObjects !== (line.text[start] === "{")) throw new SheetFailure("broken_json", "row");
      if (ofObjects)
        furtherRows += lookThroughObject(line.text, start, columns, { row }, notes, troubles) - 1;
      else arrayCells(line.text, start);
    } catch (error) {
      if (!(error instanceof SheetFailure)) throw error;
      troubles.add(error.code, error.detail, { row });
    }
  }
  if (ofObjects === null || (ofObjects && columns.columns.length === 0)) return null;
  const known = ofObjects ? columns : null;
  return {
    file,
    worksheet: null,
    hidden: false,
    format: "ndjson",
    encoding: encoding.encoding,
    notes: notes.listed(),
    mergedRanges: [],
    batches: () => inBatches(rowsOf(bytes, encoding, known)),
  };
}

function* rowsOf(
  bytes: Uint8Array,
  encoding: FoundEncoding,
  columns: JsonColumns | null,
): Generator<NumberedRow, void, undefined> {
  if (columns !== null) yield { rowNumber: 1, cells: jsonHeaders(columns) };
  let above = columns === null ? 0 : 1;
  for (const { number, text } of linesOf(bytes, encoding)) {
    const rows = text === null ? [] : rowsOfLine(text, columns);
    for (const cells of rows) yield { rowNumber: number + above++, cells };
    if (rows.length > 0) above--;
  }
}

function rowsOfLine(text: string, columns: JsonColumns | null): readonly string[][] {
  try {
    const start = rowStart(text);
    if (start === -1 || (columns !== null) !== (text[start] === "{")) return [];
    return columns === null ? [arrayCells(text, start)] : [...objectRows(text, start, columns)];
  } catch (error) {
    if (error instanceof SheetFailure) return [];
    throw error;
  }
}

/** Where the line's one value starts; -1 for a blank line. */
function rowStart(text: string): number {
  const start = afterSpace(text, 0);
  if (start === text.length) return -1;
  const end = afterSpace(text, endOfValue(text, start));
  if (end < text.length) throw brokenAt(end);
  if (text[start] !== "{" && text[start] !== "[") throw new SheetFailure("broken_json", "row");
  return start;
}

interface Line {
  readonly number: number;
  /** Null for a line past the limit of length. */
  readonly text: string | null;
}

function* linesOf(bytes: Uint8Array, encoding: FoundEncoding): Generator<Line, void, undefined> {
  let number = 0;
  let rest = "";
  let tooLong = false;
  for (const chunk of decodedChunks(bytes, encoding, noDecodingFinds())) {
    const lines = chunk.split("\n");
    lines[0] = rest + lines[0];
    rest = lines.pop() ?? "";
    for (const line of lines) {
      yield { number: ++number, text: tooLong || line.length > sheetLimits.rowCharacters ? null : line };
      tooLong = false;
    }
    if (rest.length > sheetLimits.rowCharacters) {
      tooLong = true;
      rest = "";
    }
  }
  if (rest !== "" || tooLong) yield { number: ++number, text: tooLong ? null : rest };
}
