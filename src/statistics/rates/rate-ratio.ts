import { normalUpperQuantile } from "../distributions/normal.ts";
import { checkLevel, type Interval } from "../interval.ts";
import { binomialTest } from "../proportions/binomial-test.ts";
import { clopperPearsonInterval } from "../proportions/proportion-interval.ts";

/** Ratio of two rates with exact limits and p-value. */
export interface ExactRateRatio extends Interval {
  /** Two-sided p of equal rates. */
  readonly p: number;
}

/**
 * Ratio of two Poisson rates, (events1/exposure1) / (events2/exposure2), exact given the total of events, of
 * which the first group's are then binomial (Przyborowski & Wilenski 1940, Biometrika 31:313-323). `undefined`
 * without exposure on both sides or without any event. The estimate is Infinity with no event in the second group.
 */
export function exactRateRatio(
  events1: number,
  exposure1: number,
  events2: number,
  exposure2: number,
  level = 0.95,
): ExactRateRatio | undefined {
  checkLevel(level);
  if (!haveEvents(events1, exposure1, events2, exposure2)) return undefined;
  const total = events1 + events2;
  const share = clopperPearsonInterval(events1, total, level)!;
  const ratio = (p: number) => (p === 1 ? Infinity : (p * exposure2) / ((1 - p) * exposure1));
  return {
    estimate: events1 / exposure1 / (events2 / exposure2),
    lo: ratio(share.lo),
    hi: ratio(share.hi),
    p: binomialTest(events1, total, exposure1 / (exposure1 + exposure2))!,
  };
}

/** The same ratio with Wald limits on the log scale; `undefined` where either group has no event. */
export function waldRateRatio(
  events1: number,
  exposure1: number,
  events2: number,
  exposure2: number,
  level = 0.95,
): Interval | undefined {
  checkLevel(level);
  if (!haveEvents(events1, exposure1, events2, exposure2) || events1 === 0 || events2 === 0) return undefined;
  const estimate = events1 / exposure1 / (events2 / exposure2);
  const factor = Math.exp(normalUpperQuantile((1 - level) / 2) * Math.sqrt(1 / events1 + 1 / events2));
  return { estimate, lo: estimate / factor, hi: estimate * factor };
}

function haveEvents(events1: number, exposure1: number, events2: number, exposure2: number): boolean {
  if (!(events1 >= 0 && events2 >= 0 && exposure1 >= 0 && exposure2 >= 0)) {
    throw new RangeError("events and exposures must be at least zero");
  }
  return exposure1 > 0 && exposure2 > 0 && events1 + events2 > 0;
}
