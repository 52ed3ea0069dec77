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

/** Difference first − second of two independent estimates from their own intervals, by the same combination. */
export function hybridDifference(first: Interval, second: Interval): Interval {
  const estimate = first.estimate - second.estimate;
  return {
    estimate,
    lo: estimate - Math.hypot(first.estimate - first.lo, second.hi - second.estimate),
    hi: estimate + Math.hypot(first.hi - first.estimate, second.estimate - second.lo),
  };
}
