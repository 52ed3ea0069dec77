import type { LoadColumn } from "../book/book.ts";
import { storedColumns } from "../book/schema.ts";
import { columnOf, type KindId } from "../records/kinds.ts";
import type { CodedColumn, CodedRows, RowBatch } from "../sheets/text-table.ts";
import { isBlank, isRefused } from "./cell-read.ts";
import type { StoredCell } from "./cell-reader.ts";
import { groupMark } from "./group-words.ts";
import { loadType } from "./kind-sink.ts";
import type { PlannedCell } from "./planned-cell.ts";
import type { ReadBatch, RecordBatch } from "./reading.ts";
import type { PlannedRecord, RecordPlan } from "./record-plan.ts";
import { nothingGathered, type RowGatherings } from "./row-gatherings.ts";

/** Kinds whose records imply nothing that their cells do not say; trims imply that a claw was trimmed. */
const readByCodes: ReadonlySet<KindId> = new Set([
  "trims",
  "stays",
  "ground",
  "weather",
  "rations",
  "minerals",
  "kiddings",
  "trial",
]);

/** What reads rows one by one, for all that is not plain. */
export interface RowByRow {
  readonly read: (cells: readonly string[], rowNo: number, gathered: RowGatherings) => void;
  /** Whether a row that holds nothing but this cell passes by or makes anything known beside its record. */
  readonly speaks: (at: number, text: string) => boolean;
}

/** The one record that each row of a sheet gives, where its rows can be read by codes; else null. */
export function recordByCodes(plan: RecordPlan, withoutLengths: boolean): PlannedRecord | null {
  const [record, ...more] = plan.records;
  if (record === undefined || more.length > 0 || record.flockAt >= 0 || !readByCodes.has(record.kind))
    return null;
  return record.kind === "trims" && withoutLengths ? null : record;
}

/**
 * Reads the records of coded rows: each distinct text of a column once, and records as columns of these
 * readings. Rows in which any cell is not simply taken are read row by row.
 */
export function* readCoded(
  batches: Iterable<CodedRows>,
  record: PlannedRecord,
  headerRow: number,
  rowByRow: RowByRow,
): Generator<ReadBatch, void, undefined> {
  const columns: TextReadings[] = [];
  for (const batch of batches) {
    while (columns.length < batch.columns.length)
      columns.push(new TextReadings(record, columns.length, rowByRow));
    for (const [i, { texts }] of batch.columns.entries()) columns[i]!.learn(texts);
    const plain = plainPlaces(batch, columns, headerRow);
    const gathered = nothingGathered();
    const rest = notPlain(batch, plain);
    for (let i = 0; i < rest.rows.length; i++) rowByRow.read(rest.rows[i]!, rest.rowNumbers[i]!, gathered);
    const singly = record.sink.take();
    const together = plain.length === 0 ? null : recordsOf(batch, plain, record, columns);
    if (together !== null) gathered.read[record.kind] = (gathered.read[record.kind] ?? 0) + together.size;
    yield {
      rawRowNo: batch.others.rowNumbers,
      rawCells: batch.others.rows,
      rawLines: { rows: batch.rowNumbers.length, ...batch.lines },
      records: [merged(together, singly)].filter((one) => one !== null),
      ...gathered,
    };
  }
}

type Value = StoredCell[number];

/** A row is plain when none of its texts needs a look at the row and one of them records something. */
const NEEDS_ROW = 1;
const TELLS = 2;

/** How each distinct text of a column is read, by code. */
class TextReadings {
  readonly #record: PlannedRecord;
  readonly #at: number;
  readonly #rowByRow: RowByRow;
  readonly #cells: readonly PlannedCell[];
  #texts: readonly string[] = [];
  #states: number[] = [];
  /** For each cell that the column fills and each of its stored columns, the value of each text. */
  #stored: Value[][][] = [];

  constructor(record: PlannedRecord, at: number, rowByRow: RowByRow) {
    this.#record = record;
    this.#at = at;
    this.#rowByRow = rowByRow;
    this.#cells = record.cells.filter(({ index }) => index === at);
  }

  get states(): readonly number[] {
    return this.#states;
  }

  storedAs(cell: PlannedCell): readonly (readonly Value[])[] {
    return this.#stored[this.#cells.indexOf(cell)]!;
  }

  /** Reads the texts that were not there before. */
  learn(texts: readonly string[]): void {
    if (texts !== this.#texts) {
      this.#texts = texts;
      this.#states = [];
      this.#stored = this.#cells.map(({ column }) => storedColumns(column).map(() => []));
    }
    for (let code = this.#states.length; code < texts.length; code++)
      this.#states.push(this.#read(texts[code]!));
  }

  #read(text: string): number {
    let state = this.#record.telling.includes(this.#at) && !isBlank(text) ? TELLS : 0;
    if (text.trim() !== "" && this.#rowByRow.speaks(this.#at, text)) state |= NEEDS_ROW;
    this.#cells.forEach(({ column, read }, i) => {
      const cell = read(text);
      const value = isRefused(cell) ? null : cell.value;
      for (const [slot, values] of this.#stored[i]!.entries()) values.push(value?.[slot] ?? null);
      const simple = !isRefused(cell) && !(value === null && column.required === true);
      if (!simple || (value !== null && !standsAlone(column, value))) state |= NEEDS_ROW;
    });
    return state;
  }
}

/** Whether a cell fills its own column alone and names one animal. */
function standsAlone(column: PlannedCell["column"], value: StoredCell): boolean {
  return value.length === storedColumns(column).length && !String(value[0]).startsWith(groupMark);
}

function plainPlaces(batch: CodedRows, columns: readonly TextReadings[], headerRow: number): Int32Array {
  const count = batch.rowNumbers.length;
  const states = new Uint8Array(count);
  batch.columns.forEach(({ codes }, i) => {
    const { states: ofCodes } = columns[i]!;
    for (let row = 0; row < count; row++) states[row]! |= ofCodes[codes[row]!]!;
  });
  const places = new Int32Array(count);
  let size = 0;
  for (let row = 0; row < count; row++) {
    if (states[row] === TELLS && batch.rowNumbers[row]! > headerRow) places[size++] = row;
  }
  return places.subarray(0, size);
}

/** All other rows in their order. */
function notPlain({ rowNumbers, columns, others }: CodedRows, plain: Int32Array): RowBatch {
  const rows: { readonly rowNo: number; readonly cells: readonly string[] }[] = [];
  let next = 0;
  for (let row = 0; row < rowNumbers.length; row++) {
    if (plain[next] === row) next++;
    else rows.push({ rowNo: rowNumbers[row]!, cells: columns.map((column) => textAt(column, row)) });
  }
  for (const [i, cells] of others.rows.entries()) rows.push({ rowNo: others.rowNumbers[i]!, cells });
  rows.sort((a, b) => a.rowNo - b.rowNo);
  return { rowNumbers: Int32Array.from(rows, ({ rowNo }) => rowNo), rows: rows.map(({ cells }) => cells) };
}

function textAt({ codes, texts }: CodedColumn, row: number): string {
  return texts[codes[row]!]!;
}

function recordsOf(
  batch: CodedRows,
  plain: Int32Array,
  { kind, cells }: PlannedRecord,
  columns: readonly TextReadings[],
): RecordBatch {
  const loaded = cells.flatMap((cell): LoadColumn[] => {
    const { index, constant, column } = cell;
    const stored = constant === null ? columns[index]!.storedAs(cell) : constant.map((value) => [value]);
    const codes = constant === null ? batch.columns[index]!.codes : new Int32Array(batch.rowNumbers.length);
    return storedColumns(column).map(({ name, sqlType }, slot) =>
      columnOfCodes(name, loadType(sqlType), stored[slot]!, codes, plain),
    );
  });
  return {
    kind,
    size: plain.length,
    rowNo: Int32Array.from(plain, (row) => batch.rowNumbers[row]!),
    part: new Int32Array(plain.length),
    flock: null,
    columns: kind === "trims" ? withTrimmed(loaded, plain.length) : loaded,
  };
}

function columnOfCodes(
  name: string,
  type: LoadColumn["type"],
  ofCodes: readonly Value[],
  codes: Int32Array,
  plain: Int32Array,
): LoadColumn {
  if (type === "text" || type === "flag") {
    const values = new Array<Value>(plain.length);
    for (let i = 0; i < plain.length; i++) values[i] = ofCodes[codes[plain[i]!]!]!;
    return { name, type, values } as LoadColumn;
  }
  const values = new Float64Array(plain.length);
  for (let i = 0; i < plain.length; i++) {
    values[i] = (ofCodes[codes[plain[i]!]!] as number | null) ?? Number.NaN;
  }
  return { name, type, values };
}

/** A length after means that the claw was trimmed, where the sheet does not say whether it was. */
function withTrimmed(columns: readonly LoadColumn[], size: number): readonly LoadColumn[] {
  const { name } = columnOf("trims", "trimmed");
  const given = columns.find((column) => column.name === name);
  const after = columns.filter((column) => ["toe_after_mm", "overhang_after_mm"].includes(column.name));
  const trimmed =
    given === undefined
      ? new Array<boolean | null>(size).fill(null)
      : [...(given.values as readonly (boolean | null)[])];
  for (const { values } of after) {
    for (let i = 0; i < size; i++) if (trimmed[i] === null && !Number.isNaN(values[i])) trimmed[i] = true;
  }
  return [...columns.filter((column) => column !== given), { name, type: "flag", values: trimmed }];
}

/** Two batches of one kind as one, in the order of their rows. */
function merged(a: RecordBatch | null, b: RecordBatch | null): RecordBatch | null {
  if (a === null || b === null) return a ?? b;
  const size = a.size + b.size;
  // which record comes next: a place in `a`, or one in `b` past the end of `a`
  const order = new Int32Array(size);
  for (let i = 0, ofA = 0, ofB = 0; i < size; i++) {
    const first = ofB === b.size || (ofA < a.size && a.rowNo[ofA]! < b.rowNo[ofB]!);
    order[i] = first ? ofA++ : a.size + ofB++;
  }
  const names = new Set([...a.columns, ...b.columns].map(({ name }) => name));
  const inOrder = (ofA: Int32Array, ofB: Int32Array): Int32Array =>
    order.map((at) => (at < a.size ? ofA[at]! : ofB[at - a.size]!));
  return {
    kind: a.kind,
    size,
    rowNo: inOrder(a.rowNo, b.rowNo),
    part: inOrder(a.part, b.part),
    flock: null,
    columns: [...names].map((name) => {
      const ofA = a.columns.find((column) => column.name === name);
      const ofB = b.columns.find((column) => column.name === name);
      const { type } = (ofA ?? ofB)!;
      const valueAt = (at: number): unknown =>
        (at < a.size ? ofA?.values[at] : ofB?.values[at - a.size]) ?? null;
      if (type === "text" || type === "flag") {
        return { name, type, values: Array.from(order, valueAt) } as LoadColumn;
      }
      return {
        name,
        type,
        values: Float64Array.from(order, (at) => (valueAt(at) as number | null) ?? Number.NaN),
      };
    }),
  };
}
