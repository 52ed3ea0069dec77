import { normalUpperQuantile } from "../distributions/normal.ts";
import { tUpperQuantile } from "../distributions/student-t.ts";
import { checkLevel, type Interval } from "../interval.ts";

/** Limits of agreement between two ways of measuring, for first − second. */
export interface BlandAltman {
  readonly bias: Interval;
  readonly sd: number;
  readonly lower: Interval;
  readonly upper: Interval;
  readonly pairs: number;
}

/**
 * Bias and limits of agreement, bias ± `multiplier`·SD (1.96 by default, 2 in the paper's example), each with its
 * own t interval (Bland & Altman 1986, Lancet i:307-310; 1999, Stat. Methods Med. Res. 8:135-160). A pair with a
 * null is left out; `undefined` with fewer than three pairs.
 */
export function blandAltman(
  first: readonly (number | null)[],
  second: readonly (number | null)[],
  level = 0.95,
  multiplier = normalUpperQuantile(0.025),
): BlandAltman | undefined {
  checkLevel(level);
  if (first.length !== second.length) throw new RangeError(`${first.length} values against ${second.length}`);
  const differences = first.flatMap((a, i) => {
    const b = second[i];
    return a === null || b === null ? [] : [a - b];
  });
  const n = differences.length;
  if (n < 3) return undefined;
  const mean = differences.reduce((sum, d) => sum + d, 0) / n;
  const sd = Math.sqrt(differences.reduce((sum, d) => sum + (d - mean) ** 2, 0) / (n - 1));
  const t = tUpperQuantile((1 - level) / 2, n - 1);
  const around = (estimate: number, half: number) => ({ estimate, lo: estimate - half, hi: estimate + half });
  const limitError = sd * Math.sqrt(1 / n + multiplier ** 2 / (2 * (n - 1)));
  return {
    bias: around(mean, (t * sd) / Math.sqrt(n)),
    sd,
    lower: around(mean - multiplier * sd, t * limitError),
    upper: around(mean + multiplier * sd, t * limitError),
    pairs: n,
  };
}
