import { existsSync, rmSync } from "node:fs";
import { sheetName } from "../../src/intake/sheet-question.ts";
import { bookPath, openOrExplain } from "../open-book.ts";
import { readInput } from "../read-input.ts";
import { countedInWords, countRecords, notRead, takeSheetsIn } from "../take-sheets-in.ts";
import type { Verb } from "../verb.ts";

export const ingest: Verb = {
  name: "ingest",
  words: "FILES…",
  says: "takes sheets into a lasting book, in one transaction",
  options: { replace: { says: "take sheets that the book holds with other bytes in their place" } },
  leastWords: 1,
  mostWords: 10_000,
  async run(call, rim) {
    const input = readInput(call.words);
    const path = bookPath(call);
    // a book that this very call begins stays only when it takes something
    let begun = !existsSync(path);
    const book = await openOrExplain(path, false);
    try {
      const taken = await takeSheetsIn(book, input, "ingest", call.flag("replace"), call, rim);
      begun = false;
      for (const sheet of taken.sheets) {
        const changes =
          sheet.changes === null
            ? ""
            : `: ${sheet.changes.added} rows added, ${sheet.changes.changed} changed, ${sheet.changes.gone} gone`;
        const kept = sheet.question === null ? fates[sheet.fate] : "kept as it came, not read";
        rim.print(`${sheetName(sheet)}: ${kept}${changes}`);
      }
      const counted = await countRecords(book);
      rim.tell(countedInWords(counted));
      if (taken.ingestId !== null)
        rim.print(`Taken as ingest ${taken.ingestId}; coronet undo ${taken.ingestId} takes it back out.`);
      return call.flag("strict") && (counted.setAside > 0 || notRead(taken) > 0) ? 3 : 0;
    } finally {
      await book.close();
      if (begun) for (const file of [path, `${path}.wal`]) rmSync(file, { force: true });
    }
  },
};

const fates = {
  new: "taken",
  unchanged: "the book has it already",
  read_again: "read again under other settings or corrections",
  replaced: "taken in place of the version before",
  changed_not_taken: "differs from the version in the book; take it with --replace",
  gone: "no longer in its file; taken out",
} as const;
