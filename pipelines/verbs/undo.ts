import { undo as undoIngest } from "../../src/intake/undo.ts";
import { bookPath, withBook } from "../open-book.ts";
import { countedInWords, countRecords } from "../take-sheets-in.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";

export const undo: Verb = {
  name: "undo",
  words: "INGEST_ID",
  says: "takes one ingest back out of the book",
  options: {},
  leastWords: 1,
  mostWords: 1,
  async run(call, rim) {
    const id = Number(call.words[0]);
    return withBook(bookPath(call), false, async (book) => {
      if (!Number.isInteger(id) || !(await undoIngest(book, id))) {
        const held = await book.rows<{ id: number; taken_at: string }>(
          "SELECT ingest_id AS id, taken_at FROM intake.ingest ORDER BY ingest_id",
        );
        throw new Unusable(
          `The book has no ingest ${call.words[0]}. It has: ${held.map((one) => `${one.id} (${one.taken_at})`).join(", ") || "none"}.`,
        );
      }
      rim.print(
        `Ingest ${id} is out of the book. ${countedInWords(await countRecords(book))} Run coronet analyse to bring the results up to date.`,
      );
      return 0;
    });
  },
};
