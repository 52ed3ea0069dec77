import { renameSync, rmSync } from "node:fs";
import { type Book, quoteText } from "../src/book/book.ts";
import { openNativeBook } from "./native-book.ts";

export type TableCounts = readonly { readonly name: string; readonly rows: number }[];

/**
 * Copies a book, safe while others read it, and counts the rows of every table of the copy against the book
 * before the copy gets its name. Gives what was counted. Nothing stands at `target` unless all agrees.
 */
export async function checkedCopy(source: string, target: string): Promise<TableCounts> {
  const half = `${target}.part`;
  clear(half);
  try {
    const carrier = await openNativeBook(":memory:");
    try {
      await carrier.run(
        `ATTACH ${quoteText(source)} AS original (READ_ONLY); ATTACH ${quoteText(half)} AS copy; COPY FROM DATABASE original TO copy; CHECKPOINT copy`,
      );
    } finally {
      await carrier.close();
    }
    const counted = await countTables(source);
    if (JSON.stringify(await countTables(half)) !== JSON.stringify(counted))
      throw new Error("the copy does not hold what the book holds; nothing was kept");
    renameSync(half, target);
    return counted;
  } finally {
    clear(half);
  }
}

function clear(path: string): void {
  for (const file of [path, `${path}.wal`]) rmSync(file, { force: true });
}

async function countTables(path: string): Promise<TableCounts> {
  const book = await openNativeBook(path, { readOnly: true });
  try {
    return await tableCounts(book);
  } finally {
    await book.close();
  }
}

/** Rows of every table, counted one by one. */
async function tableCounts(book: Book): Promise<TableCounts> {
  const tables = await book.rows<{ name: string }>(
    `SELECT '"' || schema_name || '"."' || table_name || '"' AS name FROM duckdb_tables() WHERE database_name = current_database() ORDER BY ALL`,
  );
  const counts: { name: string; rows: number }[] = [];
  for (const { name } of tables) {
    const [row] = await book.rows<{ rows: number }>(`SELECT CAST(count(*) AS INTEGER) AS rows FROM ${name}`);
    counts.push({ name, rows: row!.rows });
  }
  return counts;
}
