import { chiSquareUpperTail } from "../distributions/chi-square.ts";
import { normalUpperQuantile } from "../distributions/normal.ts";
import { checkLevel, type Interval } from "../interval.ts";

/** One stratum's 2 × 2 table: exposed with and without the outcome, unexposed with and without it. */
export interface Stratum {
  readonly exposedCases: number;
  readonly exposedOthers: number;
  readonly unexposedCases: number;
  readonly unexposedOthers: number;
}

/** Common odds ratio over strata. */
export interface MantelHaenszel {
  readonly oddsRatio: Interval;
  /** Standard error of the log odds ratio. */
  readonly logStandardError: number;
  /** Mantel-Haenszel chi-square on 1 df without continuity correction. */
  readonly chiSquare: number;
  readonly p: number;
  /** The same with the correction of one half. */
  readonly correctedChiSquare: number;
  readonly correctedP: number;
  /** Strata that carry information (every margin above zero). */
  readonly informativeStrata: number;
}

/**
 * Mantel & Haenszel (1959) odds ratio with the limits of Robins, Breslow & Greenland (1986, Biometrics
 * 42:311-323). `undefined` where no stratum tells anything or the ratio is 0 or infinite.
 */
export function mantelHaenszel(strata: readonly Stratum[], level = 0.95): MantelHaenszel | undefined {
  checkLevel(level);
  let r = 0;
  let s = 0;
  let pr = 0;
  let psQr = 0;
  let qs = 0;
  let excess = 0;
  let variance = 0;
  let informativeStrata = 0;
  for (const { exposedCases: a, exposedOthers: b, unexposedCases: c, unexposedOthers: d } of strata) {
    if (!(a >= 0 && b >= 0 && c >= 0 && d >= 0)) throw new RangeError("counts must be at least zero");
    const n = a + b + c + d;
    if ((a + b) * (c + d) * (a + c) * (b + d) === 0) continue;
    informativeStrata++;
    const concordant = (a + d) / n;
    const discordant = (b + c) / n;
    const ri = (a * d) / n;
    const si = (b * c) / n;
    r += ri;
    s += si;
    pr += concordant * ri;
    psQr += concordant * si + discordant * ri;
    qs += discordant * si;
    excess += a - ((a + b) * (a + c)) / n;
    variance += ((a + b) * (c + d) * (a + c) * (b + d)) / (n * n * (n - 1));
  }
  if (r === 0 || s === 0) return undefined;
  const estimate = r / s;
  const logStandardError = Math.sqrt(pr / (2 * r * r) + psQr / (2 * r * s) + qs / (2 * s * s));
  const factor = Math.exp(normalUpperQuantile((1 - level) / 2) * logStandardError);
  const distance = Math.abs(excess);
  const chiSquare = (distance * distance) / variance;
  const corrected = distance >= 0.5 ? distance - 0.5 : distance;
  const correctedChiSquare = (corrected * corrected) / variance;
  return {
    oddsRatio: { estimate, lo: estimate / factor, hi: estimate * factor },
    logStandardError,
    chiSquare,
    p: chiSquareUpperTail(chiSquare, 1),
    correctedChiSquare,
    correctedP: chiSquareUpperTail(correctedChiSquare, 1),
    informativeStrata,
  };
}
