import t from "@stdlib/stats-base-dists-t";
import { logGamma, stirlingError } from "./log-gamma.ts";
import { normalCumulative, normalDensity, normalLogDensity, normalQuantile } from "./normal.ts";

const LOG_SQRT_PI = 0.5723649429247001;
/** Beyond this the continued fraction needs many terms, and the distribution library is asked instead. */
const MANY_DEGREES = 5000;

/*
 * Tail and quantile are written here because simulations ask for millions of them: the distribution library agrees
 * (the tests hold both against the same reference) but allocates at each call and takes three times as long.
 */

/** Density of Student's t with `df` > 0 degrees of freedom (Infinity: the normal) at `x`. */
export function tDensity(x: number, df: number): number {
  return df === Infinity ? normalDensity(x) : t.pdf(x, df);
}

/** Natural logarithm of the density of Student's t. */
export function tLogDensity(x: number, df: number): number {
  return df === Infinity ? normalLogDensity(x) : t.logpdf(x, df);
}

/** P(T ≤ x) for Student's t with `df` > 0 degrees of freedom (Infinity: the normal); NaN for df ≤ 0. */
export function tCumulative(x: number, df: number): number {
  if (df === Infinity) return normalCumulative(x);
  if (!(df > 0) || Number.isNaN(x)) return Number.NaN;
  if (df > MANY_DEGREES) return t.cdf(x, df);
  const away = Math.abs(x);
  const square = (away / df) * away;
  const constant = logConstant(df);
  if (nearCentre(square, df)) {
    const half = centralHalf(away, square, df, constant);
    return x > 0 ? 0.5 + half : 0.5 - half;
  }
  const tail = upperTail(away, square, df, constant);
  return x > 0 ? 1 - tail : tail;
}

/** P(T > x), exact in the upper tail. */
export function tUpperTail(x: number, df: number): number {
  return tCumulative(-x, df);
}

/** Two-sided p-value P(|T| ≥ |x|). */
export function tTwoSided(x: number, df: number): number {
  return Math.min(1, 2 * tCumulative(-Math.abs(x), df));
}

/** The `x` with P(T ≤ x) = `p`, for 0 ≤ p ≤ 1; NaN outside or for df ≤ 0. */
export function tQuantile(p: number, df: number): number {
  if (df === Infinity) return normalQuantile(p);
  if (df > MANY_DEGREES) return p > 0.5 ? -t.quantile(1 - p, df) : t.quantile(p, df);
  if (!(df > 0 && p >= 0 && p <= 1)) return Number.NaN;
  return p > 0.5 ? positiveQuantile(1 - p, df) : -positiveQuantile(p, df);
}

/** The `x` with P(T > x) = `q`, exact for small q. */
export function tUpperQuantile(q: number, df: number): number {
  return -tQuantile(q, df);
}

/**
 * The x ≥ 0 with P(T > x) = q ≤ ½. In ln x both the tail and the mass between 0 and x are log-concave, so that
 * Newton's method on the logarithm of the smaller one needs no bracket.
 */
function positiveQuantile(q: number, df: number): number {
  if (q === 0) return Infinity;
  if (q === 0.5) return 0;
  const constant = logConstant(df);
  const tailIsSmaller = q < 0.25;
  const target = tailIsSmaller ? q : 0.5 - q;
  // Far out the tail is a power of x, with a relative error of the order of df/x².
  const farOut = Math.exp((constant + 0.5 * (df + 1) * Math.log(df) - Math.log(df * q)) / df);
  if (farOut * farOut > 1e17 * df) return farOut;
  let x = df < 1 ? farOut : hillStart(q, df);
  for (let i = 0; i < 40; i++) {
    const square = (x / df) * x;
    const density = Math.exp(constant - 0.5 * (df + 1) * Math.log1p(square));
    const central = nearCentre(square, df);
    const mass = central ? centralHalf(x, square, df, constant) : upperTail(x, square, df, constant);
    const value = central === tailIsSmaller ? 0.5 - mass : mass;
    const drift = (Math.log(target / value) * value) / (x * density);
    const step = tailIsSmaller ? -drift : drift;
    x *= Math.exp(Math.max(-5, Math.min(5, step)));
    if (Math.abs(step) < 1e-9) break;
  }
  return x;
}

/** ln of the density at zero: ln Γ((df + 1)/2) − ln Γ(df/2) − ½ ln(π df). */
function logConstant(df: number): number {
  const a = 0.5 * df;
  const ratio =
    a < 15
      ? logGamma(a + 0.5) - logGamma(a)
      : a * Math.log1p(0.5 / a) + 0.5 * Math.log(a) - 0.5 + stirlingError(a + 0.5) - stirlingError(a);
  return ratio - LOG_SQRT_PI - 0.5 * Math.log(df);
}

/** Where the fraction for the mass between 0 and x converges faster than that for the tail. */
function nearCentre(square: number, df: number): boolean {
  return square * (0.5 * df + 1) < 1.5;
}

/** P(0 < T < x) = ½ I_y(½, df/2) at y = square/(1 + square). */
function centralHalf(x: number, square: number, df: number, constant: number): number {
  if (x === 0) return 0;
  const y = square / (1 + square);
  // y^½ (1 − y)^{df/2} / (½ B(½, df/2)), halved, in terms of the density at zero.
  const front = x * Math.exp(constant - 0.5 * (df + 1) * Math.log1p(square));
  return front * betaFraction(y, 0.5, 0.5 * df);
}

/** P(T > x) = ½ I_y(df/2, ½) at y = 1/(1 + square). */
function upperTail(x: number, square: number, df: number, constant: number): number {
  if (x === Infinity) return 0;
  const y = 1 / (1 + square);
  const spread = square < 1e300 ? Math.log1p(square) : 2 * Math.log(x) - Math.log(df);
  const front = Math.exp(constant - 0.5 * (df + 1) * spread + Math.log(x / df));
  return front * betaFraction(y, 0.5 * df, 0.5);
}

/** The continued fraction of the incomplete beta function (Abramowitz & Stegun 26.5.8) by the modified Lentz recursion. */
function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  let c = 1;
  let d = 1 - ((a + b) * x) / (a + 1);
  d = 1 / (Math.abs(d) < tiny ? tiny : d);
  let h = d;
  for (let m = 1; m < 5000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 + even * d;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    c = 1 + even / c;
    if (Math.abs(c) < tiny) c = tiny;
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 + odd * d;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    c = 1 + odd / c;
    if (Math.abs(c) < tiny) c = tiny;
    const delta = d * c;
    h *= delta;
    if (Math.abs(delta - 1) < 4e-16) break;
  }
  return h;
}

/** A few digits of the quantile (Hill 1970, Algorithm 396, Commun. ACM 13:619-620), for df ≥ 1. */
function hillStart(q: number, df: number): number {
  const a = 1 / (df - 0.5);
  const b = 48 / (a * a);
  let c = (((20700 * a) / b - 98) * a - 16) * a + 96.36;
  const d = ((94.5 / (b + c) - 3) / b + 1) * Math.sqrt(0.5 * a * Math.PI) * df;
  let y = (2 * d * q) ** (2 / df);
  if (y > 0.05 + a) {
    const x = normalQuantile(q);
    const square = x * x;
    if (df < 5) c += 0.3 * (df - 4.5) * (x + 0.6);
    c += (((0.05 * d * x - 5) * x - 7) * x - 2) * x + b;
    y = (((((0.4 * square + 6.3) * square + 36) * square + 94.5) / c - square - 3) / b + 1) * x;
    y = Math.expm1(a * y * y);
  } else {
    const inner = 1 / (((df + 6) / (df * y) - 0.089 * d - 0.822) * (df + 2) * 3) + 0.5 / (df + 4);
    y = ((inner * y - 1) * (df + 1)) / (df + 2) + 1 / y;
  }
  const start = Math.sqrt(df * y);
  return start > 0 && start < Infinity ? start : 1;
}
