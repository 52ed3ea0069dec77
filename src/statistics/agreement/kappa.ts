import { normalUpperQuantile } from "../distributions/normal.ts";
import { checkLevel, type Interval } from "../interval.ts";
import type { Unfit } from "../verdict.ts";

/**
 * How disagreement counts: all alike, by distance on the scale, by its square, or by a matrix of disagreement (zero
 * on the diagonal).
 */
export type KappaWeights = "none" | "linear" | "quadratic" | readonly (readonly number[])[];

export interface Kappa extends Interval {
  readonly verdict: "converged";
  readonly standardError: number;
  readonly observedAgreement: number;
  readonly chanceAgreement: number;
  readonly pairs: number;
}

/** Pairs of ratings (0 … categories − 1) counted in a square table; a pair with a null is left out. */
export function ratingTable(
  first: readonly (number | null)[],
  second: readonly (number | null)[],
  categories: number,
): number[][] {
  if (first.length !== second.length)
    throw new RangeError(`${first.length} ratings against ${second.length}`);
  const table = Array.from({ length: categories }, () => new Array<number>(categories).fill(0));
  first.forEach((a, i) => {
    const b = second[i];
    if (a === null || b === null) return;
    if (!(a in table && b in table))
      throw new RangeError(`pair ${i}: ${a}, ${b} of ${categories} categories`);
    table[a][b]++;
  });
  return table;
}

/**
 * Cohen's kappa (1960; weighted 1968, Psychol. Bull. 70:213-220) of a square table of counts, with the large-sample
 * error of Fleiss, Cohen & Everitt (1969, Psychol. Bull. 72:323-327). Limits are cut at −1 and 1.
 */
export function cohenKappa(
  table: readonly (readonly number[])[],
  weights: KappaWeights = "none",
  level = 0.95,
): Kappa | Unfit {
  checkLevel(level);
  const size = table.length;
  if (table.some((row) => row.length !== size)) {
    return { verdict: "failed", trouble: "invalid_input", detail: "the table is not square" };
  }
  if (
    typeof weights !== "string" &&
    (weights.length !== size || weights.some((row) => row.length !== size))
  ) {
    return { verdict: "failed", trouble: "invalid_input", detail: "the weights are not those of the table" };
  }
  const pairs = table.flat().reduce((sum, count) => sum + count, 0);
  if (pairs === 0) return { verdict: "failed", trouble: "no_rows", detail: "no pair of ratings" };
  const agreement = agreementWeights(weights, size);
  const p = table.map((row) => row.map((count) => count / pairs));
  const rows = p.map((row) => row.reduce((sum, share) => sum + share, 0));
  const columns = rows.map((_, j) => p.reduce((sum, row) => sum + row[j], 0));
  const byRow = agreement.map((row) => row.reduce((sum, w, j) => sum + w * columns[j], 0));
  const byColumn = columns.map((_, j) => agreement.reduce((sum, row, i) => sum + row[j] * rows[i], 0));
  let observed = 0;
  let chance = 0;
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) {
      observed += agreement[i][j] * p[i][j];
      chance += agreement[i][j] * rows[i] * columns[j];
    }
  }
  if (!(1 - chance > 1e-12)) {
    return {
      verdict: "flat",
      trouble: "constant_outcome",
      detail: "both raters always gave the same rating",
    };
  }
  const estimate = (observed - chance) / (1 - chance);
  let squares = 0;
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) {
      squares += p[i][j] * (agreement[i][j] - (byRow[i] + byColumn[j]) * (1 - estimate)) ** 2;
    }
  }
  const variance = (squares - (estimate - chance * (1 - estimate)) ** 2) / (pairs * (1 - chance) ** 2);
  const standardError = Math.sqrt(Math.max(0, variance));
  const half = normalUpperQuantile((1 - level) / 2) * standardError;
  return {
    verdict: "converged",
    estimate,
    lo: Math.max(-1, estimate - half),
    hi: Math.min(1, estimate + half),
    standardError,
    observedAgreement: observed,
    chanceAgreement: chance,
    pairs,
  };
}

function agreementWeights(weights: KappaWeights, size: number): number[][] {
  const disagreement = (i: number, j: number): number => {
    if (weights === "none") return i === j ? 0 : 1;
    if (weights === "linear") return Math.abs(i - j);
    if (weights === "quadratic") return (i - j) ** 2;
    return weights[i][j];
  };
  const all = Array.from({ length: size }, (_, i) =>
    Array.from({ length: size }, (_, j) => disagreement(i, j)),
  );
  const most = Math.max(...all.flat());
  return all.map((row) => row.map((d) => (most > 0 ? 1 - d / most : 1)));
}
