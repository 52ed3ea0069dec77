import {
  type BlockedSample,
  blockedDifference,
  type MeanDifference,
} from "../statistics/blocked-difference.ts";

/** Units an arm needs for an interval, and degrees of freedom under which none is given. Project defaults. */
const LEAST_UNITS = 2;
export const LEAST_DF = 3;

/**
 * What two study arms differ by, from one value for each unit that was assigned: pens against pens, or goats against
 * goats of their own pen, the pen their block. undefined where there are too few units for an interval. Studies that
 * were done and studies that are planned are told by the same rule.
 */
export function armDifference(first: BlockedSample, second: BlockedSample): MeanDifference | undefined {
  if (Math.min(first.values.length, second.values.length) < LEAST_UNITS) return undefined;
  const found = blockedDifference(first, second);
  return found === undefined || found.df < LEAST_DF ? undefined : found;
}

/** Whether a block holds units of both arms: else nothing tells the arms from the blocks. */
export function sharesBlock(first: BlockedSample, second: BlockedSample): boolean {
  return first.blocks.some((block) => second.blocks.includes(block));
}
