import type { FlockTruth } from "../../src/demo/flock-truth.ts";
import { hornGained } from "../../src/demo/invent-growth.ts";
import { parseIsoDay } from "../../src/records/days.ts";

/** First day of the records of a flock that is followed past its last record. */
export const START = "2024-03-01";

/** The day number `days` after the start. */
export function dayAfterStart(days: number): number {
  return parseIsoDay(START)! + days;
}

/**
 * True overhang of an animal's longest claw `days` after one of its visits if nobody trims in between, mm; the
 * interval's own effect lasts as long.
 */
export function longestAfter(truth: FlockTruth, animal: number, visit: number, days: number): number {
  const { day, after, intervalEffect } = truth.visits[animal]![visit]!;
  const shared = hornGained(truth.plan, truth.growth, animal, truth.lives[animal]!, day, day + days);
  let longest = Number.NEGATIVE_INFINITY;
  after.forEach((start, claw) => {
    if (Number.isNaN(start)) return;
    const own = truth.growth.clawEffects[8 * animal + claw]! + intervalEffect;
    longest = Math.max(longest, start + shared + (own * days) / 30);
  });
  return longest;
}
