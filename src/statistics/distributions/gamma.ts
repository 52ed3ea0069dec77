import { logPoissonTerm, logRegularizedGammaLower, logRegularizedGammaUpper } from "./incomplete-gamma.ts";
import { logGamma } from "./log-gamma.ts";
import { normalQuantile } from "./normal.ts";

/*
 * Written here on the incomplete gamma function: the distribution library has no upper tail for the gamma, its
 * log density is -Infinity once the density underflows, and its quantile is 1e-4 off at shape 10000.
 */

/** Density of the gamma distribution with `shape` > 0 and `rate` > 0 at `x`. */
export function gammaDensity(x: number, shape: number, rate: number): number {
  return Math.exp(gammaLogDensity(x, shape, rate));
}

/** Natural logarithm of the gamma density; -Infinity where the density is zero. */
export function gammaLogDensity(x: number, shape: number, rate: number): number {
  if (!(shape > 0 && rate > 0) || Number.isNaN(x)) return Number.NaN;
  if (x < 0) return -Infinity;
  if (x === 0) return shape < 1 ? Infinity : shape === 1 ? Math.log(rate) : -Infinity;
  return logPoissonTerm(shape, x * rate) + Math.log(shape / x);
}

/** P(X ≤ x) for a gamma distribution: the regularized lower incomplete gamma function P(shape, rate·x). */
export function gammaCumulative(x: number, shape: number, rate: number): number {
  return Math.exp(gammaLogCumulative(x, shape, rate));
}

/** P(X > x), exact in the upper tail: Q(shape, rate·x). */
export function gammaUpperTail(x: number, shape: number, rate: number): number {
  return Math.exp(gammaLogUpperTail(x, shape, rate));
}

/** Natural logarithm of P(X ≤ x). */
export function gammaLogCumulative(x: number, shape: number, rate: number): number {
  if (!(shape > 0 && rate > 0)) return Number.NaN;
  return logRegularizedGammaLower(shape, x * rate);
}

/** Natural logarithm of P(X > x). */
export function gammaLogUpperTail(x: number, shape: number, rate: number): number {
  if (!(shape > 0 && rate > 0)) return Number.NaN;
  return logRegularizedGammaUpper(shape, x * rate);
}

/** The `x` with P(X ≤ x) = `p`, for 0 ≤ p ≤ 1; NaN outside. */
export function gammaQuantile(p: number, shape: number, rate: number): number {
  if (!(shape > 0 && rate > 0)) return Number.NaN;
  return (p <= 0.5 ? lowerTailRoot(p, shape) : upperTailRoot(1 - p, shape)) / rate;
}

/** The `x` with P(X > x) = `q`, exact for small q. */
export function gammaUpperQuantile(q: number, shape: number, rate: number): number {
  if (!(shape > 0 && rate > 0)) return Number.NaN;
  return (q <= 0.5 ? upperTailRoot(q, shape) : lowerTailRoot(1 - q, shape)) / rate;
}

/*
 * Both tails are solved for u = ln x, where the logarithm of either tail is concave (the density of ln X is
 * log-concave): Newton's step then never leaves the near side of the root after the first, and needs no bracket.
 */
function lowerTailRoot(p: number, shape: number): number {
  if (!(p > 0)) return p === 0 ? 0 : Number.NaN;
  const target = Math.log(p);
  const nearZero = (target + logGamma(shape + 1)) / shape;
  let u = nearZero < Math.log(shape) - 1 ? nearZero : wilsonHilferty(normalQuantile(p), shape, nearZero);
  for (let i = 0; i < 60; i++) {
    const x = Math.exp(u);
    if (x === 0) return 0;
    const logTail = logRegularizedGammaLower(shape, x);
    const step = (target - logTail) * Math.exp(logTail - logPoissonTerm(shape, x) - Math.log(shape));
    u += step;
    if (Math.abs(step) < 1e-15 * Math.max(1, Math.abs(u))) break;
  }
  return Math.exp(u);
}

function upperTailRoot(q: number, shape: number): number {
  if (!(q > 0)) return q === 0 ? Infinity : Number.NaN;
  const target = Math.log(q);
  let u = wilsonHilferty(-normalQuantile(q), shape, Math.log(-target + shape));
  for (let i = 0; i < 60; i++) {
    const x = Math.exp(u);
    const logTail = logRegularizedGammaUpper(shape, x);
    const step = (logTail - target) * Math.exp(logTail - logPoissonTerm(shape, x) - Math.log(shape));
    u += Math.min(step, 2);
    if (Math.abs(step) < 1e-15 * Math.max(1, Math.abs(u))) break;
  }
  return Math.exp(u);
}

/** ln of the Wilson and Hilferty (1931) cube-root approximation, or `otherwise` where it leaves the support. */
function wilsonHilferty(z: number, shape: number, otherwise: number): number {
  const root = 1 - 1 / (9 * shape) + z / (3 * Math.sqrt(shape));
  return root > 0.05 ? Math.log(shape) + 3 * Math.log(root) : otherwise;
}
