import type { Book } from "../../src/book/book.ts";
import { fillExposure } from "../../src/exposure/fill-exposure.ts";
import { readFlocks } from "../../src/exposure/flocks.ts";
import { fillAnimalDays } from "../../src/findings/animal-day.ts";
import { fillAnimalStretches } from "../../src/findings/animal-stretch.ts";
import { onThisThread } from "../../src/findings/crew.ts";
import { type Finding, type FindingContext, runFinding } from "../../src/findings/finding.ts";
import { fillGaitDays } from "../../src/findings/gait-day.ts";
import { growthInterval } from "../../src/findings/growth-interval.ts";
import { measurementError } from "../../src/findings/measurement-error.ts";
import { parseIsoDay } from "../../src/records/days.ts";
import type { Settings } from "../../src/records/settings.ts";
import { type HerdRow, type HerdSheets, herdBook, loadHerd } from "./herd-book.ts";

/**
 * Small flocks gathered from the tests of one file, so that one book and one run of the findings serve them all: a
 * statement over a dozen flocks takes as long as over one.
 */
export class SmallFlocks {
  readonly #flocks: { readonly sheets: HerdSheets; readonly settings: Partial<Settings> }[] = [];

  /** Adds a flock, and tells the name that it has in the book. */
  add(sheets: HerdSheets, settings: Partial<Settings> = {}): string {
    this.#flocks.push({ sheets, settings });
    return flockName(this.#flocks.length - 1);
  }

  /** Loads the flocks into a book in memory and works out some findings, in the order given. */
  async find(
    findings: readonly Finding[],
    options: { readonly on?: string; readonly seed?: number } = {},
  ): Promise<Book> {
    const [first, ...others] = this.#flocks;
    const book = await herdBook(first!.sheets, first!.settings, flockName(0));
    await book.run("SET threads = 1");
    for (const [i, { sheets, settings }] of others.entries()) {
      await loadHerd(book, sheets, settings, flockName(i + 1));
    }
    await findIn(book, findings, options);
    return book;
  }
}

const flockName = (place: number): string => `flock ${place}`;

/** Works out exposure and some findings in a book whose herd tables are filled. */
async function findIn(
  book: Book,
  findings: readonly Finding[],
  { on, seed }: { readonly on?: string; readonly seed?: number } = {},
): Promise<FindingContext> {
  const flocks = await readFlocks(book, 100_000, on === undefined ? null : parseIsoDay(on));
  const context: FindingContext = { book, flocks, seed: seed ?? 1, crew: onThisThread };
  await fillExposure(book, flocks);
  await runFinding(measurementError, context);
  await runFinding(growthInterval, context);
  await fillGaitDays(book, flocks);
  await fillAnimalDays(book);
  await fillAnimalStretches(book);
  for (const finding of findings) await runFinding(finding, context);
  return context;
}

/** Grown does, one row an animal. */
export function does(tags: readonly string[]): HerdRow[] {
  return tags.map((animal) => ({ animal, sex: "female", born: "2019-01-01" }));
}

/** Where each of some animals stood from a day on. */
export function stand(tags: readonly string[], pen: string, from = "2023-01-01"): HerdRow[] {
  return tags.map((animal) => ({ animal, pen, from }));
}

/** `count` tags with a letter before their number. */
export function tagsOf(letter: string, count: number): string[] {
  return Array.from({ length: count }, (_, i) => `${letter}${i}`);
}
