import type { Book } from "../book/book.ts";
import { fillExposure } from "../exposure/fill-exposure.ts";
import { readFlocks } from "../exposure/flocks.ts";
import type { DayNumber } from "../records/days.ts";
import type { Flock } from "../records/flock.ts";
import type { TableDefinition } from "../records/table.ts";
import { agreement } from "./agreement.ts";
import { fillAnimalDays } from "./animal-day.ts";
import { fillAnimalStretches } from "./animal-stretch.ts";
import { association } from "./association.ts";
import { lines } from "./breeding/lines.ts";
import { cases } from "./case.ts";
import { caseSummary } from "./case-summary.ts";
import { coverage } from "./coverage.ts";
import { type Crew, onThisThread } from "./crew.ts";
import { diet } from "./diet.ts";
import { createTable, type Finding, type FindingContext, runFinding } from "./finding.ts";
import { flockProfile } from "./flock-profile.ts";
import { forecastScore } from "./forecast-score.ts";
import { fillGaitDays } from "./gait-day.ts";
import { growthAnimal } from "./growth-animal.ts";
import { growthInterval } from "./growth-interval.ts";
import { growthSummary } from "./growth-summary.ts";
import { growthVariances } from "./growth-variances.ts";
import { inOrder } from "./in-order.ts";
import { lameness } from "./lameness.ts";
import { lesion } from "./lesion.ts";
import { manifestTable, wordingTable, writeManifest } from "./manifest.ts";
import { measurementError } from "./measurement-error.ts";
import { monthWatch } from "./month-watch.ts";
import { nextCheck } from "./next-check.ts";
import { pooledFlocks } from "./pooled-flocks.ts";
import { quality } from "./quality.ts";
import { recordFlow } from "./record-flow.ts";
import { retrim } from "./retrim.ts";
import { seasonChange } from "./season-change.ts";
import { signal } from "./signal.ts";
import { studyBasis } from "./study-basis.ts";
import { trialEffect } from "./trial-effect.ts";
import { trimQuality } from "./trim-quality.ts";
import { trimSpell } from "./trim-spell.ts";

/** Every finding, in the order of what it is about. */
export const findings: readonly Finding[] = [
  growthSummary,
  growthAnimal,
  growthVariances,
  seasonChange,
  lines,
  lameness,
  agreement,
  monthWatch,
  signal,
  lesion,
  cases,
  caseSummary,
  coverage,
  flockProfile,
  recordFlow,
  trimQuality,
  trimSpell,
  retrim,
  nextCheck,
  forecastScore,
  association,
  diet,
  trialEffect,
  studyBasis,
  quality,
  pooledFlocks,
];

/** Every table that an analysis fills, for dictionaries of what the book holds. */
export const resultTables: readonly TableDefinition[] = [
  ...[measurementError, growthInterval, ...findings].flatMap(({ tables }) => tables),
  manifestTable,
  wordingTable,
];

export interface AnalyseOptions {
  /** The calendar day of the run: nothing done later counts. */
  readonly calendarDay: DayNumber;
  /** The day the figures speak of; null: the last day on which anything was done. */
  readonly on: DayNumber | null;
  readonly seed: number;
  readonly version: string;
  /** The instant of the run, for the manifest. */
  readonly madeAt: string;
  /** Who does the jobs that only compute; this thread where nobody is given. */
  readonly crew?: Crew;
  /** Findings that somebody waits for: filled in this order before any other begins. They read no other's tables. */
  readonly first?: readonly Finding[];
  /** Told the name of each step as it starts, and its seconds when it ends. */
  readonly step?: (name: string, work: () => Promise<void>) => Promise<void>;
}

/**
 * Computes exposure and every result table anew. Returns the flocks that it found. The engine adds up numbers
 * on one thread meanwhile: on several, sums of the same rows differ in their last digits from run to run, and
 * the same book must give the same bytes.
 */
export async function analyse(book: Book, options: AnalyseOptions): Promise<readonly Flock[]> {
  await book.run("SET threads = 1");
  try {
    return await analyseInOrder(book, options);
  } finally {
    await book.run("RESET threads");
  }
}

async function analyseInOrder(book: Book, options: AnalyseOptions): Promise<readonly Flock[]> {
  const flocks = await readFlocks(book, options.calendarDay, options.on);
  const context: FindingContext = { book, flocks, seed: options.seed, crew: options.crew ?? onThisThread };
  const step = options.step ?? ((_name, work) => work());
  await step("exposure", () => fillExposure(book, flocks));
  await step("measurement_error", () => runFinding(measurementError, context));
  await step("growth_interval", () => runFinding(growthInterval, context));
  await step("animal days", async () => {
    await fillGaitDays(book, flocks);
    await fillAnimalDays(book);
    await fillAnimalStretches(book);
  });
  const first = options.first ?? [];
  const run = (finding: Finding): Promise<void> =>
    step(finding.tables[0]!.name, () => runFinding(finding, context));
  for (const finding of first) await run(finding);
  await inOrder(
    findings.filter((finding) => !first.includes(finding)),
    run,
    async (finding) => finding.begin?.(context),
  );
  for (const table of [manifestTable, wordingTable]) await book.run(createTable(table));
  await writeManifest(book, {
    version: options.version,
    madeAt: options.madeAt,
    seed: options.seed,
  });
  return flocks;
}
