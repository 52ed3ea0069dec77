import { existsSync } from "node:fs";
import { checkedCopy } from "../checked-copy.ts";
import { bookPath, withBook } from "../open-book.ts";
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
    // opened first so that a book that cannot be read is explained
    const counted = await withBook(bookPath(call), true, () => checkedCopy(bookPath(call), target));
    rim.print(
      `Copied ${counted.length} tables, ${counted.reduce((sum, table) => sum + table.rows, 0)} rows, to ${target}.`,
    );
    return 0;
  },
};
