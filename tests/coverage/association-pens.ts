import type { ExposureId } from "../../src/findings/association/exposures.ts";
import type { Random } from "../../src/statistics/random.ts";

/** Days of a month of the simulations, named after those of the calendar. */
export const MONTH_DAYS = 30;

/** How the conditions of pens go, and how much of them is written down. */
export interface PenPlan {
  readonly pens: number;
  /** Mean and standard deviation of a pen's usual wetness, steps of 0 to 3. */
  readonly wetLevel: number;
  readonly wetLevelSd: number;
  /** Standard deviation of a week's wetness about the pen's usual. */
  readonly wetSwing: number;
  /** 0 to 1: how far wet pens also eat more protein. */
  readonly lushWetPens: number;
  /** Share of the ground's wetness that all pens have in common. */
  readonly sharedWeather: number;
  /** A ration stands from so many days to so many. */
  readonly rationDays: readonly [number, number];
  /** All pens change their rations on the same days. */
  readonly rationsTogether: boolean;
  /** Correlation of a ration's copper with its protein. */
  readonly copperWithProtein: number;
  /** Days between two looks at a pen's ground, a share of them left out; null: every day is known. */
  readonly groundLooks: { readonly every: number; readonly missed: number } | null;
}

export type SimulatedExposure = Exclude<ExposureId, "mineral_copper">;
/** Running sums: entry d of each is over the days before d. */
export interface DailySums {
  readonly sum: Float64Array;
  readonly known: Float64Array;
  /** Mean over the known days. */
  readonly usual: number;
}

export interface SimulatedPen {
  /** What the goats stood on and ate. */
  readonly truth: Readonly<Record<SimulatedExposure, DailySums>>;
  /** What was written down of it, a look at the ground holding for ten days at most. */
  readonly written: Readonly<Record<SimulatedExposure, DailySums>>;
}

const LONGEST_CARRY_DAYS = 10;

export function drawPens(random: Random, plan: PenPlan, length: number): SimulatedPen[] {
  const weather = persistent(random, length, 0.75);
  const together = plan.rationsTogether ? changeDays(random, plan, length) : null;
  const mixed = Math.sqrt(plan.sharedWeather);
  const ground = Array.from({ length: plan.pens }, () => {
    const own = persistent(random, length, 0.75);
    const level = plan.wetLevel + plan.wetLevelSd * random.normal();
    return own.map((z, d) => {
      const shared = mixed * weather[d]! + Math.sqrt(1 - plan.sharedWeather) * z;
      return Math.min(3, Math.max(0, Math.round(level + plan.wetSwing * shared)));
    });
  });
  const wetter = standardised(ground.map((days) => days.reduce((a, b) => a + b, 0) / length));
  return ground.map((wetness, p) => {
    const rich = plan.lushWetPens * wetter[p]! + Math.sqrt(1 - plan.lushWetPens ** 2) * random.normal();
    const changes = together ?? changeDays(random, plan, length);
    const keep = plan.copperWithProtein;
    const rations = changes.map(() => {
      const protein = random.normal();
      return {
        protein,
        copper: keep * protein + Math.sqrt(1 - keep * keep) * random.normal(),
        zinc: random.normal(),
      };
    });
    const standing = (of: (ration: { protein: number; copper: number; zinc: number }) => number) => {
      const days = new Float64Array(length);
      changes.forEach((from, k) => {
        days.fill(of(rations[k]!), from, changes[k + 1] ?? length);
      });
      return dailySums(days);
    };
    const rationed = {
      crude_protein: standing(({ protein }) => 13 + 1.1 * rich + 1.8 * protein),
      copper_diet: standing(({ copper }) => 14 + 4 * copper),
      zinc: standing(({ zinc }) => 45 + 9 * zinc),
    };
    return {
      truth: { ...rationed, wetness: dailySums(wetness) },
      written: { ...rationed, wetness: dailySums(lookedAt(random, wetness, plan.groundLooks)) },
    };
  });
}

/** First day of every ration. */
function changeDays(random: Random, { rationDays: [least, most] }: PenPlan, length: number): number[] {
  const days = [0];
  for (;;) {
    const next = days.at(-1)! + least + random.integer(most - least + 1);
    if (next >= length) return days;
    days.push(next);
  }
}

/** Each look's value until the next, for ten days at most; NaN where nothing holds. */
function lookedAt(random: Random, days: Float64Array, looks: PenPlan["groundLooks"]): Float64Array {
  if (looks === null) return days;
  const written = new Float64Array(days.length).fill(Number.NaN);
  for (let d = random.integer(looks.every); d < days.length; d += looks.every) {
    if (random.bernoulli(looks.missed)) continue;
    written.fill(days[d]!, d, Math.min(days.length, d + LONGEST_CARRY_DAYS + 1));
  }
  return written;
}

/** A weekly autoregression of unit variance that stands for seven days. */
function persistent(random: Random, length: number, keep: number): Float64Array {
  const values = new Float64Array(length);
  let z = random.normal();
  for (let d = 0; d < length; d += 7) {
    values.fill(z, d, Math.min(length, d + 7));
    z = keep * z + Math.sqrt(1 - keep * keep) * random.normal();
  }
  return values;
}

/** How a shock goes: anew each month with some of the last one's kept, or drifting from day to day. */
export type ShockCourse =
  | { readonly by: "month"; readonly correlation: number }
  | { readonly by: "day"; readonly correlation30: number };

/** A daily course of standard deviation `sd`. */
export function drawShock(random: Random, sd: number, course: ShockCourse, length: number): Float64Array {
  const step = course.by === "month" ? MONTH_DAYS : 1;
  const keep = course.by === "month" ? course.correlation : course.correlation30 ** (1 / 30);
  const days = new Float64Array(length);
  let z = random.normal();
  for (let d = 0; d < length; d += step) {
    days.fill(sd * z, d, Math.min(length, d + step));
    z = keep * z + Math.sqrt(1 - keep * keep) * random.normal();
  }
  return days;
}

export function dailySums(days: Float64Array): DailySums {
  const sum = new Float64Array(days.length + 1);
  const known = new Float64Array(days.length + 1);
  days.forEach((value, d) => {
    const missing = Number.isNaN(value);
    sum[d + 1] = sum[d]! + (missing ? 0 : value);
    known[d + 1] = known[d]! + (missing ? 0 : 1);
  });
  return { sum, known, usual: sum[days.length]! / known[days.length]! };
}

export function standardised(values: readonly number[]): number[] {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
  return values.map((value) => (sd > 0 ? (value - mean) / sd : 0));
}
