import { tUpperQuantile } from "../distributions/student-t.ts";
import { checkLevel, type Interval } from "../interval.ts";
import { scoreInterval } from "./proportion-interval.ts";

/** One cluster (an animal): `successes` of its `trials`, and the stratum (pen) whose differences stand fixed. */
export interface ClusterCount {
  readonly successes: number;
  readonly trials: number;
  readonly stratum?: string | number;
}

/** A proportion over clustered trials, with what its interval rests on. */
export interface ClusteredProportion extends Interval {
  readonly clusters: number;
  readonly trials: number;
  /** Variance over that of independent trials, at least 1. */
  readonly designEffect: number;
  /** Trials divided by the design effect. */
  readonly effectiveTrials: number;
}

/**
 * Proportion of successes over all trials when trials of one cluster go together. The variance is that of the
 * ratio estimator over clusters (Cochran 1977, Sampling Techniques, chapters 6 and 11), the
 * interval Wilson's at the effective sample size (Korn & Graubard 1998, Surv. Methodol. 24:193-201, use the exact
 * interval in the same way) with Student's t on clusters − 1. Where every trial agrees the variance tells nothing,
 * and each cluster counts as one trial. `undefined` with fewer than two clusters that have trials.
 */
export function clusteredProportion(
  clusters: readonly ClusterCount[],
  level = 0.95,
): ClusteredProportion | undefined {
  checkLevel(level);
  for (const { successes, trials } of clusters) {
    if (!(successes >= 0 && successes <= trials))
      throw new RangeError(`${successes} successes of ${trials} trials`);
  }
  const counted = clusters.filter(({ trials }) => trials > 0);
  if (counted.length < 2) return undefined;
  const trials = counted.reduce((sum, cluster) => sum + cluster.trials, 0);
  const successes = counted.reduce((sum, cluster) => sum + cluster.successes, 0);
  const p = successes / trials;
  const designEffect =
    successes === 0 || successes === trials
      ? trials / counted.length
      : Math.max(1, totalVariance(counted, p) / (trials * p * (1 - p)));
  const effectiveTrials = trials / designEffect;
  const interval = scoreInterval(
    successes === trials ? effectiveTrials : p * effectiveTrials,
    effectiveTrials,
    tUpperQuantile((1 - level) / 2, counted.length - 1),
  )!;
  return { ...interval, estimate: p, clusters: counted.length, trials, designEffect, effectiveTrials };
}

/** Variance of Σ(successes − p·trials) over clusters, about each stratum's own mean where strata are given. */
function totalVariance(clusters: readonly ClusterCount[], p: number): number {
  const residuals = new Map<string | number | undefined, number[]>();
  for (const { successes, trials, stratum } of clusters) {
    const own = residuals.get(stratum);
    if (own === undefined) residuals.set(stratum, [successes - p * trials]);
    else own.push(successes - p * trials);
  }
  // A stratum of one has no spread of its own: such strata are collapsed into one.
  const alone: number[] = [];
  let variance = 0;
  for (const own of residuals.values()) {
    if (own.length === 1) alone.push(own[0]!);
    else variance += spread(own);
  }
  if (alone.length === 1) return variance + alone[0]! ** 2;
  return alone.length === 0 ? variance : variance + spread(alone);
}

function spread(residuals: readonly number[]): number {
  const n = residuals.length;
  const mean = residuals.reduce((sum, e) => sum + e, 0) / n;
  return (n / (n - 1)) * residuals.reduce((sum, e) => sum + (e - mean) ** 2, 0);
}
