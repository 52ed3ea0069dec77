import { type Answer, askBook, shutBook, wordRefusal } from "../../src/book/ask-book.ts";
import { writeDelimited } from "../../src/sheets/write-delimited.ts";
import { alignedTable } from "../aligned-table.ts";
import { anonymousOptions, withReadableBook } from "../anonymous-book.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";

export const query: Verb = {
  name: "query",
  words: '"SQL"',
  says: "reads the book; cannot write, reach files or the network",
  options: { csv: { says: "rows as CSV" }, json: { says: "rows as JSON" }, ...anonymousOptions },
  leastWords: 1,
  mostWords: 1,
  async run(call, rim) {
    return withReadableBook(call, rim, null, async (book) => {
      await shutBook(book);
      const answer = await readOnly(() => askBook(book, call.words[0]!));
      if (call.flag("json")) rim.print(JSON.stringify(answer.rows, null, 2));
      else if (call.flag("csv")) rim.print(asCsv(answer));
      else rim.print(alignedTable(answer.rows, rim.width));
      return 0;
    });
  },
};

function asCsv({ columns, rows }: Answer): string {
  const names = columns.map(({ name }) => name);
  return writeDelimited([names, ...rows.map((row) => names.map((name) => row[name] ?? null))]).trimEnd();
}

async function readOnly<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw new Unusable(`The book could not answer: ${wordRefusal(error)}`);
  }
}
