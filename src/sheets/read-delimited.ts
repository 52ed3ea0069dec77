import { codeRows } from "./coded-rows.ts";
import { cellsOf, isBlank } from "./delimited-record.ts";
import { delimitedFormats, type FoundDelimiter } from "./delimiter.ts";
import { type NoteList, notesOfTable } from "./note-list.ts";
import { type RecordReader, readRecords } from "./record-reader.ts";
import { inBatches, type NumberedRow } from "./row-batches.ts";
import { sheetLimits } from "./sheet-limits.ts";
import { decodedChunks, type FoundEncoding, noDecodingFinds } from "./text-encoding.ts";
import type { TextTable } from "./text-table.ts";
import type { TroubleList } from "./trouble-list.ts";

/**
 * Reads delimited text as a table, or returns null if no record holds any text.
 *
 * The bytes are walked through once here, for troubles and notes, and again for each call of `batches`; no
 * more than a batch of rows is held at a time.
 */
export function readDelimited(
  file: string,
  bytes: Uint8Array,
  encoding: FoundEncoding,
  found: FoundDelimiter,
  troubles: TroubleList,
): TextTable | null {
  const notes = notesOfTable();
  if (found.separatorLineLength > 0) notes.add("separator_line", { detail: found.delimiter });
  if (!lookThrough(bytes, encoding, found, notes, troubles)) return null;
  return {
    file,
    worksheet: null,
    hidden: false,
    format: delimitedFormats[found.delimiter],
    encoding: encoding.encoding,
    notes: notes.listed(),
    mergedRanges: [],
    batches: () => inBatches(rowsOf(bytes, encoding, found)),
    codedRows: (width) =>
      codeRows(openRecords(decodedChunks(bytes, encoding, noDecodingFinds()), found), found.delimiter, width),
  };
}

function* rowsOf(
  bytes: Uint8Array,
  encoding: FoundEncoding,
  found: FoundDelimiter,
): Generator<NumberedRow, void, undefined> {
  const reader = openRecords(decodedChunks(bytes, encoding, noDecodingFinds()), found);
  while (reader.next()) {
    const { record } = reader;
    if (record.count > sheetLimits.columns || isBlank(record)) continue;
    yield { rowNumber: reader.rowNumber(), cells: cellsOf(reader.text(), record) };
  }
}

/** Notes and troubles of the whole text; false if no record holds any text. */
function lookThrough(
  bytes: Uint8Array,
  encoding: FoundEncoding,
  found: FoundDelimiter,
  notes: NoteList,
  troubles: TroubleList,
): boolean {
  const finds = noDecodingFinds();
  const lostDigits: Place[] = [];
  const reader = openRecords(watchedForLostDigits(decodedChunks(bytes, encoding, finds), lostDigits), found);
  let anyText = false;
  let rowBefore = 1;
  let nulRow = 1;
  let strayRow = 1;
  let placed = 0;
  while (reader.next()) {
    const { record } = reader;
    const row = reader.rowNumber();
    const offset = reader.offset() + found.separatorLineLength;
    while (placed < lostDigits.length && lostDigits[placed].offset < offset) {
      notes.add("digits_lost", { row: rowBefore, detail: lostDigits[placed++].text });
    }
    if (offset <= finds.firstNul) nulRow = row;
    if (offset <= finds.firstStray) strayRow = row;
    rowBefore = row;
    if (reader.tooLong()) {
      troubles.add("row_too_long", String(sheetLimits.rowCharacters), { row });
      anyText = true;
      continue;
    }
    if (record.stray) notes.add("stray_quotes", { row });
    if (record.unclosed) troubles.add("unclosed_quote", "", { row });
    if (record.count > sheetLimits.columns) {
      troubles.add("row_too_wide", String(sheetLimits.columns), { row });
      anyText = true;
    } else if (!anyText) {
      anyText = !isBlank(record);
    }
  }
  for (const place of lostDigits.slice(placed))
    notes.add("digits_lost", { row: rowBefore, detail: place.text });
  if (finds.nulCharacters > 0) {
    notes.add("nul_characters_removed", { row: nulRow, count: finds.nulCharacters });
  }
  if (finds.strayBytes > 0) notes.add("mixed_encoding", { row: strayRow, count: finds.strayBytes });
  return anyText;
}

interface Place {
  readonly offset: number;
  readonly text: string;
}

/**
 * Passes the text through and keeps the places of numbers that a spreadsheet has cut short on the way out
 * (`9.82E+14` for an ear tag of fifteen digits).
 */
function* watchedForLostDigits(
  chunks: Iterable<string>,
  places: Place[],
): Generator<string, void, undefined> {
  let offset = 0;
  for (const chunk of chunks) {
    for (let at = chunk.indexOf("E+"); at !== -1; at = chunk.indexOf("E+", at + 2)) {
      const number = /(?<![\w.,])\d[.,](\d{1,14})E\+(\d{2})$/.exec(chunk.slice(Math.max(0, at - 20), at + 4));
      if (number === null || /^\w/.test(chunk.slice(at + 4, at + 5))) continue;
      const [text, decimals, exponent] = number;
      if (Number(exponent) > decimals.length) places.push({ offset: offset + at, text });
    }
    offset += chunk.length;
    yield chunk;
  }
}

function openRecords(chunks: Iterable<string>, found: FoundDelimiter): RecordReader {
  const { separatorLineLength, delimiter } = found;
  return readRecords(separatorLineLength > 0 ? withoutStart(chunks, separatorLineLength) : chunks, delimiter);
}

function* withoutStart(chunks: Iterable<string>, length: number): Generator<string, void, undefined> {
  let left = length;
  for (const chunk of chunks) {
    if (left < chunk.length) yield left > 0 ? chunk.slice(left) : chunk;
    left = Math.max(0, left - chunk.length);
  }
}
