import binomial from "@stdlib/stats-base-dists-binomial";
import { betaCumulative } from "./beta.ts";

/** P(X = k) for `n` trials with success probability `p`. */
export function binomialProbability(k: number, n: number, p: number): number {
  return binomial.pmf(k, n, p);
}

/** ln P(X = k). */
export function binomialLogProbability(k: number, n: number, p: number): number {
  return binomial.logpmf(k, n, p);
}

/** P(X ≤ k). */
export function binomialCumulative(k: number, n: number, p: number): number {
  return binomial.cdf(k, n, p);
}

/** P(X > k), exact in the upper tail: I_p(k + 1, n − k). */
export function binomialUpperTail(k: number, n: number, p: number): number {
  if (k < 0) return 1;
  const whole = Math.floor(k);
  if (whole >= n) return 0;
  if (p === 0 || p === 1) return p;
  return betaCumulative(p, whole + 1, n - whole);
}

/** The smallest k with P(X ≤ k) ≥ `probability`. */
export function binomialQuantile(probability: number, n: number, p: number): number {
  return binomial.quantile(probability, n, p);
}
