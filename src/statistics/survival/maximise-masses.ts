import { isotonicRegression } from "../isotonic-regression.ts";
import {
  cumulate,
  derivatives,
  largestGap,
  logLikelihood,
  type RangeLikelihood,
} from "./range-likelihood.ts";
import { NEWTON_SUPPORT, newtonSteps } from "./support-newton.ts";

/** Masses that maximise a range likelihood. */
export interface MassEstimate {
  readonly masses: Float64Array;
  readonly logLikelihood: number;
  /** Largest directional derivative per unit of weight: the log-likelihood is within totalWeight·gap of its top. */
  readonly gap: number;
  readonly iterations: number;
}

/**
 * Maximises a range likelihood: self-consistency steps alternating with the iterative convex minorant find the
 * region (Wellner & Zhan 1997, JASA 92:945-959, with the line search of Jongbloed 1998), constrained Newton steps
 * on the support points then converge quadratically (Wang 2007, JRSS B 69:185-198). Stops when no place offers
 * more than `tolerance` per unit of weight, which is the optimality condition of Gentleman & Geyer (1994).
 */
export function maximiseMasses(
  likelihood: RangeLikelihood,
  tolerance = 1e-10,
  maximumIterations = 2000,
): MassEstimate {
  const { places } = likelihood;
  let masses: Float64Array = new Float64Array(places).fill(1 / places);
  let value = logLikelihood(likelihood, cumulate(masses));
  let gap = Infinity;
  let iterations = 0;
  let coarse = 0.05;
  while (iterations < maximumIterations) {
    iterations++;
    masses = selfConsistencyStep(likelihood, masses);
    masses = convexMinorantStep(likelihood, masses);
    const derivative = derivatives(likelihood, cumulate(masses));
    gap = largestGap(likelihood, derivative);
    if (gap <= tolerance) break;
    if (gap > coarse || support(masses) > NEWTON_SUPPORT) continue;
    const refined = newtonSteps(likelihood, masses, tolerance);
    iterations += refined.iterations;
    const refinedValue = logLikelihood(likelihood, cumulate(refined.masses));
    value = logLikelihood(likelihood, cumulate(masses));
    if (refinedValue >= value) {
      masses = refined.masses;
      gap = refined.gap;
      if (gap <= tolerance) break;
    }
    coarse = Math.max(tolerance, coarse / 10);
  }
  const cumulative = cumulate(masses);
  value = logLikelihood(likelihood, cumulative);
  return { masses, logLikelihood: value, gap, iterations };
}

function support(masses: Float64Array): number {
  let count = 0;
  for (let j = 0; j < masses.length; j++) if (masses[j] > 0) count++;
  return count;
}

function selfConsistencyStep(likelihood: RangeLikelihood, masses: Float64Array): Float64Array {
  const derivative = derivatives(likelihood, cumulate(masses));
  const next = new Float64Array(masses.length);
  for (let j = 0; j < masses.length; j++) next[j] = (masses[j] * derivative[j]) / likelihood.totalWeight;
  return next;
}

/** One step on the cumulative masses with the Hessian's diagonal, kept rising by isotonic regression. */
function convexMinorantStep(likelihood: RangeLikelihood, masses: Float64Array): Float64Array {
  const { places, first, last, weight } = likelihood;
  if (places < 2) return masses;
  const cumulative = cumulate(masses);
  const slope = new Float64Array(places + 1);
  const curvature = new Float64Array(places + 1);
  for (let i = 0; i < weight.length; i++) {
    const mass = cumulative[last[i] + 1] - cumulative[first[i]];
    const share = weight[i] / mass;
    slope[last[i] + 1] += share;
    slope[first[i]] -= share;
    curvature[last[i] + 1] += share / mass;
    curvature[first[i]] += share / mass;
  }
  const target = new Float64Array(places - 1);
  for (let k = 1; k < places; k++) target[k - 1] = cumulative[k] + slope[k] / curvature[k];
  const rising = isotonicRegression(target, curvature.subarray(1, places));
  const value = logLikelihood(likelihood, cumulative);
  const trial = new Float64Array(places + 1);
  trial[places] = 1;
  for (let step = 1; step > 1e-6; step /= 2) {
    for (let k = 1; k < places; k++) {
      const goal = Math.min(1, Math.max(0, rising[k - 1]));
      trial[k] = cumulative[k] + step * (goal - cumulative[k]);
    }
    if (logLikelihood(likelihood, trial) >= value) return differences(trial);
  }
  return masses;
}

function differences(cumulative: Float64Array): Float64Array {
  const masses = new Float64Array(cumulative.length - 1);
  for (let j = 0; j < masses.length; j++) masses[j] = Math.max(0, cumulative[j + 1] - cumulative[j]);
  return masses;
}
