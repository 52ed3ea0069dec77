import { combinationsFrom } from "./breeding-combinations.ts";
import { type AnimalWeights, sumVariance } from "./breeding-value-scale.ts";
import type { SolvedEffects } from "./breeding-values.ts";
import type { GeneticFrame } from "./genetic-frame.ts";

/** How well two parents' values forecast those of their kids, at given variances. */
export interface MidParentErrors {
  /** Correlation of the two values' prediction errors. */
  readonly errorCorrelation: number;
  /** Squared correlation of the mean of the two values with the value of one kid. */
  readonly reliability: number;
}

/**
 * The joint prediction error of two parents from the inverse of the mixed-model equations (Henderson 1975, Biometrics
 * 31:423-447). Values are differences from the mean of `base`. A kid's value is the mean of its parents' plus a
 * Mendelian part drawn anew, so that the mean forecasts it with (Var m − PEV m) / (Var m + Mendelian variance), kinship
 * and inbreeding of the parents included. Undefined where there is none.
 */
export function midParentErrors(
  frame: GeneticFrame,
  solution: SolvedEffects,
  residualVariance: number,
  genetic: { readonly additive: number; readonly group: number },
  base: readonly number[],
  [sire, dam]: readonly [number, number],
): MidParentErrors | undefined {
  const against = (shares: readonly (readonly [number, number])[]): AnimalWeights => ({
    animals: [...shares.map(([animal]) => animal), ...base],
    weights: [...shares.map(([, share]) => share), ...base.map(() => -1 / base.length)],
  });
  const mean = against([
    [sire, 1 / 2],
    [dam, 1 / 2],
  ]);
  const { values: error } = combinationsFrom(frame, solution, residualVariance, [
    against([[sire, 1]]),
    against([[dam, 1]]),
    mean,
  ]).covariance;
  const variance = sumVariance(frame, genetic, mean);
  const { coefficient } = frame.kin;
  const mendelian = genetic.additive * (1 - (2 + coefficient[sire] + coefficient[dam]) / 4);
  const spread = Math.sqrt(error[0] * error[4]);
  if (!(spread > 0 && variance + mendelian > 0)) return undefined;
  return {
    errorCorrelation: Math.min(1, Math.max(-1, error[1] / spread)),
    reliability: Math.max(0, (variance - error[8]) / (variance + mendelian)),
  };
}
