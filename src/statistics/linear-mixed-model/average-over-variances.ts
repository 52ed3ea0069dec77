import type { TMixture } from "../distributions/t-mixture.ts";
import type { Unfit } from "../verdict.ts";
import { criterionWorkspace } from "./criterion.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import {
  combinationEstimates,
  combinationPlan,
  combinationSquares,
  type LinearCombination,
  parseCombination,
} from "./linear-combinations.ts";
import {
  drawPosterior,
  posteriorPoint,
  type VariancePosterior,
  variancePosterior,
} from "./variance-posterior.ts";

export interface AveragingOptions {
  /** Seed of the draws (not used by a grid). */
  readonly seed: number;
  /** Draws where a grid would be too large: beyond three standard deviations, or with correlations (default 200). */
  readonly draws?: number;
}

/** Linear combinations of fixed and random effects, averaged over the uncertainty of the variances. */
export interface VarianceAverage {
  readonly combinations: number;
  /** Weight of each point of the variances, adding up to one. */
  readonly weights: Float64Array;
  /** At point i, combination k: location and scale of a t distribution, at `i * combinations + k`. */
  readonly locations: Float64Array;
  readonly scales: Float64Array;
  readonly df: number;
  readonly mean: Float64Array;
  readonly variance: Float64Array;
  /** How many equally weighted points the points, or the draws behind them, are worth. */
  readonly effectivePoints: number;
  readonly points: "grid" | "draws";
}

/**
 * The grid for none to three standard deviations: its ends and points along each axis. It goes further down than up:
 * toward zero the density of a logarithm falls off only exponentially.
 */
const GRIDS = [
  { low: 0, high: 0, points: 1 },
  { low: -10, high: 5, points: 31 },
  { low: -7.2, high: 4, points: 15 },
  { low: -6, high: 3.5, points: 10 },
];
/** Operations of one factorisation beyond which three standard deviations are drawn, not gridded. */
const GRID_OPERATIONS = 2e6;
/** Points lighter than this share of the heaviest are left out. */
const LIGHTEST = 1e-5;

/**
 * Averages linear combinations over the restricted likelihood of the variances with a flat prior on each standard
 * deviation: a grid for up to three of them, else seeded low-discrepancy draws with importance weights. Given the
 * variances' ratios a combination has a t distribution about its best linear unbiased prediction; the result is their
 * mixture (Box and Tiao 1973, Bayesian Inference in Statistical Analysis, chapters 5 to 7).
 */
export function averageOverVariances(
  fit: FittedLinearMixed,
  combinations: readonly LinearCombination[],
  options: AveragingOptions,
): VarianceAverage | Unfit {
  const posterior = variancePosterior(fit);
  if ("trouble" in posterior) return posterior;
  const dimensions = posterior.shape.mode.length;
  const grid =
    dimensions < GRIDS.length &&
    fit.design.blocks.every(({ size }) => size === 1) &&
    (dimensions < 3 || fit.design.symbolic.operations < GRID_OPERATIONS);
  if (grid) return mixture(fit, posterior, gridNodes(posterior, GRIDS[dimensions]!), combinations, "grid");
  const { z, weights, effective } = drawPosterior(posterior, {
    seed: options.seed,
    draws: options.draws ?? 200,
  });
  const nodes = z.map((point, i) => ({ z: point, log: Math.log(weights[i]!) }));
  return { ...mixture(fit, posterior, nodes, combinations, "draws"), effectivePoints: effective };
}

/** The distribution of combination k, averaged over the variances. */
export function averagedMixture(average: VarianceAverage, k: number): TMixture {
  const { weights, locations, scales, combinations, df } = average;
  const ofK = (values: Float64Array): Float64Array => weights.map((_, i) => values[i * combinations + k]!);
  return { weights, means: ofK(locations), scales: ofK(scales), freedom: df };
}

/** A point in the posterior's coordinates, and the log of how much it counts for before (grid) or in all (draws). */
interface Node {
  readonly z: Float64Array;
  readonly log: number;
}

function gridNodes(posterior: VariancePosterior, { low, high, points }: (typeof GRIDS)[number]): Node[] {
  const dimensions = posterior.shape.mode.length;
  const step = points > 1 ? (high - low) / (points - 1) : 0;
  const nodes: Node[] = [];
  const total = points ** dimensions;
  for (let n = 0; n < total; n++) {
    const z = new Float64Array(dimensions);
    let log = 0;
    let rest = n;
    for (let k = 0; k < dimensions; k++) {
      const place = low + step * (rest % points);
      const { down, up } = posterior.shape.stretch[k]!;
      z[k] = place * (place < 0 ? down : up);
      log += Math.log(place < 0 ? down : place > 0 ? up : 0.5 * (down + up));
      rest = Math.floor(rest / points);
    }
    nodes.push({ z, log });
  }
  // From the middle outward, so that the points that do not count are known as such when they are met.
  return nodes.sort((a, b) => length(a.z) - length(b.z));
}

function mixture(
  fit: FittedLinearMixed,
  posterior: VariancePosterior,
  nodes: readonly Node[],
  combinations: readonly LinearCombination[],
  points: "grid" | "draws",
): VarianceAverage {
  const { design } = fit;
  const { df } = posterior;
  const parsed = combinations.map((combination) => parseCombination(design, combination));
  const plan = combinationPlan(design, parsed);
  const count = parsed.length;
  const workspace = criterionWorkspace(design);
  const reached: { log: number; location: Float64Array; scale: Float64Array }[] = [];
  let heaviest = -Infinity;
  for (const { z, log: given } of nodes) {
    const there = posteriorPoint(posterior, z, workspace);
    if (there === undefined) continue;
    const log = points === "grid" ? there.logDensity + given : given;
    heaviest = Math.max(heaviest, log);
    if (log < heaviest + Math.log(LIGHTEST)) continue;
    const { solution } = there;
    const scale = combinationSquares(design, solution, plan).map((v) =>
      Math.sqrt((solution.penalizedSquares / df) * v),
    );
    reached.push({ log, location: combinationEstimates(design, solution, parsed), scale });
  }
  const kept = reached.filter(({ log }) => log >= heaviest + Math.log(LIGHTEST));
  const total = kept.reduce((sum, { log }) => sum + Math.exp(log - heaviest), 0);
  const weights = Float64Array.from(kept, ({ log }) => Math.exp(log - heaviest) / total);
  const locations = new Float64Array(kept.length * count);
  const scales = new Float64Array(kept.length * count);
  const mean = new Float64Array(count);
  kept.forEach(({ location, scale }, i) => {
    locations.set(location, i * count);
    scales.set(scale, i * count);
    for (let k = 0; k < count; k++) mean[k]! += weights[i]! * location[k]!;
  });
  const variance = new Float64Array(count);
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
    effectivePoints: 1 / length(weights) ** 2,
    points,
  };
}

function length(vector: Float64Array): number {
  return Math.hypot(...vector);
}
