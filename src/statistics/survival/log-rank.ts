import { chiSquareUpperTail } from "../distributions/chi-square.ts";
import { denseCholesky, solveDense } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { Unfit } from "../verdict.ts";
import { unfit } from "./censored-times.ts";
import type { RightCensoredInput } from "./kaplan-meier.ts";

export interface LogRankInput extends RightCensoredInput {
  /** Group of each row, 0 … groups − 1. */
  readonly group: ArrayLike<number>;
  readonly groups: number;
  /** Rows are compared only within a stratum. */
  readonly stratum?: ArrayLike<number>;
  /** Weight S(t−)^rho: 0 for the log-rank test (default), 1 for Peto and Peto's. */
  readonly rho?: number;
}

export interface LogRankTest {
  readonly verdict: "converged";
  readonly observed: Float64Array;
  readonly expected: Float64Array;
  readonly variance: DenseMatrix;
  readonly chiSquare: number;
  readonly df: number;
  readonly p: number;
}

/** Log-rank test (Mantel 1966; Peto & Peto 1972) and its G-rho family (Harrington & Fleming 1982, Biometrika 69:553-566). */
export function logRank(input: LogRankInput): LogRankTest | Unfit {
  const rows = input.time.length;
  const { groups } = input;
  if (rows === 0) return unfit("no_rows", "no rows");
  const observed = new Float64Array(groups);
  const expected = new Float64Array(groups);
  const variance = zeroMatrix(groups, groups);
  const strata = new Map<number, number[]>();
  for (let i = 0; i < rows; i++) {
    const g = input.group[i];
    if (!(Number.isInteger(g) && g >= 0 && g < groups)) return unfit("invalid_input", `row ${i}: group ${g}`);
    const stratum = input.stratum === undefined ? 0 : input.stratum[i];
    const members = strata.get(stratum);
    if (members === undefined) strata.set(stratum, [i]);
    else members.push(i);
  }
  for (const members of strata.values()) addStratum(input, members, observed, expected, variance);
  return judge(observed, expected, variance);
}

function addStratum(
  input: LogRankInput,
  members: number[],
  observed: Float64Array,
  expected: Float64Array,
  variance: DenseMatrix,
): void {
  const { time, event, group, groups } = input;
  const rho = input.rho ?? 0;
  members.sort((a, b) => time[a] - time[b]);
  const atRisk = new Float64Array(groups);
  for (const i of members) atRisk[group[i]]++;
  let remaining = members.length;
  let survival = 1;
  for (let from = 0; from < members.length; ) {
    let to = from;
    let deaths = 0;
    const deathsIn = new Float64Array(groups);
    while (to < members.length && time[members[to]] === time[members[from]]) {
      if (event[members[to]]) {
        deaths++;
        deathsIn[group[members[to]]]++;
      }
      to++;
    }
    if (deaths > 0) {
      const weight = survival ** rho;
      const spread = remaining > 1 ? (deaths * (remaining - deaths)) / (remaining - 1) : 0;
      for (let g = 0; g < groups; g++) {
        observed[g] += weight * deathsIn[g];
        expected[g] += (weight * deaths * atRisk[g]) / remaining;
        for (let h = 0; h < groups; h++) {
          const share = (atRisk[g] / remaining) * ((g === h ? 1 : 0) - atRisk[h] / remaining);
          variance.values[g * groups + h] += weight * weight * spread * share;
        }
      }
      survival *= 1 - deaths / remaining;
    }
    for (let k = from; k < to; k++) atRisk[group[members[k]]]--;
    remaining -= to - from;
    from = to;
  }
}

function judge(observed: Float64Array, expected: Float64Array, variance: DenseMatrix): LogRankTest | Unfit {
  const compared = Array.from(expected.keys()).filter((g) => expected[g] > 0);
  if (compared.length < 2)
    return unfit(compared.length === 0 ? "no_events" : "too_few_groups", "nothing to compare");
  const free = compared.slice(1);
  const order = free.length;
  const reduced = zeroMatrix(order, order);
  free.forEach((g, a) => {
    free.forEach((h, b) => {
      reduced.values[a * order + b] = variance.values[g * variance.columns + h];
    });
  });
  const factor = denseCholesky(reduced, 1e-12);
  if (!factor.positiveDefinite) return unfit("not_identified", "no time at which the groups could differ");
  const difference = free.map((g) => observed[g] - expected[g]);
  const solved = solveDense(factor, difference);
  const chiSquare = difference.reduce((sum, d, a) => sum + d * solved[a], 0);
  return {
    verdict: "converged",
    observed,
    expected,
    variance,
    chiSquare,
    df: order,
    p: chiSquareUpperTail(chiSquare, order),
  };
}
