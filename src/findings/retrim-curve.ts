import type { Random } from "../statistics/random.ts";
import { type AftFit, acceleratedFailureTime } from "../statistics/survival/accelerated-failure-time.ts";
import {
  type AftUncertainty,
  aftQuantile,
  aftSurvival,
  clusterUncertainty,
} from "../statistics/survival/aft-inference.ts";
import type { AftDistribution } from "../statistics/survival/error-law.ts";
import { survivalAt, timeOfFraction, unknownRegions } from "../statistics/survival/step-curve.ts";
import { type TurnbullFit, turnbull } from "../statistics/survival/turnbull.ts";
import { bootstrapTurnbull, type TurnbullLimits } from "../statistics/survival/turnbull-bootstrap.ts";

/** When trims were found over the limit, by animal: over within (left, right] days. */
export interface SpellTimes {
  readonly left: readonly number[];
  readonly right: readonly number[];
  /** Animal of each spell, a whole number from 0. */
  readonly animal: readonly number[];
}

/** A time with limits; null where it lies outside the range of checks. */
export interface TimeFigure {
  readonly days: number | null;
  readonly lo: number | null;
  readonly hi: number | null;
}

/** One curve read at some days. */
export interface CurveReading {
  readonly method: "turnbull" | AftDistribution;
  readonly median: TimeFigure;
  readonly tenth: number | null;
  readonly ninetieth: number | null;
  readonly at: readonly CurvePoint[];
}

export interface CurvePoint {
  readonly day: number;
  readonly share: number;
  readonly lo: number | null;
  readonly hi: number | null;
  /** Days between which the checks do not tell when. */
  readonly unknown: { readonly from: number; readonly to: number } | null;
}

/** Families that are tried, and chosen from by Akaike's criterion. */
export const RETRIM_FAMILIES: readonly AftDistribution[] = ["weibull", "lognormal", "loglogistic"];

/**
 * Turnbull's curve (1976, JRSS B 38:290-295) with limits from samples of whole animals, on the step curve with its left
 * edge for the lower and its right edge for the upper limit. `null` where it does not settle.
 */
export function turnbullReading(
  times: SpellTimes,
  at: readonly number[],
  random: Random,
  samples: number,
): CurveReading | null {
  const { left, right, animal } = times;
  const fit = turnbull({ left, right });
  if ("trouble" in fit) return null;
  const limits = bootstrapTurnbull({ left, right, cluster: animal, at, fractions: [0.5], random, samples });
  if ("trouble" in limits) return null;
  return read(fit, limits, at);
}

function read(fit: TurnbullFit, limits: TurnbullLimits, at: readonly number[]): CurveReading {
  const { lastCheck } = limits;
  const seen = (fraction: number): number | null => {
    const { to } = timeOfFraction(fit, fraction);
    return to <= lastCheck ? to : null;
  };
  const regions = unknownRegions(fit);
  return {
    method: "turnbull",
    median: { days: seen(0.5), ...limits.times[0]! },
    tenth: seen(0.1),
    ninetieth: seen(0.9),
    at: at.map((day, i) => {
      const region = regions.find(({ from, to }) => from < day && day < to);
      return {
        day,
        share: survivalAt(fit, day).highest,
        ...limits.survival[i]!,
        unknown: region ? { from: region.from, to: Math.min(region.to, lastCheck) } : null,
      };
    }),
  };
}

/**
 * Accelerated failure time model of the family with the least Akaike criterion, with the animal as cluster and Student's
 * t on animals − 1. A time beyond the last check is not given. `null` where no family has an estimate.
 */
export function modelReading(times: SpellTimes, at: readonly number[]): CurveReading | null {
  const fit = bestFamily(times);
  if (fit === null) return null;
  const uncertainty = clusterUncertainty(fit, times.animal);
  if ("trouble" in uncertainty) return null;
  const last = lastCheck(times);
  const within = (days: number): number | null => (days <= last ? days : null);
  const quantile = (fraction: number) => aftQuantile(fit, [1], fraction, uncertainty);
  const median = quantile(0.5);
  return {
    method: fit.data.distribution,
    median: { days: within(median.estimate), lo: within(median.lo), hi: within(median.hi) },
    tenth: within(quantile(0.1).estimate),
    ninetieth: within(quantile(0.9).estimate),
    at: at.map((day) => pointOf(fit, uncertainty, day)),
  };
}

function pointOf(fit: AftFit, uncertainty: AftUncertainty, day: number): CurvePoint {
  const { estimate, lo, hi } = aftSurvival(fit, [1], day, uncertainty);
  return { day, share: estimate, lo, hi, unknown: null };
}

/** Latest day on which any check was made. */
export function lastCheck({ left, right }: SpellTimes): number {
  const latest = (days: readonly number[]): number =>
    days.reduce((most, day) => (Number.isFinite(day) ? Math.max(most, day) : most), Number.NEGATIVE_INFINITY);
  return Math.max(latest(left), latest(right));
}

/** Families are compared on equal rows counted once with their number; the chosen one is fitted on all. */
function bestFamily({ left, right }: SpellTimes): AftFit | null {
  const counts = new Map<string, { left: number; right: number; count: number }>();
  left.forEach((from, i) => {
    const key = `${from}|${right[i]}`;
    const own = counts.get(key) ?? { left: from, right: right[i]!, count: 0 };
    counts.set(key, own);
    own.count++;
  });
  const merged = [...counts.values()];
  let best: AftFit | null = null;
  for (const distribution of RETRIM_FAMILIES) {
    const fit = acceleratedFailureTime({
      left: merged.map((row) => row.left),
      right: merged.map((row) => row.right),
      weights: merged.map((row) => row.count),
      distribution,
      names: ["(all)"],
      columns: [new Float64Array(merged.length).fill(1)],
    });
    if (!("trouble" in fit) && (best === null || fit.aic < best.aic)) best = fit;
  }
  if (best === null) return null;
  const whole = acceleratedFailureTime({
    left,
    right,
    distribution: best.data.distribution,
    names: ["(all)"],
    columns: [new Float64Array(left.length).fill(1)],
  });
  return "trouble" in whole ? null : whole;
}
