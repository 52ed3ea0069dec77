import type { Book } from "../../src/book/book.ts";
import type { FlockOptions } from "../../src/demo/flock-options.ts";
import type { FlockTruth } from "../../src/demo/flock-truth.ts";
import { inventFlock } from "../../src/demo/invent-flock.ts";
import { analyse } from "../../src/findings/analyse.ts";
import type { Flock } from "../../src/records/flock.ts";
import { type HerdSheets, herdBook } from "../findings/herd-book.ts";

/** An invented flock's book after some steps of the analysis, with the truth behind it. */
export interface InventedBook {
  readonly book: Book;
  readonly truth: FlockTruth;
  readonly flock: Flock;
  /** Place of each tag in the truth's arrays. */
  readonly place: ReadonlyMap<string, number>;
}

export interface BookPlan {
  /** Steps of the analysis that are run, by name. */
  readonly steps: ReadonlySet<string>;
  /** Last day, ISO, of what was written down; the truth goes on. */
  readonly until?: string;
}

const ALWAYS = ["exposure", "measurement_error", "growth_interval", "animal days"];

/** Invents a flock, keeps its records up to a day, and runs the steps asked. The caller closes the book. */
export async function inventedBook(options: FlockOptions, plan: BookPlan): Promise<InventedBook> {
  const { sheets, truth } = inventFlock({ detail: "study", ...options });
  const book = await herdBook(plan.until === undefined ? sheets : writtenBy(sheets, plan.until));
  const flocks = await analyse(book, {
    calendarDay: 100_000,
    on: null,
    seed: options.seed,
    version: "coverage",
    madeAt: "",
    step: async (name, work) => {
      if (ALWAYS.includes(name) || plan.steps.has(name)) await work();
    },
  });
  const place = new Map(truth.animals.map((animal, i) => [animal.tag, i]));
  return { book, truth, flock: flocks[0]!, place };
}

function writtenBy(sheets: HerdSheets, until: string): HerdSheets {
  return Object.fromEntries(
    Object.entries(sheets).map(([kind, rows]) => [
      kind,
      rows.filter((row) => {
        const day = row.date ?? row.from ?? null;
        return day === null || String(day) <= until;
      }),
    ]),
  );
}
