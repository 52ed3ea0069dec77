import { betaCumulative } from "./beta.ts";
import { logGamma } from "./log-gamma.ts";
import { normalCumulative } from "./normal.ts";

const TERM_LIMIT = 20_000;
const NEGLIGIBLE = 1e-15;

/**
 * P(T ≤ x) for the noncentral t distribution with `df` > 0 degrees of freedom and noncentrality `delta`: the mixture of
 * incomplete beta functions of Lenth (1989, Algorithm AS 243, Appl. Statist. 38:185-189), summed outward from its
 * largest term (Benton & Krishnamoorthy 2003, Comput. Stat. Data Anal. 43:249-267). NaN for df ≤ 0.
 */
export function noncentralTCumulative(x: number, df: number, delta: number): number {
  if (!(df > 0) || Number.isNaN(x) || Number.isNaN(delta)) return Number.NaN;
  if (x < 0) return 1 - noncentralTCumulative(-x, df, -delta);
  if (x === Infinity) return 1;
  const square = x * (x / df);
  const y = square / (1 + square);
  const half = (delta * delta) / 2;
  const mixed = half === 0 ? betaCumulative(y, 0.5, df / 2) : mixture(y, df, delta, half);
  return Math.min(1, Math.max(0, normalCumulative(-delta) + 0.5 * mixed));
}

/** Σ p_j I_y(j + ½, df/2) + q_j I_y(j + 1, df/2), the p_j Poisson weights at δ²/2. */
function mixture(y: number, df: number, delta: number, half: number): number {
  const term = (j: number): number => {
    const p = Math.exp(j * Math.log(half) - half - logGamma(j + 1));
    const q = (delta / Math.SQRT2) * Math.exp(j * Math.log(half) - half - logGamma(j + 1.5));
    return p * betaCumulative(y, j + 0.5, df / 2) + q * betaCumulative(y, j + 1, df / 2);
  };
  const middle = Math.floor(half);
  let sum = term(middle);
  for (const step of [1, -1]) {
    for (let j = middle + step, n = 0; j >= 0 && n < TERM_LIMIT; j += step, n++) {
      const next = term(j);
      sum += next;
      if (Math.abs(next) < NEGLIGIBLE) break;
    }
  }
  return sum;
}
