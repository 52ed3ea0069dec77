import { sheetLimits } from "./sheet-limits.ts";

/** The cells of one record as places in a text; `fillRecord` writes it, `cellsOf` cuts it. */
export interface RecordCells {
  readonly starts: Int32Array;
  readonly ends: Int32Array;
  /** 1 where the cell was quoted and holds doubled quotes. */
  readonly doubled: Uint8Array;
  /** Cells found; may pass the limit of columns, beyond which no place is kept. */
  count: number;
  /** True when a quote was opened in this record and never closed. */
  unclosed: boolean;
  /** True when any cell was quoted: the record's own text then says more than its cells. */
  quoted: boolean;
  /** True when a quoted cell holds a quote that is neither doubled nor its end: its reading is a guess. */
  stray: boolean;
}

export function emptyRecordCells(): RecordCells {
  const columns = sheetLimits.columns;
  return {
    starts: new Int32Array(columns),
    ends: new Int32Array(columns),
    doubled: new Uint8Array(columns),
    count: 0,
    unclosed: false,
    quoted: false,
    stray: false,
  };
}

/** The text breaks off before the record does. */
export const needsMoreText = -1;

const quote = 34;
const lineFeed = 10;
const carriageReturn = 13;
const space = 32;

/**
 * Finds the cells of the record that starts at `start` and returns where the next one starts, or
 * `needsMoreText` unless `final` says that no more follows.
 *
 * Quoting as in RFC 4180, and beyond it: records end in CR, LF or CRLF in any mix; spaces may stand around a
 * quoted cell; a quote inside an unquoted cell is a character like any other, and so is a single quote inside
 * a quoted cell as long as that cell ends on its line (`"3" toe"`). A quote whose partner cannot be found, or
 * whose cell would run over lines that hold quoted cells of their own, was never meant to open: the rest of
 * its line is then read as unquoted and `unclosed` is set.
 */
export function fillRecord(
  text: string,
  start: number,
  delimiter: number,
  final: boolean,
  record: RecordCells,
): number {
  const length = text.length;
  record.count = 0;
  record.unclosed = false;
  record.quoted = false;
  record.stray = false;
  let quotesCount = true;
  let cell = start;
  let at = start;
  while (at < length) {
    const unit = text.charCodeAt(at);
    if (unit === delimiter) {
      keepCell(record, cell, at, 0);
      at++;
      cell = at;
    } else if (unit === lineFeed) {
      keepCell(record, cell, at, 0);
      return at + 1;
    } else if (unit === carriageReturn) {
      if (at + 1 === length && !final) return needsMoreText;
      keepCell(record, cell, at, 0);
      return at + 1 < length && text.charCodeAt(at + 1) === lineFeed ? at + 2 : at + 1;
    } else if (at === cell && quotesCount && (unit === quote || unit === space)) {
      const found =
        unit === quote
          ? findQuotedCell(text, at, delimiter, final)
          : findSpacedQuotedCell(text, at, delimiter, final);
      if (found === needsMore) return needsMoreText;
      if (found === noQuotedCell) {
        if (unit === quote) {
          quotesCount = false;
          record.unclosed = true;
        }
        at++;
      } else {
        keepCell(record, quotedCell.start, quotedCell.end, quotedCell.doubled);
        record.quoted = true;
        if (quotedCell.stray) record.stray = true;
        at = quotedCell.after;
        // What follows a quoted cell is a delimiter, a line end or the end of the text.
        if (at === length) return length;
        const next = text.charCodeAt(at);
        if (next !== delimiter) {
          if (next === lineFeed) return at + 1;
          if (at + 1 === length && !final) return needsMoreText;
          return at + 1 < length && text.charCodeAt(at + 1) === lineFeed ? at + 2 : at + 1;
        }
        at++;
        cell = at;
      }
    } else {
      at++;
    }
  }
  if (!final) return needsMoreText;
  keepCell(record, cell, length, 0);
  return length;
}

/** Cuts the cells out of the text they were found in. */
export function cellsOf(text: string, record: RecordCells): string[] {
  const { starts, ends, doubled, count } = record;
  const cells: string[] = new Array(count);
  for (let index = 0; index < count; index++) {
    const cell = text.slice(starts[index], ends[index]);
    cells[index] = doubled[index] === 0 ? cell : cell.replaceAll('""', '"');
  }
  return cells;
}

/** True if no cell holds any text. */
export function isBlank(record: RecordCells): boolean {
  const { starts, ends, count } = record;
  for (let index = 0; index < count; index++) if (ends[index] > starts[index]) return false;
  return true;
}

function keepCell(record: RecordCells, start: number, end: number, doubled: 0 | 1): void {
  const index = record.count++;
  if (index >= sheetLimits.columns) return;
  record.starts[index] = start;
  record.ends[index] = end;
  record.doubled[index] = doubled;
}

const quotedCellFound = 0;
const noQuotedCell = 1;
const needsMore = 2;
type QuotedCellSearch = typeof quotedCellFound | typeof noQuotedCell | typeof needsMore;

/** The place of the last quoted cell that a search found; one object for all, since every cell needs one. */
const quotedCell = { start: 0, end: 0, after: 0, doubled: 0 as 0 | 1, stray: false };

function findQuotedCell(text: string, open: number, delimiter: number, final: boolean): QuotedCellSearch {
  const length = text.length;
  let doubled: 0 | 1 = 0;
  let strayBefore = false;
  let from = open + 1;
  while (true) {
    const at = text.indexOf('"', from);
    if (at === -1 || at - open > sheetLimits.quotedCellCharacters) {
      if (strayBefore && holdsLineEnd(text, from, at === -1 ? length : at)) return noQuotedCell;
      if (at === -1 && !final && length - open <= sheetLimits.quotedCellCharacters) return needsMore;
      return noQuotedCell;
    }
    if (strayBefore && holdsLineEnd(text, from, at)) return noQuotedCell;
    if (text.charCodeAt(at + 1) === quote) {
      doubled = 1;
      from = at + 2;
      continue;
    }
    const after = endAfterSpaces(text, at + 1, delimiter);
    if (after === length && !final) return needsMore;
    if (after !== -1) {
      quotedCell.start = open + 1;
      quotedCell.end = at;
      quotedCell.after = after;
      quotedCell.doubled = doubled;
      quotedCell.stray = strayBefore;
      return quotedCellFound;
    }
    if (!strayBefore && holdsLineEnd(text, open + 1, at)) return noQuotedCell;
    strayBefore = true;
    from = at + 1;
  }
}

/** A quoted cell with spaces in front: only if its first single quote closes it, on the same line. */
function findSpacedQuotedCell(
  text: string,
  start: number,
  delimiter: number,
  final: boolean,
): QuotedCellSearch {
  const length = text.length;
  let open = start;
  while (open < length && text.charCodeAt(open) === space) open++;
  if (open === length) return final ? noQuotedCell : needsMore;
  if (text.charCodeAt(open) !== quote) return noQuotedCell;
  let doubled: 0 | 1 = 0;
  for (let at = open + 1; at < length; at++) {
    const unit = text.charCodeAt(at);
    if (unit === lineFeed || unit === carriageReturn) return noQuotedCell;
    if (unit !== quote) continue;
    if (text.charCodeAt(at + 1) === quote) {
      doubled = 1;
      at++;
      continue;
    }
    const after = endAfterSpaces(text, at + 1, delimiter);
    if (after === length && !final) return needsMore;
    if (after === -1) return noQuotedCell;
    quotedCell.start = open + 1;
    quotedCell.end = at;
    quotedCell.after = after;
    quotedCell.doubled = doubled;
    quotedCell.stray = false;
    return quotedCellFound;
  }
  return final ? noQuotedCell : needsMore;
}

/** Where a delimiter, a line end or the end of the text follows after nothing but spaces; else -1. */
function endAfterSpaces(text: string, from: number, delimiter: number): number {
  let at = from;
  while (at < text.length) {
    const unit = text.charCodeAt(at);
    if (unit === delimiter || unit === lineFeed || unit === carriageReturn) return at;
    if (unit !== space) return -1;
    at++;
  }
  return at;
}

function holdsLineEnd(text: string, from: number, to: number): boolean {
  for (let at = from; at < to; at++) {
    const unit = text.charCodeAt(at);
    if (unit === lineFeed || unit === carriageReturn) return true;
  }
  return false;
}
