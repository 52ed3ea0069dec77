const HALF_LOG_TWO_PI = 0.9189385332046727;

/**
 * ln Γ(x) for x > 0 (Infinity at 0, NaN below), by Stirling's series (Abramowitz & Stegun 6.1.41) after shifting
 * the argument up to 15: absolute error below 1e-14, or 1e-15 relative where the value is large.
 */
export function logGamma(x: number): number {
  if (!(x > 0)) return x === 0 ? Infinity : Number.NaN;
  if (x < 1e-20) return -Math.log(x);
  let product = 1;
  let shifted = x;
  while (shifted < 15) {
    product *= shifted;
    shifted += 1;
  }
  const stirling = (shifted - 0.5) * Math.log(shifted) - shifted + HALF_LOG_TWO_PI + stirlingSeries(shifted);
  return product === 1 ? stirling : stirling - Math.log(product);
}

/** ln Γ(a + 1) − (a + ½) ln a + a − ½ ln 2π for a > 0: what Stirling's formula leaves over. */
export function stirlingError(a: number): number {
  return a >= 15 ? stirlingSeries(a) : logGamma(a + 1) - (a + 0.5) * Math.log(a) + a - HALF_LOG_TWO_PI;
}

function stirlingSeries(x: number): number {
  const s = 1 / (x * x);
  return (
    (1 / 12 -
      s * (1 / 360 - s * (1 / 1260 - s * (1 / 1680 - s * (1 / 1188 - s * (691 / 360360 - s / 156)))))) /
    x
  );
}
