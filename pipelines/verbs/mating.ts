import { readFlocks } from "../../src/exposure/flocks.ts";
import { mating as matingOf } from "../../src/findings/breeding/mating.ts";
import { matingText } from "../../src/report/mating-text.ts";
import { matingWords } from "../../src/report/words/mating.ts";
import { alignedTable } from "../aligned-table.ts";
import { oneFlock } from "../one-flock.ts";
import { bookPath, withBook } from "../open-book.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";

export const mating: Verb = {
  name: "mating",
  words: "SIRE DAM",
  says: "expected inbreeding of a kid and mid-parent values of growth and lameness, with reliability",
  options: {},
  leastWords: 2,
  mostWords: 2,
  async run(call, rim) {
    return withBook(bookPath(call), true, async (book) => {
      const flock = oneFlock(call, await readFlocks(book, rim.today, null));
      const language = call.language ?? flock.settings.language ?? "en";
      const told = await matingOf(book, flock.id, {
        sire: call.words[0]!.trim(),
        dam: call.words[1]!.trim(),
      });
      if ("length" in told) throw new Unusable(told.map(matingWords[language].trouble).join("\n"));
      const text = matingText(told, { name: flock.name, unit: flock.settings.units ?? "mm" }, language);
      for (const line of text.above) rim.print(line);
      rim.print("");
      rim.print(alignedTable(text.rows, rim.width));
      rim.print("");
      for (const line of text.below) rim.print(line);
      return 0;
    });
  },
};
