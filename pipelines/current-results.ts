import type { Book } from "../src/book/book.ts";
import { resultTables } from "../src/findings/analyse.ts";
import { Unusable } from "./unusable.ts";

/** Stops where the book holds no results, or those of a version of the program with other tables. */
export async function requireCurrentResults(book: Book): Promise<void> {
  const held = new Set(
    (
      await book.rows<{ name: string }>(
        "SELECT schema_name || '.' || table_name || '.' || column_name AS name FROM duckdb_columns() WHERE database_name = current_database()",
      )
    ).map(({ name }) => name),
  );
  const wanted = resultTables.flatMap(({ schema, name, columns }) =>
    Object.keys(columns).map((column) => `${schema}.${name}.${column}`),
  );
  const missing = wanted.filter((name) => !held.has(name));
  if (missing.length === 0) return;
  throw new Unusable(
    missing.length === wanted.length
      ? "The book holds no results yet. Run coronet analyse first."
      : `The book's results are those of another version of the program (${missing[0]} is not among them). Run coronet analyse to bring them up to date.`,
  );
}
