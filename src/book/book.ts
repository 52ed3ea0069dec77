import type { TableColumn } from "../records/table.ts";

/**
 * The book: one DuckDB database, seen the same from Node (native engine) and from a browser (WebAssembly).
 *
 * Only INTEGER, DOUBLE, VARCHAR and BOOLEAN leave a query, since the two engines hand back every other type
 * differently (decimals unscaled, dates as instants, sums as big numbers): an adapter refuses any other
 * column type with an error that names the column. Days leave as day numbers through `day_no(...)`.
 */
export interface Book {
  /** Name and version of the engine, for the manifest. */
  readonly engine: string;
  /** Runs one statement or several, without results; `?` marks of a single one take the values in order. */
  run(sql: string, values?: readonly SqlValue[]): Promise<void>;
  /** Rows as plain objects; `?` marks take the values in order. */
  rows<Row extends object>(sql: string, values?: readonly SqlValue[]): Promise<Row[]>;
  /** Whole columns, for models. */
  columns(sql: string, values?: readonly SqlValue[]): Promise<Columns>;
  /** Appends rows given by columns to an existing table, in one go and in the order given. */
  load(table: string, columns: readonly LoadColumn[]): Promise<void>;
  /** Runs the work in one transaction: all of it is kept, or nothing. Calls do not nest. */
  transaction<T>(work: () => Promise<T>): Promise<T>;
  close(): Promise<void>;
}

export type SqlValue = string | number | boolean | null;

export interface Columns {
  readonly rowCount: number;
  /** INTEGER and DOUBLE columns; a missing value is NaN. */
  number(name: string): Float64Array;
  /** VARCHAR columns; a missing value is null. */
  text(name: string): readonly (string | null)[];
  /** BOOLEAN columns; a missing value is null. */
  flag(name: string): readonly (boolean | null)[];
}

/** A column to append. Numbers and days take NaN as missing; a day column holds day numbers. */
export type LoadColumn =
  | {
      readonly name: string;
      readonly type: "number" | "integer" | "day";
      readonly values: Float64Array | Int32Array;
    }
  | { readonly name: string; readonly type: "text"; readonly values: readonly (string | null)[] }
  | { readonly name: string; readonly type: "flag"; readonly values: readonly (boolean | null)[] };

/** SQL types of table columns. */
export const sqlTypes: Readonly<Record<TableColumn["type"], string>> = {
  text: "VARCHAR",
  integer: "INTEGER",
  number: "DOUBLE",
  flag: "BOOLEAN",
  day: "DATE",
};

/** A name quoted for SQL. */
export function quoteName(name: string): string {
  return `"${name.replaceAll('"', '""')}"`;
}

/** A text quoted for SQL. */
export function quoteText(text: string): string {
  return `'${text.replaceAll("'", "''")}'`;
}
