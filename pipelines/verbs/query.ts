import { writeDelimited } from "../../src/sheets/write-delimited.ts";
import { alignedTable } from "../aligned-table.ts";
import { bookPath, withBook } from "../open-book.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";

export const query: Verb = {
  name: "query",
  words: '"SQL"',
  says: "reads the book; cannot write, reach files or the network",
  options: { csv: { says: "rows as CSV" }, json: { says: "rows as JSON" } },
  leastWords: 1,
  mostWords: 1,
  async run(call, rim) {
    const sql = call.words[0]!.trim().replace(/;\s*$/, "");
    return withBook(bookPath(call), true, async (book) => {
      await book.run("SET enable_external_access = false; SET lock_configuration = true");
      const rows = await readOnly(() => book.rows<Record<string, string | null>>(asText(sql)));
      if (call.flag("json")) rim.print(JSON.stringify(rows, null, 2));
      else if (call.flag("csv")) rim.print(asCsv(rows));
      else rim.print(alignedTable(rows, rim.width));
      return 0;
    });
  },
};

function asCsv(rows: readonly Readonly<Record<string, string | null>>[]): string {
  const names = Object.keys(rows[0] ?? {});
  return writeDelimited([names, ...rows.map((row) => names.map((name) => row[name] ?? null))]).trimEnd();
}

/**
 * Every column as text, whatever its type. As a subquery the statement can only be one that returns rows:
 * nothing that writes, attaches or installs fits there.
 */
function asText(sql: string): string {
  return `SELECT CAST(COLUMNS(*) AS VARCHAR) FROM (\n${sql}\n) AS asked`;
}

async function readOnly<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw new Unusable(
      `The book could not answer: ${(error as Error).message.replace(/\n\nLINE[\s\S]*$/, "")}`,
    );
  }
}
