import { normalUpperQuantile } from "../distributions/normal.ts";

/** A two-by-two table of one stratum: events and the rest, among those asked about and the others. */
export interface Stratum {
  readonly events: number;
  readonly total: number;
  readonly otherEvents: number;
  readonly otherTotal: number;
}

export interface CommonOddsRatio {
  readonly estimate: number;
  readonly lo: number;
  readonly hi: number;
}

/**
 * Odds ratio common to all strata (Mantel & Haenszel 1959, J. Natl. Cancer Inst. 22:719-748) with 95 % limits from the
 * variance of its log that holds for few large and for many sparse strata (Robins, Breslow & Greenland 1986, Biometrics
 * 42:311-323). Only differences within a stratum count; a stratum in which one side is empty or all had the same outcome
 * adds nothing. undefined where the ratio is nought or without end.
 */
export function mantelHaenszel(strata: readonly Stratum[]): CommonOddsRatio | undefined {
  let up = 0;
  let down = 0;
  let sameUp = 0;
  let mixed = 0;
  let sameDown = 0;
  for (const { events: a, total, otherEvents: c, otherTotal } of strata) {
    const b = total - a;
    const d = otherTotal - c;
    const n = total + otherTotal;
    if (total === 0 || otherTotal === 0) continue;
    const [r, s] = [(a * d) / n, (b * c) / n];
    const [p, q] = [(a + d) / n, (b + c) / n];
    up += r;
    down += s;
    sameUp += p * r;
    mixed += p * s + q * r;
    sameDown += q * s;
  }
  if (up === 0 || down === 0) return undefined;
  const variance = sameUp / (2 * up ** 2) + mixed / (2 * up * down) + sameDown / (2 * down ** 2);
  const reach = Math.exp(normalUpperQuantile(0.025) * Math.sqrt(variance));
  const estimate = up / down;
  return { estimate, lo: estimate / reach, hi: estimate * reach };
}
