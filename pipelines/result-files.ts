import type { Book } from "../src/book/book.ts";
import type { PageFile } from "../src/report/page-shell.tsx";
import { writeDelimited } from "../src/sheets/write-delimited.ts";

/** Every result table as CSV, and the manifest of the run. */
export async function resultFiles(book: Book): Promise<readonly PageFile[]> {
  const tables = await book.rows<{ name: string }>(
    "SELECT table_name AS name FROM duckdb_tables() WHERE schema_name = 'results' AND database_name = current_database() ORDER BY table_name",
  );
  const files: PageFile[] = [];
  for (const { name } of tables)
    files.push({ path: `results/${name}.csv`, content: await tableAsCsv(book, `results."${name}"`) });
  const [manifest] = await book.rows<Record<string, string>>(
    "SELECT CAST(COLUMNS(*) AS VARCHAR) FROM results.manifest",
  );
  return [...files, { path: "manifest.json", content: `${JSON.stringify(manifest, null, 2)}\n` }];
}

/** A table of the book as CSV; days as ISO dates. */
export async function tableAsCsv(book: Book, table: string): Promise<string> {
  const rows = await book.rows<Record<string, string | null>>(
    `SELECT CAST(COLUMNS(*) AS VARCHAR) FROM ${table} ORDER BY ALL`,
  );
  const columns = await book.rows<{ name: string }>(`SELECT column_name AS name FROM (DESCRIBE ${table})`);
  const names = columns.map(({ name }) => name);
  return writeDelimited([names, ...rows.map((row) => names.map((name) => row[name] ?? null))], {
    byteOrderMark: true,
  });
}
