import { denseCholesky, solveDense } from "../linear-algebra/dense-cholesky.ts";
import { zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import {
  cumulate,
  derivatives,
  largestGap,
  logLikelihood,
  type RangeLikelihood,
} from "./range-likelihood.ts";

/** Above this many support points a dense Newton step costs more than it saves. */
export const NEWTON_SUPPORT = 600;

/** Where Newton's steps got. */
export interface Refined {
  readonly masses: Float64Array;
  readonly gap: number;
  readonly iterations: number;
}

/** Constrained Newton steps from masses near the optimum; they may stop short of `tolerance`. */
export function newtonSteps(likelihood: RangeLikelihood, start: Float64Array, tolerance: number): Refined {
  let masses = start;
  let gap = Infinity;
  let iterations = 0;
  for (; iterations < 50; iterations++) {
    const cumulative = cumulate(masses);
    const derivative = derivatives(likelihood, cumulative);
    gap = largestGap(likelihood, derivative);
    if (gap <= tolerance) break;
    const points = candidates(masses, derivative, likelihood.totalWeight);
    if (points.length > NEWTON_SUPPORT) break;
    const goal = quadraticOptimum(likelihood, points, cumulative, masses, derivative);
    if (goal === null) break;
    const next = lineSearch(likelihood, masses, points, goal);
    if (next === null) break;
    masses = next;
  }
  return { masses, gap, iterations };
}

/** The present support and, in each stretch between its points, the place with the steepest promise. */
function candidates(masses: Float64Array, derivative: Float64Array, totalWeight: number): Int32Array {
  const points: number[] = [];
  let best = -1;
  const takeBest = () => {
    if (best >= 0 && derivative[best] > totalWeight) points.push(best);
    best = -1;
  };
  for (let j = 0; j < masses.length; j++) {
    if (masses[j] > 0) {
      takeBest();
      points.push(j);
    } else if (best < 0 || derivative[j] > derivative[best]) best = j;
  }
  takeBest();
  return Int32Array.from(points);
}

/**
 * Non-negative masses at `points` that maximise the quadratic model of Σ w ln P − W Σ mass, whose free maximum
 * sums to one by itself. Points that turn negative leave one after the other (Lawson & Hanson 1974, chapter 23).
 */
function quadraticOptimum(
  likelihood: RangeLikelihood,
  points: Int32Array,
  cumulative: Float64Array,
  masses: Float64Array,
  derivative: Float64Array,
): Float64Array | null {
  const gram = gramMatrix(likelihood, points, cumulative);
  const size = points.length;
  const current = Float64Array.from(points, (j) => masses[j]);
  const goal = Float64Array.from(points, (j) => 2 * derivative[j] - likelihood.totalWeight);
  let free = Array.from({ length: size }, (_, s) => s);
  for (let round = 0; round <= size; round++) {
    const solved = solveOn(gram, size, free, goal);
    if (solved === null) return null;
    let step = 1;
    free.forEach((s, k) => {
      if (solved[k] <= 0) step = Math.min(step, current[s] / (current[s] - solved[k]));
    });
    free.forEach((s, k) => {
      current[s] =
        step === 1 && solved[k] > 0 ? solved[k] : Math.max(0, current[s] + step * (solved[k] - current[s]));
    });
    const stay = free.filter((s, k) => solved[k] > 0 || current[s] > 1e-14);
    if (stay.length === free.length && step === 1) return current;
    for (const s of free) if (!stay.includes(s)) current[s] = 0;
    if (stay.length === 0) return null;
    free = stay;
  }
  return current;
}

/** Σ w/P² over the ranges that hold both points. */
function gramMatrix(likelihood: RangeLikelihood, points: Int32Array, cumulative: Float64Array): Float64Array {
  const { places, first, last, weight } = likelihood;
  const size = points.length;
  const pointsBefore = new Int32Array(places + 1);
  for (const j of points) pointsBefore[j + 1] = 1;
  for (let j = 0; j < places; j++) pointsBefore[j + 1] += pointsBefore[j];
  const gram = new Float64Array(size * size);
  for (let i = 0; i < weight.length; i++) {
    const from = pointsBefore[first[i]];
    const to = pointsBefore[last[i] + 1] - 1;
    if (to < from) continue;
    const mass = cumulative[last[i] + 1] - cumulative[first[i]];
    gram[from * size + to] += weight[i] / (mass * mass);
  }
  // Ranges starting at or before s and ending at or after t, by sums along both directions.
  for (let s = 0; s < size; s++) {
    for (let t = size - 1; t >= s; t--) {
      const right = t + 1 < size ? gram[s * size + t + 1] : 0;
      const above = s > 0 ? gram[(s - 1) * size + t] : 0;
      const both = s > 0 && t + 1 < size ? gram[(s - 1) * size + t + 1] : 0;
      gram[s * size + t] += right + above - both;
    }
  }
  for (let s = 0; s < size; s++) for (let t = 0; t < s; t++) gram[s * size + t] = gram[t * size + s];
  return gram;
}

function solveOn(
  gram: Float64Array,
  size: number,
  free: readonly number[],
  goal: Float64Array,
): Float64Array | null {
  const order = free.length;
  for (const ridge of [1e-13, 1e-10, 1e-7]) {
    const matrix = zeroMatrix(order, order);
    for (let a = 0; a < order; a++) {
      for (let b = 0; b <= a; b++) matrix.values[a * order + b] = gram[free[a] * size + free[b]];
      matrix.values[a * order + a] *= 1 + ridge;
    }
    const factor = denseCholesky(matrix, 1e-15);
    if (factor.positiveDefinite)
      return solveDense(
        factor,
        free.map((s) => goal[s]),
      );
  }
  return null;
}

function lineSearch(
  likelihood: RangeLikelihood,
  masses: Float64Array,
  points: Int32Array,
  goal: Float64Array,
): Float64Array | null {
  const value = logLikelihood(likelihood, cumulate(masses));
  for (let step = 1; step > 1e-9; step /= 2) {
    const next = new Float64Array(masses.length);
    points.forEach((j, s) => {
      next[j] = step === 1 ? goal[s] : masses[j] + step * (goal[s] - masses[j]);
    });
    const cumulative = cumulate(next);
    if (logLikelihood(likelihood, cumulative) >= value - 1e-13 * Math.abs(value)) {
      const total = next.reduce((sum, mass) => sum + mass, 0);
      return next.map((mass) => mass / total);
    }
  }
  return null;
}
