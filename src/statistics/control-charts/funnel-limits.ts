import { binomialCumulative, binomialProbability, binomialQuantile } from "../distributions/binomial.ts";
import { checkLevel } from "../interval.ts";

/** Proportions between which a unit of a given size lies by chance. */
export interface FunnelLimits {
  readonly lo: number;
  readonly hi: number;
}

/**
 * Exact binomial funnel limits around a target proportion for a unit with `trials` trials, interpolated between
 * counts so that they form a smooth funnel (Spiegelhalter 2005, Stat. Med. 24:1185-1202, appendix). A unit lies
 * outside just when the chance of a count like its own or further out is below (1 − level)/2; for that the upper
 * limit is the lower one of the failures. `undefined` with no trials.
 */
export function funnelLimits(target: number, trials: number, level = 0.95): FunnelLimits | undefined {
  checkLevel(level);
  if (!(target >= 0 && target <= 1 && Number.isInteger(trials) && trials >= 0)) {
    throw new RangeError(`target ${target}, trials ${trials}`);
  }
  if (trials === 0) return undefined;
  const tail = (1 - level) / 2;
  return { lo: lowerLimit(tail, trials, target), hi: 1 - lowerLimit(tail, trials, 1 - target) };
}

function lowerLimit(tail: number, trials: number, target: number): number {
  if (target === 0 || target === 1) return target;
  const count = binomialQuantile(tail, trials, target);
  const share =
    (binomialCumulative(count, trials, target) - tail) / binomialProbability(count, trials, target);
  return Math.max(0, (count - share) / trials);
}
