import { cellsOf, isBlank, type RecordCells } from "./delimited-record.ts";
import type { RecordReader } from "./record-reader.ts";
import { sheetLimits } from "./sheet-limits.ts";
import { TextCodes } from "./text-codes.ts";
import type { CodedRows } from "./text-table.ts";

const batchRows = 16_384;
/** A batch of a wide sheet has fewer rows: its room is set aside column by column. */
const batchCells = 1_048_576;

/**
 * Records of delimited text in batches, the cells of plain ones as numbers of their texts: most columns hold
 * few distinct texts, and no cell is cut out of the text that was seen before. Memory does not grow with the
 * text.
 */
export function* codeRows(
  reader: RecordReader,
  delimiter: string,
  width: number,
): Generator<CodedRows, void, undefined> {
  const columns = Array.from({ length: width }, () => new TextCodes());
  let batch = new CodedBatch(columns, delimiter);
  while (reader.next()) {
    const { record } = reader;
    if (record.count > sheetLimits.columns || isBlank(record)) continue;
    const row = reader.rowNumber();
    if (batch.isFull(row)) {
      yield batch.taken();
      batch = new CodedBatch(columns, delimiter);
    }
    batch.add(row, reader.text(), record);
  }
  if (!batch.isEmpty()) yield batch.taken();
}

class CodedBatch {
  readonly #columns: readonly TextCodes[];
  readonly #codes: readonly Int32Array[];
  readonly #delimiter: string;
  readonly #delimiterUnit: number;
  readonly #mostRows: number;
  readonly #rowNumbers: Int32Array;
  readonly #lines: string[] = [];
  #firstRow = 0;
  #count = 0;
  readonly #otherNumbers: number[] = [];
  readonly #others: (readonly string[])[] = [];

  constructor(columns: readonly TextCodes[], delimiter: string) {
    for (const column of columns) column.forgetIfMany();
    this.#columns = columns;
    const mostRows = Math.max(1, Math.min(batchRows, Math.floor(batchCells / columns.length)));
    this.#mostRows = mostRows;
    this.#rowNumbers = new Int32Array(mostRows);
    this.#codes = columns.map(() => new Int32Array(mostRows));
    this.#delimiter = delimiter;
    this.#delimiterUnit = delimiter.charCodeAt(0);
  }

  isEmpty(): boolean {
    return this.#count === 0 && this.#others.length === 0;
  }

  isFull(row: number): boolean {
    const far = this.#count > 0 && row - this.#firstRow >= 2 * batchRows;
    return this.#count === this.#mostRows || this.#others.length === this.#mostRows || far;
  }

  add(row: number, text: string, record: RecordCells): void {
    if (record.count !== this.#columns.length || !this.#code(text, record)) {
      this.#otherNumbers.push(row);
      this.#others.push(cellsOf(text, record));
      return;
    }
    if (this.#count === 0) this.#firstRow = row;
    while (this.#lines.length < row - this.#firstRow) this.#lines.push("");
    this.#lines.push(
      record.quoted
        ? cellsOf(text, record).join(this.#delimiter)
        : text.slice(record.starts[0], record.ends[record.count - 1]),
    );
    this.#rowNumbers[this.#count++] = row;
  }

  taken(): CodedRows {
    return {
      rowNumbers: this.#rowNumbers.subarray(0, this.#count),
      columns: this.#columns.map(({ texts }, i) => ({
        texts,
        codes: this.#codes[i]!.subarray(0, this.#count),
      })),
      lines: { firstRow: this.#firstRow, text: this.#lines.join("\n"), delimiter: this.#delimiter },
      others: { rowNumbers: Int32Array.from(this.#otherNumbers), rows: this.#others },
    };
  }

  /** Writes the codes of a record at the open place; false where a character would need an escape. */
  #code(text: string, { starts, ends, count }: RecordCells): boolean {
    for (let column = 0; column < count; column++) {
      const start = starts[column]!;
      const end = ends[column]!;
      let hash = fnvBasis;
      for (let at = start; at < end; at++) {
        const unit = text.charCodeAt(at);
        if (unit < 48 && (unit < space || unit === quote || unit === this.#delimiterUnit)) return false;
        if (unit > 57 && (unit === backslash || unit === this.#delimiterUnit || isSurrogate(unit)))
          return false;
        hash = Math.imul(hash ^ unit, fnvPrime);
      }
      this.#codes[column]![this.#count] = this.#columns[column]!.codeOf(text, start, end, hash);
    }
    return true;
  }
}

// Fowler, Noll and Vo's hash, 32 bits, variant 1a (RFC 9923), over code units
const fnvBasis = 0x811c9dc5 | 0;
const fnvPrime = 0x01000193;
const space = 32;
const quote = 34;
const backslash = 92;

function isSurrogate(unit: number): boolean {
  return unit >= 0xd800 && unit <= 0xdfff;
}
