import { gaussNormal } from "../../statistics/quadrature.ts";
import type { Random } from "../../statistics/random.ts";
import { type DrawnStudy, type StudyDesign, visitsBefore } from "./study-design.ts";

/** The lameness panel: mean and variances on the log odds of a lame score. */
export interface LameSpread {
  readonly mean: number;
  readonly animal: number;
  readonly pen: number;
  readonly pen_month: number;
  readonly month: number;
}

/** One look at every goat: its month, its side of the start, and what its scores weigh in the unit's value. */
interface Look {
  readonly month: number;
  readonly before: boolean;
  readonly weight: number;
}

function looksOf(design: StudyDesign): readonly Look[] {
  const { months, visits, monthsBefore } = design;
  const earlier = visitsBefore(design);
  return [
    ...Array.from({ length: earlier }, (_, k) => ({
      month: Math.min(monthsBefore - 1, Math.floor((k * monthsBefore) / earlier)) - monthsBefore,
      before: true,
      weight: -1 / earlier,
    })),
    ...Array.from({ length: visits }, (_, k) => ({
      month: Math.min(months - 1, Math.floor((k * months) / (visits - 1))),
      before: false,
      weight: 1 / visits,
    })),
  ];
}

/**
 * Draws the units' shares of lame scores of one study by the lameness panel, every goat scored at each visit; the
 * effect is a change of the log odds in the first arm from the start. Where there are records before, every unit's is
 * the change since then.
 */
export function drawLameStudy(design: StudyDesign, spread: LameSpread, random: Random): DrawnStudy {
  const { unit, pens, goatsPerPen, months, monthsBefore } = design;
  const looks = looksOf(design);
  const draw = (variance: number): number => random.normal() * Math.sqrt(variance);
  const shocks = (variance: number): number[] =>
    Array.from({ length: monthsBefore + months }, () => draw(variance));
  const flock = shocks(spread.month);
  /** Of each unit: what counts whatever the effect, and the effects from which each treated score is lame. */
  const units: {
    arm: number;
    block: number;
    fixed: number;
    thresholds: { from: number; weight: number }[];
  }[] = [];
  for (let pen = 0, goat = 0; pen < pens; pen++) {
    const standing = spread.mean + draw(spread.pen);
    const own = shocks(spread.pen_month);
    if (unit === "pen") units.push({ arm: pen % 2, block: 0, fixed: 0, thresholds: [] });
    for (let k = 0; k < goatsPerPen; k++, goat++) {
      if (unit === "animal") units.push({ arm: goat % 2, block: pen, fixed: 0, thresholds: [] });
      const mine = units.at(-1)!;
      const goats = unit === "pen" ? goatsPerPen : 1;
      const animal = draw(spread.animal);
      for (const { month, before, weight } of looks) {
        const u = random.openUniform();
        const odds = standing + animal + own[month + monthsBefore]! + flock[month + monthsBefore]!;
        const from = Math.log(u / (1 - u)) - odds;
        if (mine.arm === 0 && !before) mine.thresholds.push({ from, weight: weight / goats });
        else if (from < 0) mine.fixed += weight / goats;
      }
    }
  }
  const blocksOf = (wanted: number): number[] =>
    units.filter(({ arm }) => arm === wanted).map(({ block }) => block);
  return {
    first: (effect) =>
      units
        .filter(({ arm }) => arm === 0)
        .map(({ fixed, thresholds }) =>
          thresholds.reduce((sum, { from, weight }) => (from < effect ? sum + weight : sum), fixed),
        ),
    second: units.filter(({ arm }) => arm === 1).map(({ fixed }) => fixed),
    blocks: [blocksOf(0), blocksOf(1)],
  };
}

const POINTS = gaussNormal(31);

/** Share of scores that are lame, over all goats, pens and months, at a change of the log odds. */
export function lameShare(spread: LameSpread, effect: number): number {
  return meanOverNormal(spread.mean + effect, Math.sqrt(totalOf(spread)));
}

/**
 * Variance of one unit's value with `goats` goats in it, apart from what all units of its block share, at a change of the log odds:
 * the covariance of two scores is that of two chances which share some of the variances, by Gauss-Hermite quadrature.
 */
export function lameUnitVariance(
  design: StudyDesign,
  spread: LameSpread,
  goats: number,
  effect: number,
): number {
  const looks = looksOf(design);
  const covariance = cachedCovariance(spread);
  let sum = 0;
  for (const one of looks) {
    for (const other of looks) {
      const [a, b] = [one.before ? 0 : effect, other.before ? 0 : effect];
      const ofMonth = one.month === other.month ? spread.month : 0;
      const ofPen = spread.pen + (one.month === other.month ? spread.pen_month : 0) + ofMonth;
      const share = lameShare(spread, a);
      const sameGoat = one === other ? share * (1 - share) : covariance(ofPen + spread.animal, a, b);
      const inPen = goats === 1 ? 0 : covariance(ofPen, a, b);
      const inBlock = covariance(design.unit === "pen" ? ofMonth : ofPen, a, b);
      sum += one.weight * other.weight * (sameGoat / goats + (1 - 1 / goats) * inPen - inBlock);
    }
  }
  return sum;
}

function totalOf({ animal, pen, pen_month, month }: LameSpread): number {
  return animal + pen + pen_month + month;
}

/** Covariance of two scores at changes a and b of the log odds whose odds share some variance. */
function cachedCovariance(spread: LameSpread): (shared: number, a: number, b: number) => number {
  const known = new Map<string, number>();
  const total = totalOf(spread);
  return (shared, a, b) => {
    if (shared === 0) return 0;
    const key = `${shared} ${Math.min(a, b)} ${Math.max(a, b)}`;
    const ready = known.get(key);
    if (ready !== undefined) return ready;
    const rest = Math.sqrt(Math.max(0, total - shared));
    let product = 0;
    POINTS.nodes.forEach((z, k) => {
      const at = spread.mean + z * Math.sqrt(shared);
      product += POINTS.weights[k]! * meanOverNormal(at + a, rest) * meanOverNormal(at + b, rest);
    });
    const value = product - lameShare(spread, a) * lameShare(spread, b);
    known.set(key, value);
    return value;
  };
}

/** Mean chance where the log odds are normal. */
function meanOverNormal(mean: number, sd: number): number {
  let sum = 0;
  for (let k = 0; k < POINTS.nodes.length; k++) {
    sum += POINTS.weights[k]! / (1 + Math.exp(-mean - sd * POINTS.nodes[k]!));
  }
  return sum;
}
