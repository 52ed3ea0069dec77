import { analyseBook } from "../analyse-book.ts";
import { bookPath, withBook } from "../open-book.ts";
import type { Verb } from "../verb.ts";

export const analyse: Verb = {
  name: "analyse",
  words: "",
  says: "computes every result table and stores the fits",
  options: { seed: { value: "N", says: "seed of everything drawn at random (default 1)" } },
  leastWords: 0,
  mostWords: 0,
  async run(call, rim) {
    return withBook(bookPath(call), false, async (book) => {
      const { flocks, seconds } = await analyseBook(book, call, rim);
      rim.print(`Analysed ${flocks.map((flock) => flock.name).join(", ")} in ${seconds.toFixed(1)} s.`);
      return 0;
    });
  },
};
