import type { DensityDrawsOptions } from "../density/density-draws.ts";
import type { Unfit } from "../verdict.ts";
import type { VarianceAverage } from "./average-over-variances.ts";
import { criterionWorkspace, type MixedModelSolution } from "./criterion.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import { combinationEstimates, type LinearCombination, parseCombination } from "./linear-combinations.ts";
import type { LinearMixedDesign } from "./linear-mixed-design.ts";
import { type PartsPlan, planParts, sharedHalf, solveParts } from "./part-solutions.ts";
import {
  drawPosterior,
  posteriorPoint,
  type VariancePosterior,
  variancePosterior,
} from "./variance-posterior.ts";

/** The average, and what the variances were at each of its points. */
export interface SumsAverage extends VarianceAverage {
  /** θ of each point, one row a point. */
  readonly thetas: readonly Float64Array[];
  /** σ² of each point, as expected there. */
  readonly sigmaSquared: Float64Array;
}

/** Σ weight·part over some of the parts. */
export interface WeightedSum {
  readonly part: Int32Array;
  readonly weight: Float64Array;
}

/** sumWeight·sum + partWeight·part: a sum alone (a group's mean), or a sum with one more part (an animal in it). */
export interface SumAndPart {
  readonly sum: number;
  readonly sumWeight: number;
  readonly part?: number;
  readonly partWeight?: number;
}

/** Draws that are always made, a sample worth this share of them being enough: their sequence is evenly spread. */
const FIRST_DRAWS = 24;
const ENOUGH_OF_FEW = 0.6;
/** An end of the limits is to be known within this share of a standard error, in all but one combination of 20. */
const KNOWN_WITHIN = 0.04;
const MOST_DRAWS = 200;

/**
 * Averages combinations over the uncertainty of the variances, as `averageOverVariances` does by draws, where very many
 * combinations are put together from few parts: at each draw a sum is solved for once, and what is asked of it follows from
 * scalar products. Combination k of the result is `asked[k]`. There are as many draws as the limits need: few where the
 * records tell the variances well.
 */
export function averageSumsOverVariances(
  fit: FittedLinearMixed,
  parts: readonly LinearCombination[],
  sums: readonly WeightedSum[],
  asked: readonly SumAndPart[],
  { seed }: { readonly seed: number },
): SumsAverage | Unfit {
  const posterior = variancePosterior(fit);
  if ("trouble" in posterior) return posterior;
  const question = laidOut(fit.design, parts, sums, asked);
  const few = overDraws(posterior, question, { seed, draws: FIRST_DRAWS, enough: ENOUGH_OF_FEW });
  if (few === undefined) {
    return {
      verdict: "failed",
      trouble: "not_converged",
      detail: "no draw of the variances can be evaluated",
    };
  }
  const needed = drawsNeeded(few);
  if (needed <= few.effectivePoints) return few;
  return overDraws(posterior, question, { seed, draws: Math.min(MOST_DRAWS, needed) }) ?? few;
}

/** Draws from which the ends of the limits are known well enough, judged by how they differ between a few draws. */
function drawsNeeded({ combinations, weights, locations, scales }: SumsAverage): number {
  const ratios = Float64Array.from({ length: combinations }, (_, k) => {
    let scale = 0;
    let mean = 0;
    let squares = 0;
    for (let i = 0; i < weights.length; i++) {
      const at = i * combinations + k;
      const end = locations[at]! + 2 * scales[at]!;
      scale += weights[i]! * scales[at]!;
      mean += weights[i]! * end;
      squares += weights[i]! * end * end;
    }
    return scale > 0 ? Math.sqrt(Math.max(0, squares - mean * mean)) / scale : 0;
  }).sort();
  const widest = ratios[Math.floor(0.95 * (combinations - 1))] ?? 0;
  return Math.ceil((widest / KNOWN_WITHIN) ** 2);
}

function overDraws(
  posterior: VariancePosterior,
  question: Question,
  options: DensityDrawsOptions,
): SumsAverage | undefined {
  const { design, df } = posterior;
  const { z, weights, effective } = drawPosterior(posterior, options);
  const workspace = criterionWorkspace(design);
  const kept: Kept[] = [];
  z.forEach((point, i) => {
    const there = weights[i]! > 0 ? posteriorPoint(posterior, point, workspace) : undefined;
    if (there === undefined) return;
    const { location, scale } = answered(design, question, there.solution, df);
    const { theta, penalizedSquares } = there.solution;
    kept.push({ weight: weights[i]!, location, scale, theta, sigmaSquared: penalizedSquares / (df - 2) });
  });
  return kept.length === 0 ? undefined : mixture(kept, question.count, df, effective);
}

interface Kept {
  readonly weight: number;
  readonly location: Float64Array;
  readonly scale: Float64Array;
  readonly theta: Float64Array;
  readonly sigmaSquared: number;
}

/** What is asked, sum by sum. */
interface Question {
  readonly plan: PartsPlan;
  readonly count: number;
  readonly sums: readonly (WeightedSum & {
    readonly asked: readonly {
      readonly k: number;
      readonly sumWeight: number;
      readonly part: number | undefined;
      readonly partWeight: number;
      /** Weight of that part in the sum itself. */
      readonly inSum: number;
    }[];
  })[];
}

function laidOut(
  design: LinearMixedDesign,
  parts: readonly LinearCombination[],
  sums: readonly WeightedSum[],
  asked: readonly SumAndPart[],
): Question {
  const weights = sums.map(({ part, weight }) => {
    const byPart = new Map<number, number>();
    part.forEach((p, j) => {
      byPart.set(p, (byPart.get(p) ?? 0) + weight[j]!);
    });
    return byPart;
  });
  const bySum = sums.map((): Question["sums"][number]["asked"][number][] => []);
  asked.forEach(({ sum, sumWeight, part, partWeight = 1 }, k) => {
    const inSum = part === undefined ? 0 : (weights[sum]!.get(part) ?? 0);
    bySum[sum]!.push({ k, sumWeight, part, partWeight, inSum });
  });
  return {
    plan: planParts(
      design,
      parts.map((part) => parseCombination(design, part)),
    ),
    count: asked.length,
    sums: weights.map((byPart, s) => ({
      part: Int32Array.from(byPart.keys()),
      weight: Float64Array.from(byPart.values()),
      asked: bySum[s]!,
    })),
  };
}

/** Location and scale of all that is asked, at one solution. */
function answered(
  design: LinearMixedDesign,
  { plan, count, sums }: Question,
  solution: MixedModelSolution,
  df: number,
): { location: Float64Array; scale: Float64Array } {
  const location = new Float64Array(count);
  const scale = new Float64Array(count);
  const unit = solution.penalizedSquares / df;
  const estimates = combinationEstimates(
    design,
    solution,
    plan.parts.map(({ combination }) => combination),
  );
  const solved = solveParts(design, solution, plan);
  const { ownSquare } = solved;
  const length = plan.sharedColumns.length;
  const halves = new Map<number, Float64Array>();
  const halfOf = (part: number): Float64Array => {
    let half = halves.get(part);
    if (half === undefined) {
      half = new Float64Array(length);
      sharedHalf(solved, [part], [1], half);
      halves.set(part, half);
    }
    return half;
  };
  const half = new Float64Array(length);
  for (const { part, weight, asked } of sums) {
    sharedHalf(solved, part, weight, half);
    let estimate = 0;
    let square = dot(half, half);
    for (let j = 0; j < part.length; j++) {
      estimate += weight[j]! * estimates[part[j]!]!;
      square += weight[j]! ** 2 * ownSquare[part[j]!]!;
    }
    for (const { k, sumWeight, part: one, partWeight, inSum } of asked) {
      location[k] = sumWeight * estimate;
      let variance = sumWeight * sumWeight * square;
      if (one !== undefined) {
        const beside = halfOf(one);
        location[k]! += partWeight * estimates[one]!;
        variance += 2 * sumWeight * partWeight * (dot(half, beside) + inSum * ownSquare[one]!);
        variance += partWeight * partWeight * (dot(beside, beside) + ownSquare[one]!);
      }
      scale[k] = Math.sqrt(Math.max(0, unit * variance));
    }
  }
  return { location, scale };
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
  return sum;
}

function mixture(kept: readonly Kept[], count: number, df: number, effective: number): SumsAverage {
  const total = kept.reduce((sum, { weight }) => sum + weight, 0);
  const weights = Float64Array.from(kept, ({ weight }) => weight / total);
  const locations = new Float64Array(kept.length * count);
  const scales = new Float64Array(kept.length * count);
  const mean = new Float64Array(count);
  const variance = new Float64Array(count);
  kept.forEach(({ location, scale }, i) => {
    locations.set(location, i * count);
    scales.set(scale, i * count);
    for (let k = 0; k < count; k++) mean[k]! += weights[i]! * location[k]!;
  });
  for (let i = 0; i < kept.length; i++) {
    for (let k = 0; k < count; k++) {
      const within = (scales[i * count + k]! ** 2 * df) / (df - 2);
      variance[k]! += weights[i]! * (within + (locations[i * count + k]! - mean[k]!) ** 2);
    }
  }
  return {
    combinations: count,
    weights,
    locations,
    scales,
    df,
    mean,
    variance,
    effectivePoints: effective,
    points: "draws",
    thetas: kept.map(({ theta }) => theta),
    sigmaSquared: Float64Array.from(kept, ({ sigmaSquared }) => sigmaSquared),
  };
}
