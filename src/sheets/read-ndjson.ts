import { arrayCells, collectColumns, type JsonColumns, objectCells } from "./json-rows.ts";
import { afterSpace, brokenAt, endOfValue } from "./json-scanner.ts";
import { notesOfTable } from "./note-list.ts";
import { inBatches, type NumberedRow } from "./row-batches.ts";
import { SheetFailure } from "./sheet-failure.ts";
import { sheetLimits } from "./sheet-limits.ts";
import { decodedChunks, type FoundEncoding, noDecodingFinds } from "./text-encoding.ts";
import type { TextTable } from "./text-table.ts";
import type { TroubleList } from "./trouble-list.ts";

/**
 * Reads lines of JSON, one object (or array) each. The header is row 1, so line n of the file is row n + 1;
 * arrays have no header and keep the line's number. A line that does not hold together is a trouble and left
 * out. Returns null if no line holds a row.
 */
export function readNdjson(
  file: string,
  bytes: Uint8Array,
  encoding: FoundEncoding,
  troubles: TroubleList,
): TextTable | null {
  const notes = notesOfTable();
  const columns: JsonColumns = new Map();
  let ofObjects: boolean | null = null;
  for (const line of linesOf(bytes, encoding)) {
    const row = line.number + (ofObjects === false ? 0 : 1);
    if (line.text === null) {
      troubles.add("row_too_long", String(sheetLimits.rowCharacters), { row });
      continue;
    }
    try {
      const start = rowStart(line.text);
      if (start === -1) continue;
      ofObjects ??= line.text[start] === "{";
      if (ofObjects !== (line.text[start] === "{")) throw new SheetFailure("broken_json", "row");
      if (ofObjects) collectColumns(line.text, start, row, columns, notes);
      else arrayCells(line.text, start);
    } catch (error) {
      if (!(error instanceof SheetFailure)) throw error;
      troubles.add(error.code, error.detail, { row });
    }
  }
  if (ofObjects === null || (ofObjects && columns.size === 0)) return null;
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
  if (columns !== null) yield { rowNumber: 1, cells: [...columns.keys()] };
  for (const { number, text } of linesOf(bytes, encoding)) {
    const cells = text === null ? null : cellsOfLine(text, columns);
    if (cells !== null) yield { rowNumber: columns === null ? number : number + 1, cells };
  }
}

function cellsOfLine(text: string, columns: JsonColumns | null): string[] | null {
  try {
    const start = rowStart(text);
    if (start === -1 || (columns !== null) !== (text[start] === "{")) return null;
    return columns === null ? arrayCells(text, start) : objectCells(text, start, columns);
  } catch (error) {
    if (error instanceof SheetFailure) return null;
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
