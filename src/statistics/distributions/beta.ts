import beta from "@stdlib/stats-base-dists-beta";

/** Density of the beta distribution with shapes `a`, `b` > 0 at `x`. */
export function betaDensity(x: number, a: number, b: number): number {
  return beta.pdf(x, a, b);
}

/** Natural logarithm of the beta density. */
export function betaLogDensity(x: number, a: number, b: number): number {
  return beta.logpdf(x, a, b);
}

/** P(X ≤ x) for a beta distribution: the regularized incomplete beta function I_x(a, b). */
export function betaCumulative(x: number, a: number, b: number): number {
  return beta.cdf(x, a, b);
}

/** P(X > x), exact in the upper tail: I_{1−x}(b, a). */
export function betaUpperTail(x: number, a: number, b: number): number {
  if (x < 0.5) {
    const lower = beta.cdf(x, a, b);
    if (lower < 0.9) return 1 - lower;
  }
  return beta.cdf(1 - x, b, a);
}

/** The `x` with P(X ≤ x) = `p`, for 0 ≤ p ≤ 1; NaN outside. */
export function betaQuantile(p: number, a: number, b: number): number {
  return beta.quantile(p, a, b);
}

/** The `x` with P(X > x) = `q`, exact for small q and for x near 0. */
export function betaUpperQuantile(q: number, a: number, b: number): number {
  if (q > 0.5) return beta.quantile(1 - q, a, b);
  const fromOne = beta.quantile(q, b, a);
  return fromOne > 0.5 ? beta.quantile(1 - q, a, b) : 1 - fromOne;
}
