import type { Book } from "../../src/book/book.ts";
import { coverage } from "../../src/findings/coverage.ts";
import type { Finding } from "../../src/findings/finding.ts";
import { lameness } from "../../src/findings/lameness.ts";
import type { Flock } from "../../src/records/flock.ts";
import { ratePerMonth } from "../../src/report/length-units.ts";
import { percentWithLimits } from "../../src/report/numbers.ts";
import { growthWords } from "../../src/report/words/growth.ts";
import { lamenessWords } from "../../src/report/words/lameness.ts";
import { studyWords } from "../../src/report/words/study.ts";

/** What needs no model: it stands while models are still being fitted. */
export const firstFindings: readonly Finding[] = [coverage, lameness];

/**
 * What can be said of each flock over all its records once a step of the analysis is done, in the words of the
 * season pages: each sentence with its limits and its count. Most steps say nothing by themselves.
 */
export async function sayFirst(
  book: Book,
  step: string,
  flocks: readonly Flock[],
): Promise<readonly string[]> {
  const say = sayings[step];
  if (say === undefined) return [];
  const said = await Promise.all(
    flocks.map(async (flock) => {
      const sentences = await say(book, flock);
      return sentences.map((one) => (flocks.length > 1 ? `${flock.name}: ${one}` : one));
    }),
  );
  return said.flat();
}

async function sayCoverage(book: Book, { id, settings }: Flock): Promise<readonly string[]> {
  const rows = await book.rows<{ measured: number; scored: number; present: number }>(
    `SELECT measured, scored, present FROM results.coverage
     WHERE flock = ? AND season = 'all' AND group_kind = 'flock'`,
    [id],
  );
  const { coverageHeading } = studyWords[settings.language ?? "en"];
  return rows.map(({ measured, scored, present }) => `${coverageHeading(measured, scored, present)}.`);
}

/** One sentence for each scale that the flock was scored on. */
async function sayLameness(book: Book, { id, settings }: Flock): Promise<readonly string[]> {
  const language = settings.language ?? "en";
  const rows = await book.rows<{
    lame_animals: number;
    scored_animals: number;
    prevalence: number;
    lo: number | null;
    hi: number | null;
  }>(
    `SELECT lame_animals, scored_animals, prevalence, lo, hi FROM results.lameness
     WHERE flock = ? AND season = 'all' AND group_kind = 'flock' AND prevalence IS NOT NULL`,
    [id],
  );
  return rows.map(({ lame_animals: lame, scored_animals: scored, prevalence, lo, hi }) => {
    const share =
      lame === 0
        ? percentWithLimits({ value: hi ?? 1, lo: null, hi: null }, language)
        : percentWithLimits({ value: prevalence, lo, hi }, language);
    return lamenessWords[language].sentence(lame, scored, share);
  });
}

async function sayGrowth(book: Book, { id, settings }: Flock): Promise<readonly string[]> {
  const { language = "en", units = "mm" } = settings;
  const rows = await book.rows<{
    animals: number;
    rate_mm_30d: number;
    lo: number | null;
    hi: number | null;
  }>(
    `SELECT animals, rate_mm_30d, lo, hi FROM results.growth_summary
     WHERE flock = ? AND season = 'all' AND group_kind = 'flock' AND rate_mm_30d IS NOT NULL`,
    [id],
  );
  return rows.map(({ animals, rate_mm_30d: value, lo, hi }) =>
    growthWords[language].sentence(ratePerMonth({ value, lo, hi }, units, language), animals),
  );
}

const sayings: Readonly<Record<string, typeof sayCoverage>> = {
  coverage: sayCoverage,
  lameness: sayLameness,
  growth_summary: sayGrowth,
};
