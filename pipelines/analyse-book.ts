import type { Book } from "../src/book/book.ts";
import { analyse } from "../src/findings/analyse.ts";
import type { StepSeconds } from "../src/output/result-files.ts";
import type { Flock } from "../src/records/flock.ts";
import { ensureSecret } from "./anonymous-book.ts";
import type { Rim } from "./rim.ts";
import type { Call } from "./verb.ts";
import { version } from "./version.ts";

export interface Analysed {
  readonly flocks: readonly Flock[];
  readonly seconds: number;
  /** Seconds that each step took. */
  readonly steps: StepSeconds;
}

/** Computes every result table in one transaction, telling each step where a person watches. */
export async function analyseBook(book: Book, call: Call, rim: Rim): Promise<Analysed> {
  const started = performance.now();
  const watched = !call.flag("quiet") && process.stderr.isTTY;
  await ensureSecret(book);
  const steps: Record<string, number> = {};
  const flocks = await book.transaction(() =>
    analyse(book, {
      calendarDay: rim.today,
      on: null,
      seed: call.number("seed") ?? 1,
      version,
      madeAt: rim.instant,
      crew: rim.hands().crew,
      step: async (name, work) => {
        const begun = performance.now();
        await work();
        const seconds = (performance.now() - begun) / 1000;
        steps[name] = Math.round(1000 * seconds) / 1000;
        if (watched) rim.tell(`  ${name}: ${seconds.toFixed(1)} s`);
      },
    }),
  );
  return { flocks, seconds: (performance.now() - started) / 1000, steps };
}
