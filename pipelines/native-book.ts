import {
  type DuckDBAppender,
  type DuckDBConnection,
  DuckDBDataChunk,
  DuckDBDateValue,
  DuckDBInstance,
  type DuckDBMaterializedResult,
  type DuckDBType,
  DuckDBTypeId,
  type DuckDBVector,
} from "@duckdb/node-api";
import { type Book, type Columns, type LoadColumn, quoteText, type SqlValue } from "../src/book/book.ts";
import { oneAtATime } from "../src/book/one-at-a-time.ts";

export interface NativeBookOptions {
  readonly readOnly?: boolean;
}

/**
 * Opens a book with the native engine, creating the file when it is not there. `:memory:` gives a book that
 * lives as long as it is open. The engine installs and loads no extension and takes no network.
 */
export async function openNativeBook(path: string, options: NativeBookOptions = {}): Promise<Book> {
  const instance = await DuckDBInstance.create(path, {
    autoinstall_known_extensions: "false",
    autoload_known_extensions: "false",
    ...(options.readOnly ? { access_mode: "READ_ONLY" } : {}),
  });
  const connection = await instance.connect();
  const [{ version }] = (await rowsOf(await connection.run("SELECT version() AS version"))) as [
    { version: string },
  ];

  const inTurn = oneAtATime();
  // once a statement of a transaction has failed, those after it are refused: what went wrong stands in the first
  const wrong: unknown[] = [];
  const turn = <T>(work: () => Promise<T>): Promise<T> =>
    inTurn(work).catch((error: unknown) => {
      wrong.push(error);
      throw error;
    });
  const run = (sql: string, values: readonly SqlValue[] = []): Promise<void> =>
    turn(async () => {
      await (values.length === 0 ? connection.run(sql) : connection.run(sql, [...values]));
    });
  return {
    engine: `duckdb native ${version}`,
    run,
    rows: <Row extends object>(sql: string, values: readonly SqlValue[] = []) =>
      turn(async () => (await rowsOf(await connection.run(sql, [...values]))) as Row[]),
    columns: (sql, values = []) => turn(async () => columnsOf(await connection.run(sql, [...values]))),
    load: (table, columns) => turn(() => load(connection, table, columns)),
    async transaction(work) {
      await run("BEGIN TRANSACTION");
      wrong.length = 0;
      try {
        const result = await work();
        await run("COMMIT");
        return result;
      } catch (error) {
        // after a failed write the engine may refuse even this; what is kept then is what was committed before
        const [first] = wrong;
        await run("ROLLBACK").catch(() => undefined);
        throw /transaction is aborted/.test(String(error)) ? (first ?? error) : error;
      }
    },
    async close() {
      connection.closeSync();
      instance.closeSync();
    },
  };
}

type PlainType = "number" | "text" | "flag";

const plainTypes: Readonly<Partial<Record<DuckDBTypeId, PlainType>>> = {
  [DuckDBTypeId.INTEGER]: "number",
  [DuckDBTypeId.DOUBLE]: "number",
  [DuckDBTypeId.VARCHAR]: "text",
  [DuckDBTypeId.BOOLEAN]: "flag",
};

/** The plain type of every result column; throws, naming the column, when one would differ between engines. */
function typesOf(result: DuckDBMaterializedResult): readonly PlainType[] {
  return result.columnNames().map((name, i) => {
    const type = plainTypes[result.columnTypeId(i)];
    if (type === undefined) {
      throw new Error(
        `column ${name} is ${result.columnType(i)}: cast it to INTEGER, DOUBLE, VARCHAR or BOOLEAN`,
      );
    }
    return type;
  });
}

async function rowsOf(result: DuckDBMaterializedResult): Promise<object[]> {
  typesOf(result);
  const names = result.columnNames();
  const rows: Record<string, unknown>[] = [];
  for (const chunk of await result.fetchAllChunks()) {
    const first = rows.length;
    for (let i = 0; i < chunk.rowCount; i++) rows.push({});
    names.forEach((name, c) => {
      const vector = chunk.getColumnVector(c);
      for (let i = 0; i < chunk.rowCount; i++) rows[first + i]![name] = vector.getItem(i);
    });
  }
  return rows;
}

async function columnsOf(result: DuckDBMaterializedResult): Promise<Columns> {
  const types = typesOf(result);
  const names = result.columnNames();
  const chunks = await result.fetchAllChunks();
  const rowCount = chunks.reduce((sum, chunk) => sum + chunk.rowCount, 0);

  const gather = <T>(name: string, type: PlainType, into: T[] | Float64Array, missing: T): void => {
    const index = names.indexOf(name);
    if (types[index] !== type) throw new Error(`no ${type} column ${name}: there are ${names.join(", ")}`);
    let at = 0;
    for (const chunk of chunks) {
      const vector = chunk.getColumnVector(index);
      for (let i = 0; i < chunk.rowCount; i++)
        (into as T[])[at++] = (vector.getItem(i) as T | null) ?? missing;
    }
  };
  return {
    rowCount,
    number(name) {
      const values = new Float64Array(rowCount);
      gather(name, "number", values, Number.NaN);
      return values;
    },
    text(name) {
      const values = new Array<string | null>(rowCount);
      gather(name, "text", values, null);
      return values;
    },
    flag(name) {
      const values = new Array<boolean | null>(rowCount);
      gather(name, "flag", values, null);
      return values;
    },
  };
}

async function load(
  connection: DuckDBConnection,
  table: string,
  columns: readonly LoadColumn[],
): Promise<void> {
  const [schema, name] = table.includes(".") ? (table.split(".") as [string, string]) : ["main", table];
  const known = (await rowsOf(
    await connection
      .run(`SELECT name FROM pragma_table_info(${quoteText(`${schema}.${name}`)}) ORDER BY cid`)
      .catch((error: unknown) => {
        throw new Error(`no table ${table}`, { cause: error });
      }),
  )) as { name: string }[];
  const given = new Map(columns.map((column) => [column.name, column]));
  const stray = columns.find((column) => !known.some((one) => one.name === column.name));
  if (stray) throw new Error(`table ${table} has no column ${stray.name}`);
  const rowCount = columns[0]?.values.length ?? 0;
  const uneven = columns.find((column) => column.values.length !== rowCount);
  if (uneven)
    throw new Error(`column ${uneven.name} has ${uneven.values.length} values, others have ${rowCount}`);
  if (rowCount === 0) return;

  const appender = await connection.createAppender(name, schema);
  try {
    const types: DuckDBType[] = known.map((_, i) => appender.columnType(i));
    for (let from = 0; from < rowCount; from += ROWS_A_CHUNK * USES_OF_A_CHUNK) {
      appendRows(
        appender,
        types,
        known,
        given,
        from,
        Math.min(rowCount, from + ROWS_A_CHUNK * USES_OF_A_CHUNK),
      );
    }
    appender.flushSync();
  } finally {
    appender.closeSync();
  }
}

/** Rows that one vector of the engine holds. */
const ROWS_A_CHUNK = 2048;

/** A chunk keeps the long texts of every use until it is let go. */
const USES_OF_A_CHUNK = 16;

/** Appends some rows through one chunk; columns that say the same in all of them are filled only once. */
function appendRows(
  appender: DuckDBAppender,
  types: readonly DuckDBType[],
  known: readonly { readonly name: string }[],
  given: ReadonlyMap<string, LoadColumn>,
  from: number,
  to: number,
): void {
  const size = Math.min(ROWS_A_CHUNK, to - from);
  const chunk = DuckDBDataChunk.create(types, size);
  const changing: { readonly vector: DuckDBVector; readonly column: LoadColumn }[] = [];
  known.forEach(({ name }, i) => {
    const vector = chunk.getColumnVector(i);
    const column = given.get(name);
    if (column !== undefined && !saysTheSame(column, from, to)) {
      changing.push({ vector, column });
      return;
    }
    if (column === undefined) for (let row = 0; row < size; row++) vector.setItem(row, null);
    else fill(vector, column, from, size);
    vector.flush();
  });
  for (let at = from; at < to; at += size) {
    const count = Math.min(size, to - at);
    for (const { vector, column } of changing) {
      fill(vector, column, at, count);
      vector.flush();
    }
    chunk.rowCount = count;
    appender.appendDataChunk(chunk);
  }
}

function saysTheSame({ values }: LoadColumn, from: number, to: number): boolean {
  for (let at = from + 1; at < to; at++) if (!Object.is(values[at], values[from])) return false;
  return true;
}

function fill(vector: DuckDBVector, column: LoadColumn, from: number, count: number): void {
  const isDay = column.type === "day";
  for (let i = 0; i < count; i++) {
    const value = column.values[from + i];
    if (value === undefined || value === null || Number.isNaN(value)) vector.setItem(i, null);
    else vector.setItem(i, isDay ? new DuckDBDateValue(value as number) : value);
  }
}
