import t from "@stdlib/stats-base-dists-t";
import { normalCumulative, normalDensity, normalLogDensity, normalQuantile } from "./normal.ts";

/** Density of Student's t with `df` > 0 degrees of freedom (Infinity: the normal) at `x`. */
export function tDensity(x: number, df: number): number {
  return df === Infinity ? normalDensity(x) : t.pdf(x, df);
}

/** Natural logarithm of the density of Student's t. */
export function tLogDensity(x: number, df: number): number {
  return df === Infinity ? normalLogDensity(x) : t.logpdf(x, df);
}

/** P(T ≤ x) for Student's t with `df` > 0 degrees of freedom (Infinity: the normal). */
export function tCumulative(x: number, df: number): number {
  return df === Infinity ? normalCumulative(x) : t.cdf(x, df);
}

/** P(T > x), exact in the upper tail. */
export function tUpperTail(x: number, df: number): number {
  return tCumulative(-x, df);
}

/** Two-sided p-value P(|T| ≥ |x|). */
export function tTwoSided(x: number, df: number): number {
  return Math.min(1, 2 * tCumulative(-Math.abs(x), df));
}

/** The `x` with P(T ≤ x) = `p`, for 0 ≤ p ≤ 1; NaN outside. */
export function tQuantile(p: number, df: number): number {
  return df === Infinity ? normalQuantile(p) : t.quantile(p, df);
}

/** The `x` with P(T > x) = `q`, exact for small q. */
export function tUpperQuantile(q: number, df: number): number {
  return -tQuantile(q, df);
}
