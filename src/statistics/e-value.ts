import type { Interval } from "./interval.ts";

/** Strength of confounding that could explain an association away. */
export interface EValue {
  /** For the estimate. */
  readonly estimate: number;
  /** For the limit nearer 1; 1 where the interval holds 1. */
  readonly limit: number;
}

/**
 * E-value of a risk ratio (VanderWeele & Ding 2017, Ann. Intern. Med. 167:268-274): how strongly, as a risk ratio
 * with both exposure and outcome, an unmeasured confounder would have to act to move it to 1.
 */
export function eValue({ estimate, lo, hi }: Interval): EValue {
  if (!(estimate > 0 && lo >= 0 && lo <= estimate && estimate <= hi)) {
    throw new RangeError(`not a ratio with limits around it: ${estimate} (${lo}, ${hi})`);
  }
  const limit = lo > 1 ? eValueOfRatio(lo) : hi < 1 ? eValueOfRatio(hi) : 1;
  return { estimate: eValueOfRatio(estimate), limit };
}

/**
 * Risk ratio behind an odds ratio of an outcome that is not rare (over 15 %): its square root (VanderWeele 2017, Am.
 * Stat. 71:326-327).
 */
export function riskRatioOfCommonOutcome({ estimate, lo, hi }: Interval): Interval {
  return { estimate: Math.sqrt(estimate), lo: Math.sqrt(lo), hi: Math.sqrt(hi) };
}

function eValueOfRatio(ratio: number): number {
  const above = ratio >= 1 ? ratio : 1 / ratio;
  return above + Math.sqrt(above * (above - 1));
}
