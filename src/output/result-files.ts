import type { Book } from "../book/book.ts";
import { manifestTable } from "../findings/manifest.ts";
import { readTable } from "../findings/read-table.ts";
import type { PageFile } from "../report/page-shell.tsx";
import { type DelimitedCell, writeDelimited } from "../sheets/write-delimited.ts";

/** Seconds that each step of a run took. */
export type StepSeconds = Readonly<Record<string, number>>;

/**
 * Every result table as CSV, and the manifest of the run as JSON. How long the steps took stands in that file alone: the
 * book itself is the same whenever and wherever it is made.
 */
export async function resultFiles(book: Book, seconds: StepSeconds = {}): Promise<readonly PageFile[]> {
  const tables = await book.rows<{ name: string }>(
    "SELECT table_name AS name FROM duckdb_tables() WHERE schema_name = 'results' AND database_name = current_database() ORDER BY table_name",
  );
  const files: PageFile[] = [];
  for (const { name } of tables)
    files.push({ path: `results/${name}.csv`, content: await tableAsCsv(book, `results."${name}"`) });
  const [manifest] = await readTable(book, manifestTable);
  if (manifest === undefined) return files;
  const whole = {
    ...manifest,
    inputs: JSON.parse(manifest.inputs) as unknown,
    settings: JSON.parse(manifest.settings) as unknown,
    seconds,
  };
  return [...files, { path: "manifest.json", content: `${JSON.stringify(whole, null, 2)}\n` }];
}

/** A table of the book as CSV: numbers as numbers, days as ISO dates. */
export async function tableAsCsv(book: Book, table: string): Promise<string> {
  const rows = await book.rows<Record<string, string | null>>(
    `SELECT CAST(COLUMNS(*) AS VARCHAR) FROM (SELECT * FROM ${table} ORDER BY ALL)`,
  );
  const columns = await book.rows<{ name: string; type: string }>(
    `SELECT column_name AS name, column_type AS type FROM (DESCRIBE ${table})`,
  );
  const cell = (text: string | null | undefined, type: string): DelimitedCell =>
    text == null ? null : NUMERIC.has(type) ? Number(text) : text;
  return writeDelimited(
    [
      columns.map(({ name }) => name),
      ...rows.map((row) => columns.map(({ name, type }) => cell(row[name], type))),
    ],
    { byteOrderMark: true },
  );
}

const NUMERIC: ReadonlySet<string> = new Set(["INTEGER", "DOUBLE"]);
