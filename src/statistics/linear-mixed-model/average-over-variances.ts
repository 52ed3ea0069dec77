import { normalCumulative } from "../distributions/normal.ts";
import { tCumulative, tLogDensity, tQuantile } from "../distributions/student-t.ts";
import { findRoot } from "../optimise/root.ts";
import { Random } from "../random.ts";
import type { Unfit } from "../verdict.ts";
import { criterionWorkspace } from "./criterion.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import {
  combinationEstimates,
  combinationHalves,
  type LinearCombination,
  parseCombination,
  squares,
} from "./linear-combinations.ts";
import { posteriorPoint, type VariancePosterior, variancePosterior } from "./variance-posterior.ts";

export interface AveragingOptions {
  /** Seed of the draws (not used by a grid). */
  readonly seed: number;
  /** Draws where the terms have more than three standard deviations (default 200). */
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
  /** How many equally weighted points the points are worth. */
  readonly effectivePoints: number;
  readonly points: "grid" | "draws";
}

/** Grid points along each axis for one, two and three standard deviations. */
const GRID_POINTS = [1, 21, 11, 8];
/** Points lighter than this share of the heaviest are left out. */
const LIGHTEST = 1e-5;
/** Degrees of freedom of the draws' own tails. */
const TAIL_DF = 8;

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
  const dimensions = posterior.mode.length;
  const grid = dimensions < GRID_POINTS.length && fit.design.blocks.every(({ size }) => size === 1);
  const nodes = grid
    ? gridNodes(posterior, GRID_POINTS[dimensions]!)
    : drawnNodes(posterior, options.seed, options.draws ?? 200);
  return mixture(fit, posterior, nodes, combinations, grid ? "grid" : "draws");
}

/** Quantile of combination k, averaged over the variances. */
export function averagedQuantile(average: VarianceAverage, k: number, probability: number): number {
  const spread = Math.sqrt(average.variance[k]!);
  const middle = average.mean[k]!;
  if (spread === 0) return middle;
  const above = (x: number): number => averagedCumulative(average, k, x) - probability;
  let reach = 4 * spread;
  while (above(middle - reach) > 0 || above(middle + reach) < 0) reach *= 2;
  const root = findRoot(above, middle - reach, middle + reach, { tolerance: 1e-7 * spread });
  return root.found ? root.root : Number.NaN;
}

/** P(combination k ≤ x), averaged over the variances. */
export function averagedCumulative(average: VarianceAverage, k: number, x: number): number {
  const { weights, locations, scales, combinations, df } = average;
  let sum = 0;
  for (let i = 0; i < weights.length; i++) {
    const at = i * combinations + k;
    const scale = scales[at]!;
    const location = locations[at]!;
    sum += weights[i]! * (scale > 0 ? studentBelow((x - location) / scale, df) : x >= location ? 1 : 0);
  }
  return sum;
}

/** A point of the variances in the posterior's coordinates, and the log of its volume or inverse density. */
interface Node {
  readonly z: Float64Array;
  readonly logVolume: number;
}

function gridNodes(posterior: VariancePosterior, points: number): Node[] {
  const dimensions = posterior.mode.length;
  // Wider downward: toward zero a standard deviation's density on the log scale falls off only exponentially.
  const low = -5;
  const high = 3.5;
  const step = points > 1 ? (high - low) / (points - 1) : 0;
  const nodes: Node[] = [];
  const total = points ** dimensions;
  for (let n = 0; n < total; n++) {
    const z = new Float64Array(dimensions);
    let rest = n;
    for (let k = 0; k < dimensions; k++) {
      z[k] = low + step * (rest % points);
      rest = Math.floor(rest / points);
    }
    nodes.push({ z, logVolume: logStretch(posterior, z) });
  }
  // From the middle outward, so that the points that do not count are known as such when they are met.
  return nodes.sort((a, b) => squares(a.z) - squares(b.z));
}

/** Additive-recurrence points (Kronecker sequence on powers of the generalised golden ratio) from a seeded shift. */
function drawnNodes(posterior: VariancePosterior, seed: number, draws: number): Node[] {
  const dimensions = posterior.mode.length;
  const random = new Random(seed);
  const shift = Float64Array.from({ length: dimensions }, () => random.uniform());
  let ratio = 1.5;
  for (let round = 0; round < 60; round++) ratio = (1 + ratio) ** (1 / (dimensions + 1));
  return Array.from({ length: draws }, (_, i) => {
    const z = new Float64Array(dimensions);
    let logVolume = 0;
    for (let k = 0; k < dimensions; k++) {
      const u = (shift[k]! + (i + 1) * ratio ** -(k + 1)) % 1;
      z[k] = tQuantile(Math.min(Math.max(u, 1e-6), 1 - 1e-6), TAIL_DF);
      logVolume -= tLogDensity(z[k]!, TAIL_DF);
    }
    return { z, logVolume: logVolume + logStretch(posterior, z) };
  });
}

/** Log of how much the stretched axes enlarge a unit of volume at z. */
function logStretch(posterior: VariancePosterior, z: Float64Array): number {
  return posterior.stretch.reduce((sum, { down, up }, k) => {
    if (z[k]! === 0) return sum + Math.log(0.5 * (down + up));
    return sum + Math.log(z[k]! < 0 ? down : up);
  }, 0);
}

function mixture(
  fit: FittedLinearMixed,
  posterior: VariancePosterior,
  nodes: readonly Node[],
  combinations: readonly LinearCombination[],
  points: "grid" | "draws",
): VarianceAverage | Unfit {
  const { design } = fit;
  const { df } = posterior;
  const parsed = combinations.map((combination) => parseCombination(design, combination));
  const count = parsed.length;
  const workspace = criterionWorkspace(design);
  const reached: { log: number; location: Float64Array; scale: Float64Array }[] = [];
  let heaviest = -Infinity;
  for (const { z, logVolume } of nodes) {
    const there = posteriorPoint(posterior, z, workspace);
    if (there === undefined) continue;
    const log = there.logDensity + logVolume;
    heaviest = Math.max(heaviest, log);
    if (log < heaviest + Math.log(LIGHTEST)) continue;
    const { solution } = there;
    const scale = Float64Array.from(combinationHalves(design, solution, parsed), ({ value }) =>
      Math.sqrt((solution.penalizedSquares / df) * squares(value)),
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
    effectivePoints: 1 / squares(weights),
    points,
  };
}

/** P(T ≤ t); from 30 degrees of freedom on by Wallace's normal transform (1959, Ann. Math. Stat. 30, 1121-1130). */
function studentBelow(t: number, df: number): number {
  if (df < 30) return tCumulative(t, df);
  const z = Math.sqrt(df * Math.log1p((t * t) / df)) * ((8 * df + 1) / (8 * df + 3));
  return normalCumulative(t < 0 ? -z : z);
}
