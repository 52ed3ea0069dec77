import { checkLevel, type Interval } from "../interval.ts";
import { wilsonInterval } from "./proportion-interval.ts";

/**
 * Difference of two independent proportions, x1/n1 − x2/n2, with the hybrid score interval of Newcombe (1998,
 * Stat. Med. 17:873-890, method 10). `undefined` where either group has no trials.
 */
export function newcombeDifference(
  x1: number,
  n1: number,
  x2: number,
  n2: number,
  level = 0.95,
): Interval | undefined {
  checkLevel(level);
  const first = wilsonInterval(x1, n1, level);
  const second = wilsonInterval(x2, n2, level);
  return first === undefined || second === undefined ? undefined : hybridDifference(first, second);
}

/**
 * Difference first − second of two estimates from their own intervals, by the same combination; `correlation` of the two
 * estimates where they are not independent (Zou & Donner 2008, Stat. Med. 27:1693-1702).
 */
export function hybridDifference(first: Interval, second: Interval, correlation = 0): Interval {
  const estimate = first.estimate - second.estimate;
  const together = (a: number, b: number): number =>
    Math.sqrt(Math.max(0, a * a + b * b - 2 * correlation * a * b));
  return {
    estimate,
    lo: estimate - together(first.estimate - first.lo, second.hi - second.estimate),
    hi: estimate + together(first.hi - first.estimate, second.estimate - second.lo),
  };
}
