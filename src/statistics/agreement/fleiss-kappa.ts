import { normalUpperTail } from "../distributions/normal.ts";
import type { Unfit } from "../verdict.ts";

export interface FleissKappa {
  readonly verdict: "converged";
  readonly estimate: number;
  /** Standard error if raters agreed by chance alone: for the test, not for limits. */
  readonly standardErrorUnderChance: number;
  readonly z: number;
  /** Two-sided p of agreement by chance alone. */
  readonly p: number;
  /** Kappa of each category against all others; null for one never used. */
  readonly byCategory: readonly (number | null)[];
  readonly observedAgreement: number;
  readonly chanceAgreement: number;
}

/**
 * Agreement of several raters (Fleiss 1971, Psychol. Bull. 76:378-382; error under chance by Fleiss, Nee & Landis
 * 1979). `counts[i][j]`: how many raters put subject i in category j; every subject has the same number of raters,
 * at least two.
 */
export function fleissKappa(counts: readonly (readonly number[])[]): FleissKappa | Unfit {
  const subjects = counts.length;
  if (subjects === 0) return { verdict: "failed", trouble: "no_rows", detail: "no subjects" };
  const raters = counts[0].reduce((sum, c) => sum + c, 0);
  const uneven = counts.findIndex((row) => row.reduce((sum, c) => sum + c, 0) !== raters);
  if (uneven >= 0 || raters < 2) {
    return {
      verdict: "failed",
      trouble: "invalid_input",
      detail: `subject ${Math.max(0, uneven)}: number of raters`,
    };
  }
  const share = counts[0].map((_, j) => counts.reduce((sum, row) => sum + row[j], 0) / (subjects * raters));
  const pairs = raters * (raters - 1);
  const observed =
    counts.reduce((sum, row) => sum + row.reduce((s, c) => s + c * (c - 1), 0) / pairs, 0) / subjects;
  const chance = share.reduce((sum, p) => sum + p * p, 0);
  if (!(1 - chance > 1e-12)) {
    return { verdict: "flat", trouble: "constant_outcome", detail: "one category was always given" };
  }
  const estimate = (observed - chance) / (1 - chance);
  const spread = share.reduce((sum, p) => sum + p * (1 - p), 0);
  const skew = share.reduce((sum, p) => sum + p * (1 - p) * (1 - 2 * p), 0);
  const standardErrorUnderChance = Math.sqrt((2 * (spread * spread - skew)) / (subjects * pairs)) / spread;
  const z = estimate / standardErrorUnderChance;
  return {
    verdict: "converged",
    estimate,
    standardErrorUnderChance,
    z,
    p: Math.min(1, 2 * normalUpperTail(Math.abs(z))),
    byCategory: share.map((p, j) => {
      if (p === 0 || p === 1) return null;
      const apart = counts.reduce((sum, row) => sum + row[j] * (raters - row[j]), 0);
      return 1 - apart / (subjects * pairs * p * (1 - p));
    }),
    observedAgreement: observed,
    chanceAgreement: chance,
  };
}
