import { normalUpperQuantile } from "../distributions/normal.ts";
import { checkLevel, type Interval } from "../interval.ts";
import type { Unfit } from "../verdict.ts";

export interface Concordance extends Interval {
  readonly verdict: "converged";
  /** Pearson's correlation: precision. */
  readonly correlation: number;
  /** Concordance over correlation: accuracy, 1 where location and scale agree. */
  readonly accuracy: number;
  readonly pairs: number;
}

/**
 * Lin's concordance correlation coefficient with moments divided by n (Lin 1989, Biometrics 45:255-268; limits on
 * Fisher's z scale with the variance as corrected in 2000, Biometrics 56:324-325). A pair with a null is left out.
 */
export function linConcordance(
  first: readonly (number | null)[],
  second: readonly (number | null)[],
  level = 0.95,
): Concordance | Unfit {
  checkLevel(level);
  if (first.length !== second.length) {
    return {
      verdict: "failed",
      trouble: "invalid_input",
      detail: `${first.length} values against ${second.length}`,
    };
  }
  const pairs: [number, number][] = [];
  first.forEach((a, i) => {
    const b = second[i];
    if (a !== null && b !== null) pairs.push([a, b]);
  });
  const n = pairs.length;
  if (n < 3)
    return { verdict: "failed", trouble: n === 0 ? "no_rows" : "too_few_rows", detail: `${n} pairs` };
  const mean = (k: 0 | 1) => pairs.reduce((sum, pair) => sum + pair[k], 0) / n;
  const [m1, m2] = [mean(0), mean(1)];
  const moment = (j: 0 | 1, k: 0 | 1) => {
    return pairs.reduce((sum, pair) => sum + (pair[j] - [m1, m2][j]) * (pair[k] - [m1, m2][k]), 0) / n;
  };
  const [v1, v2, v12] = [moment(0, 0), moment(1, 1), moment(0, 1)];
  if (!(v1 > 0 && v2 > 0))
    return { verdict: "flat", trouble: "constant_outcome", detail: "one side never varies" };
  const estimate = (2 * v12) / (v1 + v2 + (m1 - m2) ** 2);
  const correlation = v12 / Math.sqrt(v1 * v2);
  const accuracy = (2 * Math.sqrt(v1 * v2)) / (v1 + v2 + (m1 - m2) ** 2);
  const u2 = (m1 - m2) ** 2 / Math.sqrt(v1 * v2);
  if (1 - estimate < 1e-14) {
    return { verdict: "converged", estimate: 1, lo: 1, hi: 1, correlation: 1, accuracy: 1, pairs: n };
  }
  const c2 = estimate * estimate;
  const r2 = correlation * correlation;
  // With c = r·accuracy the factors c/r stay finite at r = 0.
  const variance =
    ((1 - r2) * accuracy ** 2) / (1 - c2) +
    (2 * c2 * accuracy * (1 - estimate) * u2) / (1 - c2) ** 2 -
    (0.5 * c2 * accuracy ** 2 * u2 * u2) / (1 - c2) ** 2;
  const half = normalUpperQuantile((1 - level) / 2) * Math.sqrt(Math.max(0, variance) / (n - 2));
  const z = Math.atanh(estimate);
  return {
    verdict: "converged",
    estimate,
    lo: Math.tanh(z - half),
    hi: Math.tanh(z + half),
    correlation,
    accuracy,
    pairs: n,
  };
}
