import type { Random } from "../../statistics/random.ts";
import { type DrawnStudy, type StudyDesign, visitsBefore } from "./study-design.ts";

/** Variances of the growth model: of rates in (mm per 30 days)², of `visit` and `residual` in mm². */
export interface GrowthSpread {
  readonly animal: number;
  readonly claw: number;
  readonly interval: number;
  readonly pen: number;
  readonly pen_month: number;
  readonly month: number;
  readonly visit: number;
  /** Both readings of one claw's interval, every visit ending in a trim. */
  readonly residual: number;
}

/** Claws of a goat that are measured. */
const CLAWS = 8;

/**
 * Draws the units' mean rates of one study by the growth model: every claw of every goat measured at each visit, pens
 * and months shared as in the flock. Where there are records before, every unit's is the change since then.
 */
export function drawGrowthStudy(design: StudyDesign, spread: GrowthSpread, random: Random): DrawnStudy {
  const { unit, pens, goatsPerPen, months, visits, monthsBefore } = design;
  const sd = (variance: number): number => Math.sqrt(variance);
  const meanOver = (count: number, variance: number): number => {
    let sum = 0;
    for (let k = 0; k < count; k++) sum += random.normal();
    return count === 0 ? 0 : (sum / count) * sd(variance);
  };
  const after = { intervals: visits - 1, gap: months / (visits - 1) };
  const before = { intervals: visitsBefore(design), gap: monthsBefore / Math.max(1, visitsBefore(design)) };
  const flockMonths = meanOver(months, spread.month) - meanOver(monthsBefore, spread.month);
  const standing = monthsBefore === 0 ? 1 : 0;
  const ofGoat = (): number => {
    const animal =
      standing * (random.normal() * sd(spread.animal) + random.normal() * sd(spread.claw / CLAWS));
    const own = ({ intervals, gap }: { intervals: number; gap: number }): number =>
      meanOver(intervals, spread.interval) + meanOver(intervals, spread.residual / CLAWS) / (gap || 1);
    const mean = own(after) - (before.intervals > 0 ? own(before) : 0);
    if (spread.visit === 0) return animal + mean;
    // What all readings of a visit share is added to the interval that ends there and taken off the next.
    const [first, start, last] = [random.normal(), random.normal(), random.normal()];
    const shared =
      (last - start) / (after.intervals * after.gap) -
      (before.intervals > 0 ? (start - first) / (before.intervals * before.gap) : 0);
    return animal + mean + shared * sd(spread.visit);
  };
  const arms: readonly [number[], number[]] = [[], []];
  const blocks: readonly [number[], number[]] = [[], []];
  for (let pen = 0, goat = 0; pen < pens; pen++) {
    const ofPen =
      standing * random.normal() * sd(spread.pen) +
      meanOver(months, spread.pen_month) -
      meanOver(monthsBefore, spread.pen_month) +
      flockMonths;
    let sum = 0;
    for (let k = 0; k < goatsPerPen; k++, goat++) {
      const value = ofGoat();
      if (unit === "animal") {
        arms[goat % 2]!.push(ofPen + value);
        blocks[goat % 2]!.push(pen);
      }
      sum += value;
    }
    if (unit === "pen") {
      arms[pen % 2]!.push(ofPen + sum / goatsPerPen);
      blocks[pen % 2]!.push(0);
    }
  }
  return { first: (effect) => arms[0].map((value) => value + effect), second: arms[1], blocks };
}

/** Variance of one unit's value with `goats` goats in it, apart from what all units of its block share. */
export function growthUnitVariance(design: StudyDesign, spread: GrowthSpread, goats: number): number {
  const { unit, months, visits, monthsBefore } = design;
  const gap = months / (visits - 1);
  const intervals = visits - 1;
  const earlier = visitsBefore(design);
  const standing = monthsBefore === 0 ? 1 : 0;
  const overIntervals =
    (spread.interval + spread.residual / CLAWS / gap ** 2) / intervals +
    (earlier === 0
      ? 0
      : (spread.interval + spread.residual / CLAWS / (monthsBefore / earlier) ** 2) / earlier);
  const shared =
    monthsBefore === 0
      ? 2 / months ** 2
      : 1 / months ** 2 + (1 / months + 1 / monthsBefore) ** 2 + 1 / monthsBefore ** 2;
  const ofGoat = standing * (spread.animal + spread.claw / CLAWS) + overIntervals + shared * spread.visit;
  if (unit === "animal") return ofGoat;
  const ofPen =
    standing * spread.pen + spread.pen_month * (1 / months + (monthsBefore === 0 ? 0 : 1 / monthsBefore));
  return ofPen + ofGoat / goats;
}
