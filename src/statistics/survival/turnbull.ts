import type { Unfit } from "../verdict.ts";
import { type CensoredTimes, type CensoredTimesInput, parseCensoredTimes, unfit } from "./censored-times.ts";
import { type CodedEnds, codeEnds, innermostIntervals } from "./innermost-intervals.ts";
import { maximiseMasses } from "./maximise-masses.ts";
import { rangeLikelihood } from "./range-likelihood.ts";
import type { StepCurve } from "./step-curve.ts";

/** A gap above this after all steps is no optimum. */
const LARGEST_GAP = 1e-6;

/** Masses on the innermost intervals, some of which may hold none. */
export interface MostLikelyCurve extends StepCurve {
  readonly logLikelihood: number;
  /** The log-likelihood is within totalWeight·gap of its maximum. */
  readonly gap: number;
  readonly iterations: number;
  readonly totalWeight: number;
}

/** Turnbull's estimate. */
export interface TurnbullFit extends MostLikelyCurve {
  readonly verdict: "converged";
  readonly rows: number;
}

/**
 * Nonparametric maximum-likelihood estimate of the distribution of event times that are known only to lie in
 * intervals (Turnbull 1976, JRSS B 38:290-295); exact, left- and right-censored times may be mixed in. The masses
 * are unique: each innermost interval is the last of some row, so its mass follows from those before it.
 */
export function turnbull(input: CensoredTimesInput): TurnbullFit | Unfit {
  const times = parseCensoredTimes(input);
  return "verdict" in times ? times : runTurnbull(times);
}

/** The same on checked times. */
export function runTurnbull(times: CensoredTimes): TurnbullFit | Unfit {
  if (!times.weights.some((weight) => weight > 0)) return unfit("no_rows", "no row has weight");
  const ends = codeEnds(times);
  const curve = mostLikelyCurve(ends, times.weights);
  if (curve.masses.length === 1 && curve.right[0] === Infinity) {
    return unfit("all_censored", "no event time is bounded above", "flat");
  }
  if (!(curve.gap < LARGEST_GAP)) {
    return unfit("not_converged", `directional derivative ${curve.gap} after ${curve.iterations} steps`);
  }
  return { verdict: "converged", rows: times.left.length, ...curve };
}

/** The estimate for rows with coded ends under any weights, at least one above zero, as a search left it. */
export function mostLikelyCurve(ends: CodedEnds, weights: Float64Array): MostLikelyCurve {
  const { left, right, first, last } = innermostIntervals(ends, weights);
  const likelihood = rangeLikelihood(left.length, first, last, weights);
  return { left, right, totalWeight: likelihood.totalWeight, ...maximiseMasses(likelihood) };
}
