import { type GrowthDesign, growthDesign } from "./growth-design.ts";
import type { ClawKnowledge } from "./growth-forecast.ts";
import type { GrowthRows } from "./growth-rows.ts";

/** The growth model's data with the claws of an interval averaged, and what their contrasts say of single claws. */
export interface GrowthMeans {
  readonly design: GrowthDesign;
  readonly clawKnowledge: ClawKnowledge;
}

/**
 * Averages the claws of each interval. Contrasts between the claws of one interval tell of claws alone, their mean of
 * the animal, its pen and its months: in a balanced layout the two are independent, in an unbalanced one nearly. An
 * interval weighs by `intervalVariance`, (mm per 30 days)², beside its readings' error.
 */
export function growthMeans(rows: GrowthRows, intervalVariance: number): GrowthMeans {
  const apart = clawContrasts(rows);
  const { spans } = rows;
  const growth = new Float64Array(spans.count);
  const count = new Float64Array(spans.count);
  for (let i = 0; i < rows.count; i++) {
    const s = rows.span[i]!;
    growth[s]! += rows.growth[i]! - spans.months[s]! * apart.effect[rows.claw[i]!]!;
    count[s]!++;
  }
  const kept = [...count.keys()];
  const design = growthDesign({
    ...rows,
    count: spans.count,
    growth: growth.map((sum, s) => sum / count[s]!),
    basis: kept.map(() => "toe"),
    span: Int32Array.from(kept),
    animal: spans.animal,
    claw: spans.animal,
    sharedWith: new Int32Array(spans.count).fill(-1),
    claws: rows.animals.map((_, animal) => ({ animal, foot: "", claw: "" })),
  });
  const variance = count.map((n, s) => spans.months[s]! ** 2 * intervalVariance + apart.residual / n);
  const typical = variance.reduce((sum, one) => sum + one, 0) / Math.max(1, variance.length);
  const places = new Map(
    rows.claws.map((one, c) => [`${rows.animals[one.animal]}|${one.foot}|${one.claw}`, c]),
  );
  return {
    design: { ...design, weights: variance.map((one) => typical / one) },
    clawKnowledge: {
      claw(_point, animal, { foot, claw }) {
        const place = places.get(`${animal}|${foot}|${claw}`);
        if (place === undefined) return { effect: apart.ofFoot(foot, claw), variance: apart.claw };
        return { effect: apart.effect[place]!, variance: apart.variance[place]! };
      },
      // The residual of the means is intervals' and readings' together, as found over what it was taken to be.
      interval: ({ sigmaSquared }) => (intervalVariance * sigmaSquared) / typical,
    },
  };
}

/** How single claws depart from their animal's mean. */
interface ClawContrasts {
  /** What foot and side add, mm per 30 days. */
  ofFoot(foot: string, claw: string): number;
  /** By claw of the rows: its departure as predicted, foot and side included, and the variance of that. */
  readonly effect: Float64Array;
  readonly variance: Float64Array;
  /** Variance between claws of one foot and side. */
  readonly claw: number;
  /** Variance of the error of one difference of readings, mm². */
  readonly residual: number;
}

/** Share of a claw's rows that its contrast with seven others keeps. */
const KEPT = 7 / 8;

function clawContrasts(rows: GrowthRows): ClawContrasts {
  const months = Float64Array.from(rows.span, (s) => rows.spans.months[s]!);
  const side = (of: (foot: string, claw: string) => number): Float64Array =>
    withoutMeans(
      rows,
      Float64Array.from(rows.claw, (c, i) => months[i]! * of(rows.claws[c]!.foot, rows.claws[c]!.claw)),
    );
  const growth = withoutMeans(rows, rows.growth);
  const hind = side(hindSide);
  const outer = side(outerSide);
  const [ofHind, ofOuter] = twoSlopes(hind, outer, growth);
  const ofFoot = (foot: string, claw: string): number =>
    ofHind * hindSide(foot) + ofOuter * outerSide(foot, claw);
  // What is left of each claw: a slope on D, and the scatter about it.
  const left = growth.map((one, i) => one - ofHind * hind[i]! - ofOuter * outer[i]!);
  const claws = rows.claws.length;
  const dy = new Float64Array(claws);
  const dd = new Float64Array(claws);
  left.forEach((one, i) => {
    dy[rows.claw[i]!]! += months[i]! * one;
    dd[rows.claw[i]!]! += months[i]! ** 2;
  });
  const slopes = dy.map((sum, c) => sum / Math.max(dd[c]!, 1e-9));
  const squares = left.reduce((sum, one, i) => sum + (one - months[i]! * slopes[rows.claw[i]!]!) ** 2, 0);
  const degrees = rows.count - rows.spans.count - (claws - rows.animals.length);
  const residual = degrees > 0 ? squares / degrees : 0;
  const between = slopes.reduce((sum, slope, c) => sum + slope * slope - (KEPT * residual) / dd[c]!, 0);
  const claw = claws > rows.animals.length ? Math.max(0, between / (KEPT * claws)) : 0;
  const information = dd.map((one) => (residual > 0 ? (KEPT * one) / residual : 0));
  const variance = information.map((one) => (claw > 0 ? 1 / (1 / claw + one) : 0));
  return {
    ofFoot,
    claw,
    residual,
    variance,
    effect: slopes.map(
      (slope, c) => ofFoot(rows.claws[c]!.foot, rows.claws[c]!.claw) + slope * variance[c]! * information[c]!,
    ),
  };
}

const hindSide = (foot: string): number => (foot === "" ? 0 : foot.endsWith("H") ? 0.5 : -0.5);
const outerSide = (_foot: string, claw: string): number => (claw === "" ? 0 : claw === "outer" ? 0.5 : -0.5);

/** Values less the mean over the rows of their interval. */
function withoutMeans(rows: GrowthRows, values: Float64Array): Float64Array {
  const sum = new Float64Array(rows.spans.count);
  const count = new Float64Array(rows.spans.count);
  rows.span.forEach((s, i) => {
    sum[s]! += values[i]!;
    count[s]!++;
  });
  return values.map((value, i) => value - sum[rows.span[i]!]! / count[rows.span[i]!]!);
}

/** Least squares of y on two columns; a column of nothing gets no slope. */
function twoSlopes(a: Float64Array, b: Float64Array, y: Float64Array): [number, number] {
  const product = (u: Float64Array, v: Float64Array): number =>
    u.reduce((sum, one, i) => sum + one * v[i]!, 0);
  const aa = product(a, a);
  const bb = product(b, b);
  const ab = product(a, b);
  const ay = product(a, y);
  const by = product(b, y);
  const determinant = aa * bb - ab * ab;
  if (determinant > 1e-9 * aa * bb) {
    return [(bb * ay - ab * by) / determinant, (aa * by - ab * ay) / determinant];
  }
  return [aa > 0 ? ay / aa : 0, aa > 0 || bb === 0 ? 0 : by / bb];
}
