import type { FlockOptions } from "../../src/demo/flock-options.ts";
import { checkOutlooks } from "../../src/findings/check-outlook.ts";
import { nextCheckTable } from "../../src/findings/next-check.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { isoDay } from "../../src/records/days.ts";
import { dayAfterStart, longestAfter, START } from "./claw-truth.ts";
import { type InventedBook, inventedBook } from "./invented-book.ts";

/** One kind of flock whose next checks are forecast, and how many of it are invented. */
export interface NextCheckPlan {
  readonly name: string;
  readonly flocks: number;
  readonly options: Omit<FlockOptions, "seed"> & { readonly days: number };
}

export interface CalibrationRow {
  readonly what: string;
  readonly flocks: number;
  /** Share of the animals that were truly past the limit. */
  readonly got: number;
  /** Bounds around the mean of the forecasts. */
  readonly lo: number;
  readonly hi: number;
  readonly passes: boolean;
}

const STEPS = new Set(["variance", "case", "next_check"]);
const AHEAD_DAYS = [28, 42, 56, 70] as const;
/** By how much the truth may miss the forecast beyond its simulation error. Project default. */
const ALLOWED = 0.03;
/** Forecasts from which a tenth is told. */
const LEAST_FORECASTS = 50;

interface Forecast {
  readonly flock: number;
  readonly chance: number;
  readonly over: boolean;
}

/**
 * Chances that a claw is past the limit against the truth, some weeks ahead of the last record and on the day that the
 * work list names: as many must be past it as the chances say, overall and in each tenth of the chances.
 */
export async function nextCheckCalibration(plan: NextCheckPlan, seed: number): Promise<CalibrationRow[]> {
  const ahead: Forecast[] = [];
  const onCheckDay: Forecast[] = [];
  const runOn = Math.max(...AHEAD_DAYS) + 30;
  for (let k = 0; k < plan.flocks; k++) {
    const until = dayAfterStart(plan.options.days);
    const invented = await inventedBook(
      { ...plan.options, start: START, days: plan.options.days + runOn, seed: seed + k },
      { steps: STEPS, until: isoDay(until) },
    );
    const { book, flock, place } = invented;
    const [marks] = await book.rows<{ limit: number }>('SELECT retrim_at_mm AS "limit" FROM exposure.flock');
    const isOver = (animal: string, day: number): boolean =>
      trueLongest(invented, place.get(animal)!, until, day) >= marks!.limit;
    const outlooks = await checkOutlooks(book, flock.id, flock.today, marks!.limit);
    for (const [animal, { own, chanceOn }] of outlooks) {
      if (!own) continue;
      for (const days of AHEAD_DAYS) {
        const day = flock.today + days;
        ahead.push({ flock: k, chance: chanceOn(day), over: isOver(animal, day) });
      }
    }
    for (const row of await readTable(book, nextCheckTable, "basis = 'own measures'")) {
      if (row.p_over_limit_on_check_by === null || row.check_by < flock.today) continue;
      onCheckDay.push({
        flock: k,
        chance: row.p_over_limit_on_check_by,
        over: isOver(row.animal, row.check_by),
      });
    }
    await book.close();
  }
  return [
    ...rowOf(`${plan.name}: past the limit, 4 to 10 weeks ahead`, ahead),
    ...Array.from({ length: 10 }, (_, tenth) =>
      rowOf(
        `${plan.name}: past the limit where the chance is ${tenth / 10} to ${(tenth + 1) / 10}`,
        ahead.filter(({ chance }) => Math.min(9, Math.floor(10 * chance)) === tenth),
      ),
    ).flat(),
    ...rowOf(`${plan.name}: past the limit on the day to check by`, onCheckDay),
  ];
}

/** True overhang of the longest claw on a day, from the animal's last look that was written down. */
function trueLongest({ truth }: InventedBook, animal: number, until: number, day: number): number {
  const written = truth.visits[animal]!.filter((visit) => truth.calendar.first + visit.day <= until);
  const last = written.length - 1;
  return longestAfter(truth, animal, last, day - truth.calendar.first - written[last]!.day);
}

/** Share past the limit against the mean chance, the error by flock: all goats of a flock share its months. */
function rowOf(what: string, forecasts: readonly Forecast[]): CalibrationRow[] {
  if (forecasts.length < LEAST_FORECASTS) return [];
  const n = forecasts.length;
  const mean = forecasts.reduce((sum, { chance }) => sum + chance, 0) / n;
  const got = forecasts.filter(({ over }) => over).length / n;
  const misses = new Map<number, number>();
  for (const { flock, chance, over } of forecasts) {
    misses.set(flock, (misses.get(flock) ?? 0) + Number(over) - chance - (got - mean));
  }
  const squares = [...misses.values()].reduce((sum, miss) => sum + miss * miss, 0);
  const flocks = misses.size;
  const standardError = Math.sqrt((squares * flocks) / Math.max(1, flocks - 1)) / n;
  const reach = ALLOWED + 2 * standardError;
  const [lo, hi] = [mean - reach, mean + reach];
  return [{ what, flocks, got, lo, hi, passes: got >= lo && got <= hi }];
}
