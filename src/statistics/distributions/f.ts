import f from "@stdlib/stats-base-dists-f";
import { betaCumulative } from "./beta.ts";
import {
  chiSquareCumulative,
  chiSquareQuantile,
  chiSquareUpperQuantile,
  chiSquareUpperTail,
} from "./chi-square.ts";

/** Density of the F distribution with `df1`, `df2` > 0 degrees of freedom at `x`. */
export function fDensity(x: number, df1: number, df2: number): number {
  return f.pdf(x, df1, df2);
}

/** P(F ≤ x); `df2` = Infinity gives chi-square on df1 over df1. */
export function fCumulative(x: number, df1: number, df2: number): number {
  if (x <= 0) return 0;
  if (df2 === Infinity) return chiSquareCumulative(x * df1, df1);
  return betaCumulative((df1 * x) / (df1 * x + df2), df1 / 2, df2 / 2);
}

/** P(F > x), exact in the upper tail. */
export function fUpperTail(x: number, df1: number, df2: number): number {
  if (x <= 0) return 1;
  if (df2 === Infinity) return chiSquareUpperTail(x * df1, df1);
  return betaCumulative(df2 / (df1 * x + df2), df2 / 2, df1 / 2);
}

/** The `x` with P(F ≤ x) = `p`, for 0 ≤ p ≤ 1; NaN outside. */
export function fQuantile(p: number, df1: number, df2: number): number {
  return df2 === Infinity ? chiSquareQuantile(p, df1) / df1 : f.quantile(p, df1, df2);
}

/** The `x` with P(F > x) = `q`, exact for small q. */
export function fUpperQuantile(q: number, df1: number, df2: number): number {
  return df2 === Infinity ? chiSquareUpperQuantile(q, df1) / df1 : 1 / f.quantile(q, df2, df1);
}
