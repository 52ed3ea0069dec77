import type { LoadColumn } from "../book/book.ts";
import { storedColumns } from "../book/schema.ts";
import type { Column } from "../records/kind.ts";
import type { KindId } from "../records/kinds.ts";
import type { StoredCell } from "./cell-reader.ts";
import type { RecordBatch } from "./reading.ts";

/**
 * Where the records of one kind gather, column by column, until a batch is handed on. Cells are stored at
 * the open place; `keep` closes it, and what is not kept is overwritten by the next record.
 */
export class KindSink {
  readonly kind: KindId;
  readonly #columns = new Map<string, ColumnSink>();
  #rowNo: number[] = [];
  #part: number[] = [];
  #flock: (string | null)[] = [];
  readonly #hasFlock: boolean;
  /** Whether the open place holds cells of a record that was not kept. */
  #soiled = false;
  size = 0;

  constructor(kind: KindId, hasFlock: boolean) {
    this.kind = kind;
    this.#hasFlock = hasFlock;
  }

  /** The sink of a sheet column, made when first asked for. */
  column(column: Column): ColumnSink {
    const found = this.#columns.get(column.name);
    if (found !== undefined) return found;
    const sink = new ColumnSink(
      storedColumns(column).map(({ name, sqlType }) => ({ name, type: loadType(sqlType) })),
    );
    this.#columns.set(column.name, sink);
    return sink;
  }

  /** The sink of a column by name, if any record of the sheet gives it. */
  find(name: string): ColumnSink | null {
    return this.#columns.get(name) ?? null;
  }

  /** The sink of a stored column that no sheet column gives. */
  extra(name: string, type: "text" | "flag"): ColumnSink {
    const found = this.#columns.get(name);
    if (found !== undefined) return found;
    const sink = new ColumnSink([{ name, type }]);
    this.#columns.set(name, sink);
    return sink;
  }

  setFlock(flock: string | null): void {
    this.#flock[this.size] = flock;
  }

  /** Empties every cell of the open place. */
  open(): void {
    if (this.#soiled) for (const sink of this.#columns.values()) sink.clear(this.size);
    this.#soiled = true;
    this.#flock[this.size] = null;
  }

  keep(rowNo: number, part: number): void {
    this.#rowNo[this.size] = rowNo;
    this.#part[this.size] = part;
    this.#soiled = false;
    this.size++;
  }

  /** Hands on what was kept and starts anew; null when nothing was. */
  take(): RecordBatch | null {
    const { size } = this;
    if (size === 0) return null;
    const batch: RecordBatch = {
      kind: this.kind,
      size,
      rowNo: Int32Array.from(this.#rowNo.slice(0, size)),
      part: Int32Array.from(this.#part.slice(0, size)),
      flock: this.#hasFlock ? this.#flock.slice(0, size) : null,
      columns: [...this.#columns.values()].flatMap((sink) => sink.take(size)),
    };
    this.#flock = [];
    this.#soiled = false;
    this.size = 0;
    return batch;
  }
}

type LoadType = LoadColumn["type"];

/** The values of one sheet column; a birth date fills two stored columns. */
export class ColumnSink {
  readonly #slots: readonly { readonly name: string; readonly type: LoadType }[];
  #values: (string | number | boolean | null)[][];

  constructor(slots: readonly { readonly name: string; readonly type: LoadType }[]) {
    this.#slots = slots;
    this.#values = slots.map(() => []);
  }

  store(at: number, cell: StoredCell): void {
    for (let i = 0; i < this.#values.length; i++) {
      const values = this.#values[i]!;
      while (values.length < at) values.push(null);
      values[at] = cell[i]!;
    }
  }

  clear(at: number): void {
    for (const values of this.#values) if (values.length > at) values.length = at;
  }

  get(at: number): string | number | boolean | null {
    return this.#values[0]![at] ?? null;
  }

  take(size: number): LoadColumn[] {
    const columns = this.#slots.map(({ name, type }, i) => loadColumn(name, type, this.#values[i]!, size));
    this.#values = this.#slots.map(() => []);
    return columns;
  }
}

function loadColumn(
  name: string,
  type: LoadType,
  values: (string | number | boolean | null)[],
  size: number,
): LoadColumn {
  if (type === "text" || type === "flag") {
    // blank cells at the end were not stored, and what was stored past it was not kept
    while (values.length < size) values.push(null);
    values.length = size;
    return { name, type, values } as LoadColumn;
  }
  const numbers = new Float64Array(size);
  for (let i = 0; i < size; i++) numbers[i] = (values[i] as number | null) ?? Number.NaN;
  return { name, type, values: numbers };
}

/** How a stored column of an SQL type is loaded. */
export function loadType(sqlType: string): LoadType {
  const type = { DATE: "day", DOUBLE: "number", INTEGER: "integer", BOOLEAN: "flag" }[sqlType];
  return (type ?? "text") as LoadType;
}
