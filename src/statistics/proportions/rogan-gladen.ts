import type { Interval } from "../interval.ts";

/** True prevalence behind an apparent one. */
export interface TruePrevalence extends Interval {
  /** As the formula gives it, which may fall outside 0 … 1; `estimate`, `lo` and `hi` are cut there. */
  readonly uncut: Interval;
  /** True when the estimate itself had to be cut. */
  readonly cut: boolean;
}

/**
 * True prevalence from an apparent prevalence and the test's sensitivity and specificity, (AP + Sp − 1) / (Se + Sp
 * − 1), the limits transformed likewise (Rogan & Gladen 1978, Am. J. Epidemiol. 107:71-76). Throws a RangeError
 * where Se + Sp ≤ 1: such a test says nothing.
 */
export function roganGladen(apparent: Interval, sensitivity: number, specificity: number): TruePrevalence {
  const youden = sensitivity + specificity - 1;
  if (!(sensitivity <= 1 && specificity <= 1 && youden > 0)) {
    throw new RangeError(
      `sensitivity and specificity must each be at most 1 and sum to more than 1, not ${sensitivity} and ${specificity}`,
    );
  }
  const transform = (p: number) => (p + specificity - 1) / youden;
  const within = (p: number) => Math.min(1, Math.max(0, p));
  const uncut = {
    estimate: transform(apparent.estimate),
    lo: transform(apparent.lo),
    hi: transform(apparent.hi),
  };
  return {
    estimate: within(uncut.estimate),
    lo: within(uncut.lo),
    hi: within(uncut.hi),
    uncut,
    cut: uncut.estimate < 0 || uncut.estimate > 1,
  };
}

/** Standard error of the Rogan-Gladen estimate with sensitivity and specificity taken as known. */
export function roganGladenStandardError(
  apparent: number,
  tested: number,
  sensitivity: number,
  specificity: number,
): number | undefined {
  if (!(tested > 0)) return undefined;
  return Math.sqrt((apparent * (1 - apparent)) / tested) / Math.abs(sensitivity + specificity - 1);
}
