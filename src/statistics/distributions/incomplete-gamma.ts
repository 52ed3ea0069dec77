import { logGamma, stirlingError } from "./log-gamma.ts";

const LOG_TWO_PI = 1.8378770664093453;

/**
 * ln( x^a e^{−x} / Γ(a + 1) ) for a ≥ 0, x > 0, by the saddle-point form of Loader (2000, Fast and accurate
 * computation of binomial probabilities): no cancellation for large a near x.
 */
export function logPoissonTerm(a: number, x: number): number {
  if (a < 1) return a * Math.log(x) - x - logGamma(a + 1);
  return -stirlingError(a) - devianceTerm(a, x) - 0.5 * (LOG_TWO_PI + Math.log(a));
}

/** ln P(a, x), the regularized lower incomplete gamma function; -Infinity at x ≤ 0. */
export function logRegularizedGammaLower(a: number, x: number): number {
  if (Number.isNaN(x)) return x;
  if (x <= 0) return -Infinity;
  if (x === Infinity) return 0;
  if (x < a + 1) return logPoissonTerm(a, x) + Math.log(lowerSeries(a, x));
  return Math.log1p(-Math.exp(logUpperByFraction(a, x)));
}

/** ln Q(a, x), the regularized upper incomplete gamma function; 0 at x ≤ 0. */
export function logRegularizedGammaUpper(a: number, x: number): number {
  if (Number.isNaN(x)) return x;
  if (x <= 0) return 0;
  if (x === Infinity) return -Infinity;
  if (x >= a + 1 || (a < 1 && x >= 1)) return logUpperByFraction(a, x);
  return Math.log1p(-Math.exp(logPoissonTerm(a, x)) * lowerSeries(a, x));
}

/** a ln(a/x) + x − a, without cancellation when a is near x. */
function devianceTerm(a: number, x: number): number {
  const difference = a - x;
  if (Math.abs(difference) >= 0.1 * (a + x)) return a * Math.log(a / x) - difference;
  const v = difference / (a + x);
  let sum = difference * v;
  let power = 2 * a * v;
  for (let k = 1; k < 1000; k++) {
    power *= v * v;
    const next = sum + power / (2 * k + 1);
    if (next === sum) break;
    sum = next;
  }
  return sum;
}

/** Σ x^n / ((a+1)…(a+n)), Abramowitz & Stegun 6.5.29. */
function lowerSeries(a: number, x: number): number {
  let term = 1;
  let sum = 1;
  for (let n = 1; term > 1e-17 * sum; n++) {
    term *= x / (a + n);
    sum += term;
  }
  return sum;
}

/** Legendre's continued fraction for Γ(a, x) (Abramowitz & Stegun 6.5.31), by the modified Lentz recursion. */
function logUpperByFraction(a: number, x: number): number {
  const tiny = 1e-300;
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let h = d;
  for (let i = 1; i < 1e7; i++) {
    const an = -i * (i - a);
    b += 2;
    d = an * d + b;
    if (Math.abs(d) < tiny) d = tiny;
    c = b + an / c;
    if (Math.abs(c) < tiny) c = tiny;
    d = 1 / d;
    const delta = d * c;
    h *= delta;
    if (Math.abs(delta - 1) < 4e-16) break;
  }
  return logPoissonTerm(a, x) + Math.log(a * h);
}
