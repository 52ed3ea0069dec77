import { existsSync, renameSync, rmSync } from "node:fs";
import { type Book, quoteText } from "../../src/book/book.ts";
import { bookPath, openOrExplain, withBook } from "../open-book.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";

export const backup: Verb = {
  name: "backup",
  words: "FILE",
  says: "a checked copy of the book, safe while it is open",
  options: {},
  leastWords: 1,
  mostWords: 1,
  async run(call, rim) {
    const target = call.words[0]!;
    if (existsSync(target))
      throw new Unusable(`${target} is there already. Name a new file: a backup never overwrites.`);
    const half = `${target}.part`;
    rmSync(half, { force: true });
    const counted = await withBook(bookPath(call), true, tableCounts);
    const carrier = await openOrExplain(":memory:", false);
    try {
      await carrier.run(
        `ATTACH ${quoteText(bookPath(call))} AS original (READ_ONLY); ATTACH ${quoteText(half)} AS copy; COPY FROM DATABASE original TO copy`,
      );
    } finally {
      await carrier.close();
    }
    const copy = await openOrExplain(half, true);
    const copied = await tableCounts(copy);
    await copy.close();
    if (JSON.stringify(copied) !== JSON.stringify(counted)) {
      rmSync(half, { force: true });
      throw new Error("the copy does not hold what the book holds; nothing was kept");
    }
    renameSync(half, target);
    rim.print(
      `Copied ${counted.length} tables, ${counted.reduce((sum, table) => sum + table.rows, 0)} rows, to ${target}.`,
    );
    return 0;
  },
};

type Counted = readonly { readonly name: string; readonly rows: number }[];

/** Rows of every table, counted one by one. */
async function tableCounts(book: Book): Promise<Counted> {
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
