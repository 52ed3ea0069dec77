import type { Unfit } from "../verdict.ts";
import type { AveragingOptions, VarianceAverage } from "./average-over-variances.ts";
import { criterionWorkspace, type MixedModelSolution } from "./criterion.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import {
  type CombinationHalf,
  combinationEstimates,
  combinationHalves,
  type LinearCombination,
  parseCombination,
} from "./linear-combinations.ts";
import { drawPosterior, posteriorPoint, variancePosterior } from "./variance-posterior.ts";

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

/**
 * Averages combinations over the uncertainty of the variances, as `averageOverVariances` does by draws, where very many
 * combinations are put together from few parts: at each draw a part is solved for once, a sum is added up from its
 * parts' half solutions, and what is asked of it follows from scalar products. Combination k of the result is `asked[k]`.
 */
export function averageSumsOverVariances(
  fit: FittedLinearMixed,
  parts: readonly LinearCombination[],
  sums: readonly WeightedSum[],
  asked: readonly SumAndPart[],
  options: AveragingOptions,
): SumsAverage | Unfit {
  const posterior = variancePosterior(fit);
  if ("trouble" in posterior) return posterior;
  const { design } = fit;
  const { df } = posterior;
  const { z, weights, effective } = drawPosterior(posterior, {
    ...(options.enough === undefined ? {} : { enough: options.enough }),
    seed: options.seed,
    draws: options.draws ?? 200,
  });
  const parsed = parts.map((part) => parseCombination(design, part));
  const bySum = sums.map((): number[] => []);
  asked.forEach(({ sum }, k) => {
    bySum[sum]!.push(k);
  });
  const workspace = criterionWorkspace(design);
  const kept: Kept[] = [];
  z.forEach((point, i) => {
    const there = weights[i]! > 0 ? posteriorPoint(posterior, point, workspace) : undefined;
    if (there === undefined) return;
    const estimates = combinationEstimates(design, there.solution, parsed);
    const halves = combinationHalves(design, there.solution, parsed);
    const { location, scale } = evaluate(estimates, halves, sums, asked, bySum, there.solution, df);
    const { theta, penalizedSquares } = there.solution;
    kept.push({ weight: weights[i]!, location, scale, theta, sigmaSquared: penalizedSquares / (df - 2) });
  });
  if (kept.length === 0) {
    return {
      verdict: "failed",
      trouble: "not_converged",
      detail: "no draw of the variances can be evaluated",
    };
  }
  return mixture(kept, asked.length, df, effective);
}

interface Kept {
  readonly weight: number;
  readonly location: Float64Array;
  readonly scale: Float64Array;
  readonly theta: Float64Array;
  readonly sigmaSquared: number;
}

function evaluate(
  estimates: Float64Array,
  halves: readonly CombinationHalf[],
  sums: readonly WeightedSum[],
  asked: readonly SumAndPart[],
  bySum: readonly (readonly number[])[],
  solution: MixedModelSolution,
  df: number,
): { location: Float64Array; scale: Float64Array } {
  const location = new Float64Array(asked.length);
  const scale = new Float64Array(asked.length);
  const unit = solution.penalizedSquares / df;
  const added = new Float64Array(solution.factor.symbolic.order);
  const ownSquares = halves.map(({ value }) => dot(value, value));
  for (let s = 0; s < sums.length; s++) {
    const { part, weight } = sums[s]!;
    added.fill(0);
    let estimate = 0;
    for (let j = 0; j < part.length; j++) {
      const p = part[j]!;
      estimate += weight[j]! * estimates[p]!;
      addHalf(added, halves[p]!, weight[j]!);
    }
    const square = dot(added, added);
    for (const k of bySum[s]!) {
      const { sumWeight, part: one, partWeight = 1 } = asked[k]!;
      location[k] = sumWeight * estimate + (one === undefined ? 0 : partWeight * estimates[one]!);
      let variance = sumWeight * sumWeight * square;
      if (one !== undefined) {
        variance += 2 * sumWeight * partWeight * productWith(added, halves[one]!);
        variance += partWeight * partWeight * ownSquares[one]!;
      }
      scale[k] = Math.sqrt(Math.max(0, unit * variance));
    }
  }
  return { location, scale };
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

function addHalf(added: Float64Array, { place, value }: CombinationHalf, weight: number): void {
  for (let k = 0; k < place.length; k++) added[place[k]!]! += weight * value[k]!;
}

function productWith(added: Float64Array, { place, value }: CombinationHalf): number {
  let sum = 0;
  for (let k = 0; k < place.length; k++) sum += added[place[k]!]! * value[k]!;
  return sum;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
  return sum;
}
