import { emptyRecordCells, fillRecord, needsMoreText, type RecordCells } from "./delimited-record.ts";
import { sheetLimits } from "./sheet-limits.ts";

/** Walks through delimited text record by record while holding no more of it than one record needs. */
export interface RecordReader {
  /** Moves to the next record; false at the end of the text. */
  next(): boolean;
  /** The text in which `record` gives places; valid until the next call of `next`. */
  text(): string;
  readonly record: RecordCells;
  /** The record's number: 1 for the first, blank ones counted. */
  rowNumber(): number;
  /** Characters of the whole text before this record. */
  offset(): number;
  /** True for a record past the limit of length: its first line is dropped and `record` is empty. */
  tooLong(): boolean;
}

/** Reads records from pieces of text; a record may span any number of pieces. */
export function readRecords(chunks: Iterable<string>, delimiter: string): RecordReader {
  const source = chunks[Symbol.iterator]();
  const delimiterUnit = delimiter.charCodeAt(0);
  const record = emptyRecordCells();
  let text = "";
  let position = 0;
  let final = false;
  let rowNumber = 0;
  let offset = 0;
  let textOffset = 0;
  let tooLong = false;

  /** Takes the used part off and adds enough that a record spanning many pieces is looked at few times. */
  function takeMore(): void {
    const rest = text.slice(position);
    textOffset += position;
    position = 0;
    text = rest;
    do {
      const piece = source.next();
      if (piece.done === true) {
        final = true;
        return;
      }
      text = text === "" ? piece.value : text + piece.value;
    } while (text.length < 2 * rest.length);
  }

  function dropLine(): void {
    record.count = 0;
    record.unclosed = false;
    record.quoted = false;
    record.stray = false;
    while (true) {
      const lineEnd = text.slice(position).search(/[\r\n]/);
      if (lineEnd !== -1) {
        position += lineEnd;
        break;
      }
      position = text.length;
      if (final) return;
      takeMore();
    }
    if (text[position] === "\r" && position + 1 === text.length && !final) takeMore();
    position += text.startsWith("\r\n", position) ? 2 : 1;
  }

  function next(): boolean {
    tooLong = false;
    while (true) {
      if (position >= text.length && !final) takeMore();
      if (position >= text.length) {
        if (final) return false;
        continue;
      }
      const after = fillRecord(text, position, delimiterUnit, final, record);
      const length = (after === needsMoreText ? text.length : after) - position;
      if (length > sheetLimits.rowCharacters) {
        rowNumber++;
        offset = textOffset + position;
        tooLong = true;
        dropLine();
        return true;
      }
      if (after !== needsMoreText) {
        rowNumber++;
        offset = textOffset + position;
        position = after;
        return true;
      }
      takeMore();
    }
  }

  return {
    next,
    text: () => text,
    record,
    rowNumber: () => rowNumber,
    offset: () => offset,
    tooLong: () => tooLong,
  };
}
