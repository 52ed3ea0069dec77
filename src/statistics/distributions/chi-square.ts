import {
  gammaCumulative,
  gammaLogDensity,
  gammaQuantile,
  gammaUpperQuantile,
  gammaUpperTail,
} from "./gamma.ts";

/** Density of chi-square with `df` > 0 degrees of freedom at `x`. */
export function chiSquareDensity(x: number, df: number): number {
  return Math.exp(chiSquareLogDensity(x, df));
}

/** Natural logarithm of the chi-square density. */
export function chiSquareLogDensity(x: number, df: number): number {
  return gammaLogDensity(x, df / 2, 0.5);
}

/** P(X ≤ x) for chi-square with `df` > 0 degrees of freedom. */
export function chiSquareCumulative(x: number, df: number): number {
  return gammaCumulative(x, df / 2, 0.5);
}

/** P(X > x), exact in the upper tail. */
export function chiSquareUpperTail(x: number, df: number): number {
  return gammaUpperTail(x, df / 2, 0.5);
}

/** The `x` with P(X ≤ x) = `p`, for 0 ≤ p ≤ 1; NaN outside. */
export function chiSquareQuantile(p: number, df: number): number {
  return gammaQuantile(p, df / 2, 0.5);
}

/** The `x` with P(X > x) = `q`, exact for small q. */
export function chiSquareUpperQuantile(q: number, df: number): number {
  return gammaUpperQuantile(q, df / 2, 0.5);
}
