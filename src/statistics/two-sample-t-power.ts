import { noncentralTCumulative } from "./distributions/noncentral-t.ts";
import { tUpperQuantile } from "./distributions/student-t.ts";

/**
 * Chance that the two-sided 95 % limits of a difference of two means leave out zero, for normal samples of sizes
 * `first` and `second` with one standard deviation `sd`, when the means differ by `difference`: the exact noncentral t
 * (Cohen 1988, Statistical Power Analysis for the Behavioral Sciences, 2nd ed., chapter 2). `df`: fewer where blocks were taken out as well. undefined where a sample is
 * empty, no degree of freedom is left, or nothing varies.
 */
export function twoSampleTPower(
  difference: number,
  sd: number,
  first: number,
  second: number,
  df = first + second - 2,
): number | undefined {
  if (!(first >= 1 && second >= 1 && df >= 1 && sd > 0)) return undefined;
  const delta = difference / (sd * Math.sqrt(1 / first + 1 / second));
  const limit = tUpperQuantile(0.025, df);
  return 1 - noncentralTCumulative(limit, df, delta) + noncentralTCumulative(-limit, df, delta);
}
