import { empiricalQuantile } from "../empirical-quantile.ts";
import { checkLevel } from "../interval.ts";
import type { Random } from "../random.ts";
import type { Unfit } from "../verdict.ts";
import { type CensoredTimesInput, parseCensoredTimes, unfit } from "./censored-times.ts";
import { codeEnds } from "./innermost-intervals.ts";
import { survivalAtEdge, timeOfFraction } from "./step-curve.ts";
import { mostLikelyCurve } from "./turnbull.ts";

/** What to resample and where to read the curves. */
export interface TurnbullBootstrapInput extends CensoredTimesInput {
  /** Cluster (animal) of each row, a whole number from 0. */
  readonly cluster: ArrayLike<number>;
  /** Times at which survival is wanted. */
  readonly at: readonly number[];
  /** Fractions (0 … 1) whose times are wanted; 0.5 for the median. */
  readonly fractions: readonly number[];
  readonly random: Random;
  /** Default 500. */
  readonly samples?: number;
  /** Default 0.95. */
  readonly level?: number;
}

/** Limits; null where they lie outside the range of checks. */
export interface Limits {
  readonly lo: number | null;
  readonly hi: number | null;
}

export interface TurnbullLimits {
  /** Survival at each of `at`. */
  readonly survival: readonly Limits[];
  /** Time of each of `fractions`. */
  readonly times: readonly Limits[];
  readonly samples: number;
  readonly clusters: number;
  /** Latest finite end of any row: nothing is known beyond it. */
  readonly lastCheck: number;
}

/**
 * Percentile limits of Turnbull's curve from samples of whole clusters (Efron & Tibshirani 1993, An Introduction
 * to the Bootstrap, chapters 8 and 13). Where a resampled curve is not known, its left edge counts for the lower
 * limit and its right edge for the upper, so that limits are never narrower than what was looked at. Sample b uses
 * substream b of `random`.
 */
export function bootstrapTurnbull(input: TurnbullBootstrapInput): TurnbullLimits | Unfit {
  const level = input.level ?? 0.95;
  checkLevel(level);
  const times = parseCensoredTimes(input);
  if ("verdict" in times) return times;
  const rows = times.left.length;
  if (input.cluster.length !== rows) {
    return unfit("invalid_input", `cluster has ${input.cluster.length} of ${rows} rows`);
  }
  const cluster = denseNumbers(input.cluster);
  if (cluster.count < 2) return unfit("too_few_groups", `${cluster.count} cluster`);

  const samples = input.samples ?? 500;
  const lowest = input.at.map(() => new Float64Array(samples));
  const highest = input.at.map(() => new Float64Array(samples));
  const earliest = input.fractions.map(() => new Float64Array(samples));
  const latest = input.fractions.map(() => new Float64Array(samples));
  const ends = codeEnds(times);
  const drawn = new Int32Array(cluster.count);
  const multiplicity = new Float64Array(cluster.count);
  const weights = new Float64Array(rows);
  for (let b = 0; b < samples; b++) {
    multiplicity.fill(0);
    for (const g of input.random.substream(b).resample(drawn, cluster.count)) multiplicity[g]++;
    for (let i = 0; i < rows; i++) weights[i] = times.weights[i] * multiplicity[cluster.of[i]];
    const curve = mostLikelyCurve(ends, weights);
    input.at.forEach((t, k) => {
      lowest[k][b] = survivalAtEdge(curve, t, "left");
      highest[k][b] = survivalAtEdge(curve, t, "right");
    });
    input.fractions.forEach((p, k) => {
      const { from, to } = timeOfFraction(curve, p);
      earliest[k][b] = from;
      latest[k][b] = to;
    });
  }
  const lastCheck = latestFinite(times.left, times.right);
  const tail = (1 - level) / 2;
  const limits = (low: Float64Array, high: Float64Array, seen: (value: number) => boolean): Limits => {
    const lo = empiricalQuantile(low.sort(), tail)!;
    const hi = empiricalQuantile(high.sort(), 1 - tail)!;
    return { lo: seen(lo) ? lo : null, hi: seen(hi) ? hi : null };
  };
  return {
    survival: input.at.map((t, k) => limits(lowest[k], highest[k], () => t <= lastCheck)),
    times: input.fractions.map((_, k) => limits(earliest[k], latest[k], (time) => time <= lastCheck)),
    samples,
    clusters: cluster.count,
    lastCheck,
  };
}

/** Cluster labels as 0 … count − 1, in order of first appearance. */
function denseNumbers(labels: ArrayLike<number>): { readonly of: Int32Array; readonly count: number } {
  const numbers = new Map<number, number>();
  const of = Int32Array.from(labels, (label) => {
    const known = numbers.get(label);
    if (known !== undefined) return known;
    numbers.set(label, numbers.size);
    return numbers.size - 1;
  });
  return { of, count: numbers.size };
}

function latestFinite(left: Float64Array, right: Float64Array): number {
  let latest = 0;
  for (let i = 0; i < left.length; i++) latest = Math.max(latest, right[i] < Infinity ? right[i] : left[i]);
  return latest;
}
