import type { Book } from "../book/book.ts";
import { quoteText } from "../book/book.ts";
import { stateOn } from "./animal-day.ts";
import { type ClawLook, readClawLooks } from "./claw-look.ts";
import { type ClawStart, clawStarts, type StartSpread, startSpread, visitsOf } from "./claw-starts.ts";
import { growthDesign } from "./growth-design.ts";
import {
  chanceOver,
  type Forecaster,
  type ForecastSubject,
  type GrowthState,
  growthForecaster,
  outlooks,
} from "./growth-forecast.ts";
import { LEAST_PAIRS, LEAST_READING_SD, READING_SD } from "./growth-interval.ts";
import { type GrowthFrame, growthFrame } from "./growth-model.ts";
import { readGrowthPoints } from "./growth-point.ts";
import { readGrowthRows } from "./growth-rows.ts";

/** What is expected of an animal's claws after its last look. */
export interface CheckOutlook {
  /** Whether the growth model has intervals of its own. */
  readonly own: boolean;
  /** Probability that any claw is past the limit on a day. */
  readonly chanceOn: (day: number) => number;
  /** The claw expected to be longest on a day, and its expected overhang. */
  readonly worstOn: (day: number) => { readonly foot: string; readonly claw: string; readonly mm: number };
}

/**
 * Outlooks of a flock's animals from their last looks up to a day; none where the flock's growth has no model. `frame`:
 * the growth model as laid out already, else it is laid out anew from the book.
 */
export async function checkOutlooks(
  book: Book,
  flock: string,
  today: number,
  limit: number,
  frame?: GrowthFrame,
): Promise<ReadonlyMap<string, CheckOutlook>> {
  const forecaster = await forecasterOf(book, flock, frame);
  const outlook = new Map<string, CheckOutlook>();
  if (forecaster === null) return outlook;
  const looks = await readClawLooks(book, flock, today);
  const spread = startSpread(looks, await readingVariance(book, flock));
  const states = await readStates(book, flock, today);
  for (const [animal, own] of byAnimal(looks)) {
    const state = states.get(animal);
    const claws = lastStarts(own, spread);
    if (state === undefined || claws.length === 0) continue;
    outlook.set(animal, outlookOf(forecaster, { animal, state, claws }, limit));
  }
  return outlook;
}

/** Variance of one reading of an overhang, mm²: from repeats, else from the growth model's residual of two readings. */
export async function readingVariance(book: Book, flock: string): Promise<number> {
  const [repeats] = await book.rows<{ sd: number }>(
    `SELECT technical_error_mm AS sd FROM results.measurement_error
     WHERE flock = ${quoteText(flock)} AND measurer = 'all' AND measure = 'overhang' AND pairs >= ${LEAST_PAIRS}`,
  );
  if (repeats) return Math.max(repeats.sd, LEAST_READING_SD) ** 2;
  const [residual] = await book.rows<{ variance: number }>(
    `SELECT variance FROM results.variance WHERE flock = ${quoteText(flock)} AND model = 'growth' AND component = 'residual'`,
  );
  return residual ? Math.max(residual.variance / 2, LEAST_READING_SD ** 2) : READING_SD ** 2;
}

/** Where each claw stands after its own last look: a claw that the last visit missed is told from the one before. */
function lastStarts(looks: readonly ClawLook[], spread: StartSpread): ClawStart[] {
  const last = new Map<string, ClawStart>();
  for (const visit of visitsOf(looks)) {
    for (const start of clawStarts(visit, spread)) last.set(`${start.foot}|${start.claw}`, start);
  }
  return [...last.values()];
}

async function forecasterOf(book: Book, flock: string, known?: GrowthFrame): Promise<Forecaster | null> {
  const { terms, points } = await readGrowthPoints(book, flock);
  if (points.length === 0) return null;
  const frame = known ?? growthFrame(growthDesign(await readGrowthRows(book, flock)), terms);
  if ("trouble" in frame) return null;
  return growthForecaster(
    frame,
    points.map(({ weight, deviations }) => ({ weight, theta: frame.terms.map((id) => deviations[id] ?? 0) })),
  );
}

function outlookOf(forecaster: Forecaster, subject: ForecastSubject, limit: number): CheckOutlook {
  return {
    own: forecaster.animalPlace.has(subject.animal),
    chanceOn: (day) => chanceOver(forecaster, outlooks(forecaster, subject, day), limit),
    worstOn(day) {
      const views = outlooks(forecaster, subject, day);
      const expected = subject.claws.map((_, c) =>
        views.reduce((sum, { means }, i) => sum + forecaster.points[i]!.weight * means[c]!, 0),
      );
      const worst = expected.reduce((most, mm, c) => (mm > expected[most]! ? c : most), 0);
      const { foot, claw } = subject.claws[worst]!;
      return { foot, claw, mm: expected[worst]! };
    },
  };
}

async function readStates(book: Book, flock: string, today: number): Promise<Map<string, GrowthState>> {
  // What pens stand on is known to the flock's last day alone.
  const asked = `(SELECT DISTINCT p.flock, p.animal, least(day_of(${today}), f.today) AS day
     FROM exposure.presence p JOIN exposure.flock f USING (flock) WHERE p.flock = ${quoteText(flock)})`;
  const rows = await book.rows<GrowthState & { animal: string }>(
    `SELECT animal, pen, ground, age_band, class FROM (${stateOn(asked)}) ORDER BY animal`,
  );
  return new Map(rows.map((row) => [row.animal, row]));
}

function byAnimal(looks: readonly ClawLook[]): Map<string, ClawLook[]> {
  const animals = new Map<string, ClawLook[]>();
  for (const look of looks) {
    const own = animals.get(look.animal);
    if (own) own.push(look);
    else animals.set(look.animal, [look]);
  }
  return animals;
}
