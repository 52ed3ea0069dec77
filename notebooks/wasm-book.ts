import {
  type Book,
  type Columns,
  type LoadColumn,
  quoteName,
  quoteText,
  type SqlValue,
  sqlTypes,
} from "../src/book/book.ts";

/**
 * The part of DuckDB's WebAssembly engine that a book needs. The engine in a page answers with promises, the
 * one in Node at once: both fit.
 */
export interface WasmEngine {
  query(sql: string): WasmTable | Promise<WasmTable>;
  prepare(sql: string): WasmStatement | Promise<WasmStatement>;
  /** Lends a text to the engine under a file name, until it is dropped. */
  lendFile(name: string, text: string): void | Promise<void>;
  dropFile(name: string): unknown;
  close(): void | Promise<void>;
}

export interface WasmStatement {
  query(...values: readonly SqlValue[]): WasmTable | Promise<WasmTable>;
  close(): void | Promise<void>;
}

export interface WasmTable {
  readonly numRows: number;
  readonly schema: {
    readonly fields: readonly { readonly name: string; readonly type: { toString(): string } }[];
  };
  getChildAt(index: number): { get(row: number): unknown } | null;
}

type PlainType = "number" | "text" | "flag";

const plainTypes: Readonly<Record<string, PlainType>> = {
  Int32: "number",
  Float64: "number",
  Utf8: "text",
  Bool: "flag",
  Null: "text",
};

/**
 * A book on the WebAssembly engine. Extensions are neither installed nor loaded, since fetching one would hang
 * without a network; rows go in as delimited text, which needs none.
 */
export async function openWasmBook(engine: WasmEngine): Promise<Book> {
  await engine.query("SET autoinstall_known_extensions = false");
  await engine.query("SET autoload_known_extensions = false");
  const version = textAt(await engine.query("SELECT version() AS version"), 0, 0);
  let lent = 0;
  const columnsOfTable = new Map<string, readonly string[]>();

  const ask = async (sql: string, values: readonly SqlValue[]): Promise<WasmTable> => {
    if (values.length === 0) return engine.query(sql);
    if (values.some(isLong)) return askWithFiles(sql, values);
    const statement = await engine.prepare(sql);
    try {
      return await statement.query(...values);
    } finally {
      await statement.close();
    }
  };
  const askWithFiles = async (sql: string, values: readonly SqlValue[]): Promise<WasmTable> => {
    const files = new Map<number, string>();
    for (const [i, value] of values.entries()) {
      if (!isLong(value)) continue;
      const file = `value-${lent++}.txt`;
      await engine.lendFile(file, value);
      files.set(i, file);
    }
    try {
      return await ask(
        withFiles(sql, files),
        values.filter((_, i) => !files.has(i)),
      );
    } finally {
      for (const file of files.values()) await engine.dropFile(file);
    }
  };
  const run = async (sql: string, values: readonly SqlValue[] = []): Promise<void> => {
    await ask(sql, values);
  };
  const rows = async <Row extends object>(sql: string, values: readonly SqlValue[] = []): Promise<Row[]> =>
    rowsOf(await ask(sql, values)) as Row[];

  return {
    engine: `duckdb wasm ${version}`,
    run,
    rows,
    columns: async (sql, values = []) => columnsOf(await ask(sql, values)),
    async load(table, columns) {
      const known = columnsOfTable.get(table) ?? (await tableColumns(rows, table));
      columnsOfTable.set(table, known);
      checkLoad(table, known, columns);
      if ((columns[0]?.values.length ?? 0) === 0) return;
      const file = `load-${lent++}.csv`;
      await engine.lendFile(file, textOf(columns));
      try {
        await run(loadStatement(table, columns, file));
      } finally {
        await engine.dropFile(file);
      }
    },
    async transaction(work) {
      await run("BEGIN TRANSACTION");
      try {
        const result = await work();
        await run("COMMIT");
        return result;
      } catch (error) {
        await run("ROLLBACK");
        throw error;
      }
    },
    close: async () => engine.close(),
  };
}

/** The engine puts the values of a statement on its stack, which a megabyte overruns unseen; a file lies on its heap. */
const LONGEST_VALUE = 65_536;

function isLong(value: SqlValue): value is string {
  return typeof value === "string" && value.length > LONGEST_VALUE;
}

/** What stands in quotes, and a mark that a value is put for. */
const quotedOrMark = /'(?:[^']|'')*'|"(?:[^"]|"")*"|\?/g;

/** The statement with each long value read from the file of its name instead of given. */
function withFiles(sql: string, files: ReadonlyMap<number, string>): string {
  let mark = 0;
  return sql.replace(quotedOrMark, (part) => {
    const file = part === "?" ? files.get(mark++) : undefined;
    return file === undefined ? part : `(SELECT content FROM read_text(${quoteText(file)}))`;
  });
}

function typesOf(table: WasmTable): readonly PlainType[] {
  return table.schema.fields.map(({ name, type }) => {
    const plain = plainTypes[type.toString()];
    if (plain === undefined)
      throw new Error(`column ${name} is ${type}: cast it to INTEGER, DOUBLE, VARCHAR or BOOLEAN`);
    return plain;
  });
}

function rowsOf(table: WasmTable): object[] {
  typesOf(table);
  const columns = table.schema.fields.map(({ name }, i) => ({ name, column: table.getChildAt(i)! }));
  return Array.from({ length: table.numRows }, (_, row) =>
    Object.fromEntries(columns.map(({ name, column }) => [name, column.get(row)])),
  );
}

function columnsOf(table: WasmTable): Columns {
  const types = typesOf(table);
  const names = table.schema.fields.map(({ name }) => name);
  const cells = (name: string, type: PlainType): { get(row: number): unknown } => {
    const index = names.indexOf(name);
    if (types[index] !== type) throw new Error(`no ${type} column ${name}: there are ${names.join(", ")}`);
    return table.getChildAt(index)!;
  };
  const list = <T>(name: string, type: PlainType): (T | null)[] => {
    const column = cells(name, type);
    return Array.from({ length: table.numRows }, (_, row) => column.get(row) as T | null);
  };
  return {
    rowCount: table.numRows,
    number: (name) => Float64Array.from(list<number>(name, "number"), (value) => value ?? Number.NaN),
    text: (name) => list<string>(name, "text"),
    flag: (name) => list<boolean>(name, "flag"),
  };
}

function textAt(table: WasmTable, column: number, row: number): string {
  return String(table.getChildAt(column)?.get(row));
}

async function tableColumns(rows: Book["rows"], table: string): Promise<readonly string[]> {
  const [schema, name] = table.includes(".") ? (table.split(".") as [string, string]) : ["main", table];
  const known = await rows<{ name: string }>(
    `SELECT column_name AS name FROM duckdb_columns() WHERE database_name = current_database()
       AND schema_name = ${quoteText(schema)} AND table_name = ${quoteText(name)} ORDER BY column_index`,
  );
  if (known.length === 0) throw new Error(`no table ${table}`);
  return known.map((column) => column.name);
}

function checkLoad(table: string, known: readonly string[], columns: readonly LoadColumn[]): void {
  const stray = columns.find((column) => !known.includes(column.name));
  if (stray) throw new Error(`table ${table} has no column ${stray.name}`);
  const rowCount = columns[0]?.values.length ?? 0;
  const uneven = columns.find((column) => column.values.length !== rowCount);
  if (uneven)
    throw new Error(`column ${uneven.name} has ${uneven.values.length} values, others have ${rowCount}`);
}

/** Marks that hardly any sheet holds part the cells, so that few of them need quotes. */
const DELIMITER = "\u001f";
const QUOTE = "\u001e";
const needsQuotes = new RegExp(`[${DELIMITER}${QUOTE}\\r\\n]`);

/** The columns as delimited text. Each text is marked with a leading `=`: an empty one and a missing one stay apart. */
function textOf(columns: readonly LoadColumn[]): string {
  const rowCount = columns[0]?.values.length ?? 0;
  const blank = columns.length === 1 ? QUOTE + QUOTE : "";
  const cellOf = ({ type, values }: LoadColumn, row: number): string => {
    const value = values[row] ?? null;
    if (value === null || Number.isNaN(value)) return blank;
    if (type !== "text") return String(value);
    const text = value as string;
    return needsQuotes.test(text) ? `${QUOTE}=${text.replaceAll(QUOTE, QUOTE + QUOTE)}${QUOTE}` : `=${text}`;
  };
  const lines: string[] = [];
  for (let row = 0; row < rowCount; row++) {
    lines.push(columns.map((column) => cellOf(column, row)).join(DELIMITER));
  }
  return `${lines.join("\n")}\n`;
}

function loadStatement(table: string, columns: readonly LoadColumn[], file: string): string {
  const target = table.split(".").map(quoteName).join(".");
  const names = columns.map((column) => quoteName(column.name)).join(", ");
  const cells = columns.map((column, i) => {
    const cell = `c${i}`;
    if (column.type === "text") return `substr(${cell}, 2)`;
    if (column.type === "day") return `DATE '1970-01-01' + CAST(CAST(${cell} AS DOUBLE) AS INTEGER)`;
    if (column.type === "integer") return `CAST(CAST(${cell} AS DOUBLE) AS INTEGER)`;
    return `CAST(${cell} AS ${sqlTypes[column.type]})`;
  });
  const shape = columns.map((_, i) => `'c${i}': 'VARCHAR'`).join(", ");
  return `INSERT INTO ${target} (${names}) SELECT ${cells.join(", ")}
    FROM read_csv(${quoteText(file)}, columns = {${shape}}, header = false, delim = '${DELIMITER}', quote = '${QUOTE}', escape = '${QUOTE}', new_line = '\\n', nullstr = '', auto_detect = false, parallel = false)`;
}
