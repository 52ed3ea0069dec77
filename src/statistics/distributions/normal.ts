import normal from "@stdlib/stats-base-dists-normal";

const LOG_SQRT_TWO_PI = 0.9189385332046727;

/** Density of the standard normal distribution at `x`. */
export function normalDensity(x: number): number {
  return Math.exp(-0.5 * x * x - LOG_SQRT_TWO_PI);
}

/** Natural logarithm of the standard normal density at `x`. */
export function normalLogDensity(x: number): number {
  return -0.5 * x * x - LOG_SQRT_TWO_PI;
}

/** P(Z ≤ x) for a standard normal Z. */
export function normalCumulative(x: number): number {
  return normal.cdf(x, 0, 1);
}

/** P(Z > x) for a standard normal Z, exact in the upper tail. */
export function normalUpperTail(x: number): number {
  return normal.cdf(-x, 0, 1);
}

/** Natural logarithm of P(Z ≤ x), finite far beyond the point where P itself underflows. */
export function normalLogCumulative(x: number): number {
  return x > 5 ? Math.log1p(-normal.cdf(-x, 0, 1)) : normal.logcdf(x, 0, 1);
}

/** The `x` with P(Z > x) = `q`, for 0 ≤ q ≤ 1; NaN outside. */
export function normalUpperQuantile(q: number): number {
  return -normalQuantile(q);
}

/**
 * The `x` with P(Z ≤ x) = `p`, for 0 ≤ p ≤ 1; NaN outside. Rational approximations of Wichura (1988),
 * Algorithm AS 241 (PPND16), Applied Statistics 37:477-484: about 16 digits for p down to 1e-316. Written here
 * because inverting the complementary error function, as the distribution library does, has lost its digits
 * by p = 1e-15 and is infinite at p = 1e-30.
 */
export function normalQuantile(p: number): number {
  const fromCentre = p - 0.5;
  if (Math.abs(fromCentre) <= 0.425) {
    const r = 0.180625 - fromCentre * fromCentre;
    return (fromCentre * centreNumerator(r)) / centreDenominator(r);
  }
  const tail = fromCentre < 0 ? p : 1 - p;
  if (!(tail > 0)) return tail === 0 ? (fromCentre < 0 ? -Infinity : Infinity) : Number.NaN;
  const r = Math.sqrt(-Math.log(tail));
  const distance = r <= 5 ? nearTail(r - 1.6) : farTail(r - 5);
  return fromCentre < 0 ? -distance : distance;
}

function centreNumerator(r: number): number {
  return (
    ((((((2509.0809287301227 * r + 33430.57558358813) * r + 67265.7709270087) * r + 45921.95393154987) * r +
      13731.69376550946) *
      r +
      1971.5909503065513) *
      r +
      133.14166789178438) *
      r +
    3.3871328727963665
  );
}

function centreDenominator(r: number): number {
  return (
    ((((((5226.495278852854 * r + 28729.085735721943) * r + 39307.89580009271) * r + 21213.794301586597) * r +
      5394.196021424751) *
      r +
      687.1870074920579) *
      r +
      42.31333070160091) *
      r +
    1
  );
}

function nearTail(r: number): number {
  const numerator =
    ((((((0.0007745450142783414 * r + 0.022723844989269184) * r + 0.2417807251774506) * r +
      1.2704582524523684) *
      r +
      3.6478483247632045) *
      r +
      5.769497221460691) *
      r +
      4.630337846156546) *
      r +
    1.4234371107496835;
  const denominator =
    ((((((1.0507500716444169e-9 * r + 0.0005475938084995345) * r + 0.015198666563616457) * r +
      0.14810397642748008) *
      r +
      0.6897673349851) *
      r +
      1.6763848301838038) *
      r +
      2.053191626637759) *
      r +
    1;
  return numerator / denominator;
}

function farTail(r: number): number {
  const numerator =
    ((((((2.0103343992922881e-7 * r + 0.000027115555687434876) * r + 0.0012426609473880784) * r +
      0.026532189526576124) *
      r +
      0.29656057182850487) *
      r +
      1.7848265399172913) *
      r +
      5.463784911164114) *
      r +
    6.657904643501103;
  const denominator =
    ((((((2.0442631033899397e-15 * r + 1.421511758316446e-7) * r + 0.000018463183175100548) * r +
      0.0007868691311456133) *
      r +
      0.014875361290850615) *
      r +
      0.1369298809227358) *
      r +
      0.599832206555888) *
      r +
    1;
  return numerator / denominator;
}
