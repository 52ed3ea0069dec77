import type { Book } from "../book/book.ts";
import { quoteText } from "../book/book.ts";
import { variancePoints } from "../statistics/linear-mixed-model/variance-points.ts";
import { variancePosterior } from "../statistics/linear-mixed-model/variance-posterior.ts";
import { readingVariance } from "./check-outlook.ts";
import { type ClawLook, readClawLooks } from "./claw-look.ts";
import { type ClawStart, clawStarts, type StartSpread, startSpread, visitsOf } from "./claw-starts.ts";
import type { Job } from "./crew.ts";
import type { FindingContext } from "./finding.ts";
import {
  type ClawOutlook,
  chanceOver,
  type EffectUpdate,
  effectVariance,
  type Forecaster,
  type GrowthState,
  growthForecaster,
  outlooks,
} from "./growth-forecast.ts";
import { growthMeans } from "./growth-means.ts";
import { fitGrowthModel, type GrowthModel } from "./growth-model.ts";
import { type GrowthRows, growthRowsUntil } from "./growth-rows.ts";
import { rulerStep } from "./ruler-step.ts";

/** A forecast made from the records of its day, and what the next look found. */
export interface PastForecast {
  readonly animal: string;
  /** Day on which it was made, and day of the next look. */
  readonly made: number;
  readonly day: number;
  /** Chance that a claw reads past the limit at that look. */
  readonly chance: number;
  readonly seen: boolean;
  /** Days since the animal's last trim on the day of the next look. */
  readonly daysSinceTrim: number;
}

/** Days of records before the first forecast, and between refits. Project defaults. */
const FIRST_FORECAST_DAYS = 120;
const REFIT_DAYS = 91;
/** Looks nearer or further apart than this score no forecast. Project default. */
const LEAST_GAP_DAYS = 21;
const MOST_GAP_DAYS = 120;
/** Intervals from which the model is refitted. Project default. */
const LEAST_INTERVALS = 20;
/** Draws of the variances at each refit, and the points kept of them. Project defaults. */
const DRAWS = 60;
const POINTS = 10;

/**
 * Forecasts on a flock's own past: at every look of every animal, from a growth model refitted each quarter on the
 * intervals that had ended by then, brought up to the look by the animal's own later intervals.
 */
export async function pastForecasts(
  { book, crew, seed }: FindingContext,
  flock: string,
  limit: number,
  rows: GrowthRows,
  whole: GrowthModel,
): Promise<PastForecast[]> {
  const looks = await readClawLooks(book, flock, Number.MAX_SAFE_INTEGER);
  const reading = await readingVariance(book, flock);
  const states = await readPastStates(book, flock);
  const animals = gatherVisits(looks);
  const readAsOver = limitAsRead(looks, limit, reading);
  // a call takes no more arguments than its stack holds, and a large flock has more looks
  const first = looks.reduce((least, { day }) => Math.min(least, day), Number.POSITIVE_INFINITY);
  const last = looks.reduce((most, { day }) => Math.max(most, day), Number.NEGATIVE_INFINITY);
  const interval = whole.terms.indexOf("interval");
  const intervalVariance = interval < 0 ? 0 : whole.fit.terms[interval]!.covariance.values[0]!;
  const quarters: Promise<PastForecast[]>[] = [];
  for (let from = first + FIRST_FORECAST_DAYS; from < last; from += REFIT_DAYS) {
    const spread = startSpread(
      looks.filter(({ day }) => day <= from),
      reading,
    );
    const quarter = { spread, from, to: from + REFIT_DAYS, states, limit, readAsOver };
    const known = growthRowsUntil(rows, from);
    quarters.push(crew.run(quarterJob, { quarter, known, intervalVariance, animals, seed }));
  }
  return (await Promise.all(quarters)).flat();
}

interface QuarterQuestion {
  readonly quarter: Omit<Quarter, "forecaster">;
  readonly known: GrowthRows;
  readonly intervalVariance: number;
  readonly animals: readonly ClawLook[][][];
  readonly seed: number;
}

/** Refits the model at the start of a quarter and makes the quarter's forecasts. */
export const quarterJob: Job<QuarterQuestion, PastForecast[]> = {
  name: "forecasts of a quarter",
  work({ quarter, known, intervalVariance, animals, seed }) {
    const forecaster = forecasterAsOf(known, intervalVariance, seed);
    if (forecaster === null) return [];
    return animals.flatMap((visits) => forecastsOf({ ...quarter, forecaster }, visits));
  },
};

/**
 * The model of the intervals' means, averaged over what their number leaves open of its variances. How far one interval
 * scatters is taken from the whole records for the weights alone: the refit scales it.
 */
function forecasterAsOf(known: GrowthRows, intervalVariance: number, seed: number): Forecaster | null {
  if (known.spans.count < LEAST_INTERVALS) return null;
  const { design, clawKnowledge } = growthMeans(known, intervalVariance);
  const model = fitGrowthModel(design);
  if ("trouble" in model) return null;
  const posterior = variancePosterior(model.fit);
  if ("trouble" in posterior) return null;
  const points = variancePoints(posterior, seed, DRAWS, POINTS);
  return growthForecaster(model, points, clawKnowledge);
}

interface Quarter {
  readonly forecaster: Forecaster;
  readonly spread: StartSpread;
  readonly from: number;
  readonly to: number;
  readonly states: ReadonlyMap<string, GrowthState>;
  readonly limit: number;
  /** True overhang from which a claw reads past the limit, and what else a reading errs by. */
  readonly readAsOver: { readonly from: number; readonly variance: number };
}

/** Lengths are written to one decimal at least, mm. */
const WRITTEN_TO = 0.05;

/** A ruler read to steps shows a length as past the limit from half a step below the first step past it. */
function limitAsRead(
  looks: readonly ClawLook[],
  limit: number,
  reading: number,
): { from: number; variance: number } {
  const step = rulerStep(looks.flatMap(({ seen }) => (seen === null ? [] : [seen])));
  if (step === null) return { from: limit, variance: reading };
  return {
    from: Math.ceil((limit - WRITTEN_TO) / step) * step - step / 2,
    variance: Math.max(0, reading - (step * step) / 12),
  };
}

function forecastsOf(quarter: Quarter, visits: readonly (readonly ClawLook[])[]): PastForecast[] {
  const { forecaster, from, to, states, limit, spread, readAsOver } = quarter;
  const forecasts: PastForecast[] = [];
  const animal = visits[0]![0]!.animal;
  const last = new Map<string, ClawStart>();
  let lastTrim: number | null = null;
  let update: EffectUpdate = { shift: 0, variance: 0 };
  visits.forEach((visit, v) => {
    const { day } = visit[0]!;
    const state = states.get(`${animal}|${day}`);
    // The interval that ends here was not in the fit: what it says of the animal is added to what the fit says.
    if (day > from && day < to && state !== undefined && last.size > 0) {
      update = updated(quarter, animal, state, update, [...last.values()], visit);
    }
    for (const start of clawStarts(visit, spread)) last.set(`${start.foot}|${start.claw}`, start);
    if (visit.some(({ leftBy }) => leftBy !== "before")) lastTrim = day;
    const next = visits[v + 1];
    if (next === undefined || state === undefined || day < from || day >= to) return;
    const gap = next[0]!.day - day;
    if (gap < LEAST_GAP_DAYS || gap > MOST_GAP_DAYS) return;
    const read = new Map<string, number>(
      next.flatMap((look) => (look.seen === null ? [] : [[`${look.foot}|${look.claw}`, look.seen] as const])),
    );
    const claws = [...last].flatMap(([name, claw]) => (read.has(name) && claw.day === day ? [claw] : []));
    if (claws.length === 0 || claws.some((claw) => claw.mean >= limit)) return;
    const subject = { animal, state, claws, update };
    forecasts.push({
      animal,
      made: day,
      day: day + gap,
      chance: chanceOver(
        forecaster,
        outlooks(forecaster, subject, day + gap),
        readAsOver.from,
        readAsOver.variance,
      ),
      seen: claws.some(({ foot, claw }) => read.get(`${foot}|${claw}`)! >= limit),
      daysSinceTrim: day + gap - (lastTrim ?? day),
    });
  });
  return forecasts;
}

/** One step of a Kalman filter on the animal's effect: the mean growth of the claws read at both looks. */
function updated(
  { forecaster, spread }: Quarter,
  animal: string,
  state: GrowthState,
  before: EffectUpdate,
  starts: readonly ClawStart[],
  visit: readonly ClawLook[],
): EffectUpdate {
  const seen = new Map(visit.map((look) => [`${look.foot}|${look.claw}`, look.seen]));
  const claws = starts.filter(({ foot, claw }) => (seen.get(`${foot}|${claw}`) ?? null) !== null);
  if (claws.length === 0) return before;
  const { day } = visit[0]!;
  const views = outlooks(forecaster, { animal, state, claws, update: before }, day);
  const outlook = meanOutlook(forecaster, views);
  const mean = (values: readonly number[]): number =>
    values.reduce((sum, value) => sum + value, 0) / values.length;
  const months = (day - Math.max(...claws.map((claw) => claw.day))) / 30;
  const gap = mean(claws.map(({ foot, claw }) => seen.get(`${foot}|${claw}`)!)) - mean(outlook.means);
  const noise = mean(outlook.variances.map((variance) => variance + spread.reading)) / claws.length;
  const variance = effectVariance(forecaster, animal) + before.variance;
  const gain = (months * variance) / (outlook.shared + noise);
  return { shift: before.shift + gain * gap, variance: before.variance - gain * months * variance };
}

/** Outlooks averaged over the points of the variances. */
function meanOutlook({ points }: Forecaster, views: readonly ClawOutlook[]): ClawOutlook {
  const total = points.reduce((sum, { weight }) => sum + weight, 0);
  const average = (of: (view: ClawOutlook) => number): number =>
    views.reduce((sum, view, i) => sum + points[i]!.weight * of(view), 0) / total;
  return {
    means: views[0]!.means.map((_, c) => average(({ means }) => means[c]!)),
    variances: views[0]!.variances.map((_, c) => average(({ variances }) => variances[c]!)),
    shared: average(({ shared }) => shared),
  };
}

async function readPastStates(book: Book, flock: string): Promise<Map<string, GrowthState>> {
  const rows = await book.rows<GrowthState & { animal: string; day: number }>(
    `SELECT animal, day_no(day) AS day, pen, ground, age_band, class FROM exposure.animal_day SEMI JOIN (SELECT flock, animal, "date" AS day FROM herd.claw_record) USING (flock, animal, day) WHERE flock = ${quoteText(flock)} ORDER BY animal, day`,
  );
  return new Map(rows.map((row) => [`${row.animal}|${row.day}`, row]));
}

function gatherVisits(looks: readonly ClawLook[]): ClawLook[][][] {
  const animals: ClawLook[][][] = [];
  for (const visit of visitsOf(looks)) {
    const own = animals.at(-1);
    if (own !== undefined && own[0]![0]!.animal === visit[0]!.animal) own.push(visit);
    else animals.push([visit]);
  }
  return animals;
}
