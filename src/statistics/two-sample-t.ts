import { tTwoSided, tUpperQuantile } from "./distributions/student-t.ts";

/** Difference of two means with its 95 % limits. */
export interface MeanDifference {
  readonly difference: number;
  readonly lo: number;
  readonly hi: number;
  readonly df: number;
  readonly p: number;
}

/**
 * Difference of the means of two samples, `first` less `second`, with a common variance (Student 1908, Biometrika
 * 6:1-25; Snedecor & Cochran, Statistical Methods): exact for normal samples of any size. undefined where either is
 * empty, nothing is left to estimate the variance by, or nothing varies.
 */
export function twoSampleT(first: readonly number[], second: readonly number[]): MeanDifference | undefined {
  const df = first.length + second.length - 2;
  if (first.length === 0 || second.length === 0 || df < 1) return undefined;
  const [a, b] = [first, second].map((values) => {
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    return { mean, squares: values.reduce((sum, value) => sum + (value - mean) ** 2, 0) };
  });
  const variance = ((a!.squares + b!.squares) / df) * (1 / first.length + 1 / second.length);
  if (!(variance > 0)) return undefined;
  const difference = a!.mean - b!.mean;
  const standardError = Math.sqrt(variance);
  const reach = tUpperQuantile(0.025, df) * standardError;
  return {
    difference,
    lo: difference - reach,
    hi: difference + reach,
    df,
    p: tTwoSided(difference / standardError, df),
  };
}
