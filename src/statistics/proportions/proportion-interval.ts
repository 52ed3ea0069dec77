import { betaQuantile, betaUpperQuantile } from "../distributions/beta.ts";
import { normalUpperQuantile } from "../distributions/normal.ts";
import { checkLevel, type Interval } from "../interval.ts";

/*
 * Intervals for one binomial proportion. Each takes successes and trials (whole or effective, 0 ≤ successes ≤
 * trials), answers `undefined` for no trials, and throws a RangeError on impossible counts.
 */

/** Wilson (1927) score interval. */
export function wilsonInterval(successes: number, trials: number, level = 0.95): Interval | undefined {
  checkLevel(level);
  return scoreInterval(successes, trials, normalUpperQuantile((1 - level) / 2));
}

/** Wilson's interval with `quantile` in place of the normal one, for instance that of Student's t. */
export function scoreInterval(successes: number, trials: number, quantile: number): Interval | undefined {
  if (!haveTrials(successes, trials)) return undefined;
  return {
    estimate: successes / trials,
    lo: successes === 0 ? 0 : scoreLimit(successes / trials, trials, -quantile),
    hi: successes === trials ? 1 : scoreLimit(successes / trials, trials, quantile),
  };
}

/** Wilson's interval with continuity correction (Newcombe 1998, Stat. Med. 17:857-872, method 4). */
export function wilsonContinuityInterval(
  successes: number,
  trials: number,
  level = 0.95,
): Interval | undefined {
  checkLevel(level);
  if (!haveTrials(successes, trials)) return undefined;
  const z = normalUpperQuantile((1 - level) / 2);
  return {
    estimate: successes / trials,
    lo: successes === 0 ? 0 : Math.max(0, scoreLimit((successes - 0.5) / trials, trials, -z)),
    hi: successes === trials ? 1 : Math.min(1, scoreLimit((successes + 0.5) / trials, trials, z)),
  };
}

/** Clopper & Pearson (1934) exact interval. */
export function clopperPearsonInterval(
  successes: number,
  trials: number,
  level = 0.95,
): Interval | undefined {
  checkLevel(level);
  if (!haveTrials(successes, trials)) return undefined;
  const tail = (1 - level) / 2;
  return {
    estimate: successes / trials,
    lo: successes === 0 ? 0 : betaQuantile(tail, successes, trials - successes + 1),
    hi: successes === trials ? 1 : betaUpperQuantile(tail, successes + 1, trials - successes),
  };
}

/**
 * Jeffreys interval: quantiles of Beta(x + ½, n − x + ½), with 0 as lower limit at no success and 1 as upper
 * limit at no failure (Brown, Cai & DasGupta 2001, Stat. Sci. 16:101-133).
 */
export function jeffreysInterval(successes: number, trials: number, level = 0.95): Interval | undefined {
  checkLevel(level);
  if (!haveTrials(successes, trials)) return undefined;
  const tail = (1 - level) / 2;
  const a = successes + 0.5;
  const b = trials - successes + 0.5;
  return {
    estimate: successes / trials,
    lo: successes === 0 ? 0 : betaQuantile(tail, a, b),
    hi: successes === trials ? 1 : betaUpperQuantile(tail, a, b),
  };
}

/** Agresti & Coull (1998) interval, cut at 0 and 1. */
export function agrestiCoullInterval(successes: number, trials: number, level = 0.95): Interval | undefined {
  checkLevel(level);
  if (!haveTrials(successes, trials)) return undefined;
  const z = normalUpperQuantile((1 - level) / 2);
  const n = trials + z * z;
  const centre = (successes + (z * z) / 2) / n;
  const half = z * Math.sqrt((centre * (1 - centre)) / n);
  return { estimate: successes / trials, lo: Math.max(0, centre - half), hi: Math.min(1, centre + half) };
}

/** The root P of (p − P)² = z² P(1 − P)/n on the side of the sign of z. */
function scoreLimit(p: number, n: number, z: number): number {
  const z2 = z * z;
  const inside = p * (1 - p) + z2 / (4 * n);
  return (p + z2 / (2 * n) + z * Math.sqrt(Math.max(0, inside) / n)) / (1 + z2 / n);
}

function haveTrials(successes: number, trials: number): boolean {
  if (!(successes >= 0 && successes <= trials && trials < Infinity)) {
    throw new RangeError(`successes must lie within 0 and trials, not ${successes} of ${trials}`);
  }
  return trials > 0;
}
