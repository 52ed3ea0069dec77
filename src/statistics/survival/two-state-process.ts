import { minimiseByNewton } from "../generalized-linear/damped-newton.ts";
import { denseCholesky, inverseDense } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { SearchRecord, Unfit } from "../verdict.ts";
import { unfit } from "./censored-times.ts";

/** Pairs of successive observations: state before and after (0 or 1) and the time between, above zero. */
export interface TwoStateInput {
  readonly from: ArrayLike<number>;
  readonly to: ArrayLike<number>;
  readonly gap: ArrayLike<number>;
  /** Case weights, one where left out. */
  readonly weights?: ArrayLike<number>;
}

/** Rates of a process that moves between state 0 and state 1, per unit of the gaps. */
export interface TwoStateFit {
  readonly verdict: "converged";
  /** Rate from 0 to 1. */
  readonly onset: number;
  /** Rate from 1 to 0. */
  readonly recovery: number;
  /** Inverse observed information of (ln onset, ln recovery). */
  readonly logCovariance: DenseMatrix;
  readonly logLikelihood: number;
  readonly pairs: number;
  readonly onsetsSeen: number;
  readonly recoveriesSeen: number;
  readonly search: SearchRecord;
}

/**
 * Maximum-likelihood rates of a two-state Markov process seen only at visits (Kalbfleisch & Lawless 1985, JASA
 * 80:863-871): with s = λ + ρ, P01(t) = λ/s·(1 − e^{−st}) and P10(t) = ρ/s·(1 − e^{−st}), so that a spell which
 * began and ended between two visits is allowed for.
 */
export function twoStateProcess(input: TwoStateInput): TwoStateFit | Unfit {
  const merged = mergePairs(input);
  if ("verdict" in merged) return merged;
  const seen = (from: number, to: number) => {
    return merged.reduce((sum, pair) => sum + (pair.from === from && pair.to === to ? pair.weight : 0), 0);
  };
  const onsetsSeen = seen(0, 1);
  const recoveriesSeen = seen(1, 0);
  if (onsetsSeen === 0) return unfit("no_events", "no move from 0 to 1");
  if (recoveriesSeen === 0) return unfit("no_events", "no move from 1 to 0");
  const time = (state: number) =>
    merged.reduce((t, pair) => t + (pair.from === state ? pair.weight * pair.gap : 0), 0);
  const start = Float64Array.of(Math.log(onsetsSeen / time(0)), Math.log(recoveriesSeen / time(1)));
  const result = minimiseByNewton((point) => objective(merged, point), start, {
    maxIterations: 100,
    abandon: (point) => Math.abs(point[0] - start[0]) > 20 || Math.abs(point[1] - start[1]) > 20,
  });
  if (result === null) return unfit("not_converged", "the likelihood cannot be computed at the start");
  const { point, state, evaluations, lastStep } = result;
  const factor = denseCholesky(state.hessian, 1e-10);
  if (!factor.positiveDefinite || lastStep.some((step) => Math.abs(step) > 1e-3)) {
    return unfit(
      "not_identified",
      "visits lie too far apart: they tell the share of each state, not the rates",
      "flat",
    );
  }
  if (!result.converged) return unfit("not_converged", `after ${evaluations} evaluations`);
  return {
    verdict: "converged",
    onset: Math.exp(point[0]),
    recovery: Math.exp(point[1]),
    logCovariance: inverseDense(factor),
    logLikelihood: -state.value,
    pairs: input.from.length,
    onsetsSeen,
    recoveriesSeen,
    search: {
      start: Array.from(start),
      end: Array.from(point),
      objective: state.value,
      evaluations,
      largestGradient: state.gradient.reduce((most, g) => Math.max(most, Math.abs(g)), 0),
    },
  };
}

/** P(state 1 at t | state 0 at 0). */
export function onsetProbability(onset: number, recovery: number, gap: number): number {
  return onset * gap * relaxation((onset + recovery) * gap).value;
}

interface Pair {
  readonly from: number;
  readonly to: number;
  readonly gap: number;
  weight: number;
}

function mergePairs({ from, to, gap, weights }: TwoStateInput): Pair[] | Unfit {
  const rows = from.length;
  if (rows === 0) return unfit("no_rows", "no pairs");
  if (to.length !== rows || gap.length !== rows || (weights !== undefined && weights.length !== rows)) {
    return unfit("invalid_input", "columns differ in length");
  }
  const merged = new Map<number, Pair[]>();
  for (let i = 0; i < rows; i++) {
    const weight = weights === undefined ? 1 : weights[i];
    const valid = isState(from[i]) && isState(to[i]) && gap[i] > 0 && gap[i] < Infinity && weight >= 0;
    if (!valid)
      return unfit("invalid_input", `row ${i}: from ${from[i]} to ${to[i]} in ${gap[i]}, weight ${weight}`);
    if (weight === 0) continue;
    const alike = merged.get(gap[i]) ?? [];
    if (alike.length === 0) merged.set(gap[i], alike);
    const known = alike.find((pair) => pair.from === from[i] && pair.to === to[i]);
    if (known !== undefined) known.weight += weight;
    else alike.push({ from: from[i], to: to[i], gap: gap[i], weight });
  }
  return [...merged.values()].flat();
}

function isState(value: number): boolean {
  return value === 0 || value === 1;
}

function objective(pairs: readonly Pair[], point: Float64Array) {
  const rates = [Math.exp(point[0]), Math.exp(point[1])];
  const gradient = new Float64Array(2);
  const hessian = zeroMatrix(2, 2);
  let value = 0;
  for (const { from, to, gap, weight } of pairs) {
    // The move away from `from` has probability own·g(s), g(s) = (1 − e^{−s·gap})/s, own the rate that leaves it.
    const relaxed = relaxation((rates[0] + rates[1]) * gap);
    const g = gap * relaxed.value;
    const g1 = gap * gap * relaxed.first;
    const g2 = gap * gap * gap * relaxed.second;
    const own = rates[from];
    const other = rates[1 - from];
    const move = own * g;
    const sign = to === from ? -1 : 1;
    const probability = to === from ? 1 - move : move;
    value += weight * Math.log(probability);
    const byOwn = (sign * own * (g + own * g1)) / probability;
    const byOther = (sign * other * own * g1) / probability;
    const ownOwn = (sign * own * (g + own * g1 + own * (2 * g1 + own * g2))) / probability;
    const ownOther = (sign * own * other * (g1 + own * g2)) / probability;
    const otherOther = (sign * own * other * (g1 + other * g2)) / probability;
    gradient[from] -= weight * byOwn;
    gradient[1 - from] -= weight * byOther;
    hessian.values[3 * from] -= weight * (ownOwn - byOwn * byOwn);
    hessian.values[3 * (1 - from)] -= weight * (otherOther - byOther * byOther);
    hessian.values[1] -= weight * (ownOther - byOwn * byOther);
  }
  hessian.values[2] = hessian.values[1];
  return Number.isFinite(value) ? { value: -value, gradient, hessian } : null;
}

/** h(u) = (1 − e^{−u})/u with two derivatives; by its series where the closed forms cancel. */
function relaxation(u: number): { readonly value: number; readonly first: number; readonly second: number } {
  if (u > 0.5) {
    const e = Math.exp(-u);
    return {
      value: (1 - e) / u,
      first: (e * (1 + u) - 1) / (u * u),
      second: (2 - e * (u * u + 2 * u + 2)) / (u * u * u),
    };
  }
  let value = 0;
  let first = 0;
  let second = 0;
  let term = 1; // (−u)^k/(k + 1)!
  for (let k = 0; k < 16; k++) {
    value += term;
    // h' = Σ −(k + 1)(−u)^k/(k + 2)!, h'' = Σ (k + 1)(k + 2)(−u)^k/(k + 3)!
    first -= (term * (k + 1)) / (k + 2);
    second += (term * (k + 1)) / (k + 3);
    term *= -u / (k + 2);
  }
  return { value, first, second };
}
