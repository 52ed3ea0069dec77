import { gammaQuantile, gammaUpperQuantile } from "../distributions/gamma.ts";
import { checkLevel, type Interval } from "../interval.ts";

/**
 * Events per unit of exposure with exact Poisson limits (Garwood 1936, Biometrika 28:437-442), from the gamma
 * (equally chi-square) distribution, so that `events` need not be whole. `undefined` without exposure.
 */
export function poissonRate(events: number, exposure: number, level = 0.95): Interval | undefined {
  checkLevel(level);
  if (!(events >= 0 && exposure >= 0 && events < Infinity && exposure < Infinity)) {
    throw new RangeError(`events and exposure must be at least zero, not ${events} in ${exposure}`);
  }
  if (exposure === 0) return undefined;
  const tail = (1 - level) / 2;
  return {
    estimate: events / exposure,
    lo: events === 0 ? 0 : gammaQuantile(tail, events, exposure),
    hi: gammaUpperQuantile(tail, events + 1, exposure),
  };
}
