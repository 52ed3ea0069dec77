import { type MeanDifference, twoSampleT } from "../statistics/two-sample-t.ts";

/** Units an arm needs for an interval, and degrees of freedom under which none is given. Project defaults. */
const LEAST_UNITS = 2;
export const LEAST_DF = 3;

/**
 * What two study arms differ by, from one value for each unit that was assigned; undefined where there are too few
 * units for an interval. Studies that were done and studies that are planned are told by the same rule.
 */
export function armDifference(
  first: readonly number[],
  second: readonly number[],
): MeanDifference | undefined {
  const enough =
    Math.min(first.length, second.length) >= LEAST_UNITS && first.length + second.length - 2 >= LEAST_DF;
  return enough ? twoSampleT(first, second) : undefined;
}
