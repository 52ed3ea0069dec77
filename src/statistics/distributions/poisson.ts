import poisson from "@stdlib/stats-base-dists-poisson";
import { gammaCumulative } from "./gamma.ts";

/** P(X = k) for a Poisson count with the given mean ≥ 0. */
export function poissonProbability(k: number, mean: number): number {
  return poisson.pmf(k, mean);
}

/** ln P(X = k). */
export function poissonLogProbability(k: number, mean: number): number {
  return poisson.logpmf(k, mean);
}

/** P(X ≤ k). */
export function poissonCumulative(k: number, mean: number): number {
  return poisson.cdf(k, mean);
}

/** P(X > k), exact in the upper tail: P(k + 1, mean). */
export function poissonUpperTail(k: number, mean: number): number {
  if (k < 0) return 1;
  if (mean === 0) return 0;
  return gammaCumulative(mean, Math.floor(k) + 1, 1);
}

/** The smallest k with P(X ≤ k) ≥ `probability`. */
export function poissonQuantile(probability: number, mean: number): number {
  return poisson.quantile(probability, mean);
}
