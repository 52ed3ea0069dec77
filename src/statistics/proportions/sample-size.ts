import { normalUpperQuantile } from "../distributions/normal.ts";
import { checkLevel } from "../interval.ts";

/*
 * Textbook sample sizes (Thrusfield, Veterinary Epidemiology). None is rounded: the next whole number of animals is
 * the one to take.
 */

/** Animals needed to estimate an expected prevalence to within ± `precision`. */
export function sampleSizeForPrevalence(prevalence: number, precision: number, level = 0.95): number {
  checkLevel(level);
  if (!(prevalence >= 0 && prevalence <= 1 && precision > 0)) {
    throw new RangeError(`prevalence ${prevalence}, precision ${precision}`);
  }
  const z = normalUpperQuantile((1 - level) / 2);
  return (z * z * prevalence * (1 - prevalence)) / (precision * precision);
}

/** The same in a flock of `population` animals: n / (1 + (n − 1)/N). */
export function finitePopulationSize(sampleSize: number, population: number): number {
  if (!(population >= 1)) throw new RangeError(`a population of ${population}`);
  return sampleSize / (1 + (sampleSize - 1) / population);
}

/**
 * Animals to examine so that at least one of `affected` among `population` is found with probability `confidence`
 * (Cannon & Roe 1982).
 */
export function sampleSizeToDetect(population: number, affected: number, confidence = 0.95): number {
  checkLevel(confidence);
  if (!(affected >= 1 && affected <= population))
    throw new RangeError(`${affected} of ${population} affected`);
  return (1 - (1 - confidence) ** (1 / affected)) * (population - (affected - 1) / 2);
}

/**
 * By how much clusters of `clusterSize` with intraclass correlation `icc` swell the variance: 1 + (m − 1)·ICC (Kish
 * 1965, Survey Sampling).
 */
export function designEffect(clusterSize: number, icc: number): number {
  if (!(clusterSize >= 1 && icc <= 1))
    throw new RangeError(`cluster size ${clusterSize}, correlation ${icc}`);
  return 1 + (clusterSize - 1) * icc;
}
