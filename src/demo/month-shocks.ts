import type { Random } from "../statistics/random.ts";

/**
 * A stationary first-order autoregressive series of month shocks with mean 0 and the given standard deviation;
 * `correlation` is that of neighbouring months.
 */
export function monthShocks(random: Random, months: number, sd: number, correlation: number): Float64Array {
  const shocks = new Float64Array(months);
  const fresh = Math.sqrt(1 - correlation * correlation);
  let z = random.normal();
  for (let k = 0; k < months; k++) {
    if (k > 0) z = correlation * z + fresh * random.normal();
    shocks[k] = sd * z;
  }
  return shocks;
}
