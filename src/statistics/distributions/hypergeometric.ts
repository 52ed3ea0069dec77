import hypergeometric from "@stdlib/stats-base-dists-hypergeometric";

/*
 * `population` items, of which `marked` are marked; `drawn` are drawn without replacement; X of the drawn are
 * marked.
 */

/** P(X = k). */
export function hypergeometricProbability(
  k: number,
  population: number,
  marked: number,
  drawn: number,
): number {
  return hypergeometric.pmf(k, population, marked, drawn);
}

/** ln P(X = k). */
export function hypergeometricLogProbability(
  k: number,
  population: number,
  marked: number,
  drawn: number,
): number {
  return hypergeometric.logpmf(k, population, marked, drawn);
}

/** P(X ≤ k). */
export function hypergeometricCumulative(
  k: number,
  population: number,
  marked: number,
  drawn: number,
): number {
  return hypergeometric.cdf(k, population, marked, drawn);
}

/** P(X > k), exact in the upper tail: the unmarked among the drawn are then at most drawn − k − 1. */
export function hypergeometricUpperTail(
  k: number,
  population: number,
  marked: number,
  drawn: number,
): number {
  return hypergeometric.cdf(drawn - Math.floor(k) - 1, population, population - marked, drawn);
}

/** The smallest k with P(X ≤ k) ≥ `probability`. */
export function hypergeometricQuantile(
  probability: number,
  population: number,
  marked: number,
  drawn: number,
): number {
  return hypergeometric.quantile(probability, population, marked, drawn);
}
