import { Random } from "../statistics/random.ts";
import type { FlockOptions } from "./flock-options.ts";
import { flockPlan } from "./flock-options.ts";
import { type InventedFlock, inventFlock } from "./invent-flock.ts";

export interface FlocksOptions {
  readonly flocks: number;
  /** Between flocks, mm per 30 days. */
  readonly growthSd?: number;
  /** Between flocks, log odds of being lame. */
  readonly lamenessSd?: number;
}

/**
 * Several flocks of one plan whose mean growth and lameness differ at random; each carries its name in a column
 * `flock`, and their tags are the same. The truth of each holds its own mean. Fewer than one flock is a RangeError.
 */
export function inventFlocks(
  options: Omit<FlockOptions, "flock">,
  { flocks, growthSd = 0.3, lamenessSd = 0.4 }: FlocksOptions,
): readonly InventedFlock[] {
  if (!(Number.isInteger(flocks) && flocks >= 1)) {
    throw new RangeError(`flocks must be a whole number from 1, not ${flocks}`);
  }
  const { growth, lameness } = flockPlan(options);
  const random = new Random(options.seed);
  return Array.from({ length: flocks }, (_, k) =>
    inventFlock({
      ...options,
      seed: options.seed + k,
      flock: `flock ${k + 1}`,
      growth: { ...options.growth, mean: growth.mean + growthSd * random.normal() },
      lameness: { ...options.lameness, mean: lameness.mean + lamenessSd * random.normal() },
    }),
  );
}
