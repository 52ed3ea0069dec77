import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import { inverseBlocks } from "./inverse-blocks.ts";
import { effectCount } from "./random-columns.ts";
import { applyFactors, factorsOf } from "./relative-covariance.ts";

/** Predicted effects of one term: effect e of level l stands at `l * effects + e`, variances likewise. */
export interface PredictedEffects {
  readonly name: string;
  readonly effects: number;
  readonly values: Float64Array;
  /** Var(b̂ − b), the variances taken as known, β as estimated. */
  readonly predictionVariances: Float64Array;
  /** Var(b | y) with β taken as known too. */
  readonly conditionalVariances: Float64Array;
}

/**
 * Best linear unbiased predictions of all random effects with their variances (Henderson 1975, Biometrics 31,
 * 423-447; Robinson 1991, Statist. Sci. 6, 15-32).
 */
export function predictedEffects(fit: FittedLinearMixed): PredictedEffects[] {
  const { design, solution, sigmaSquared } = fit;
  const factors = factorsOf(design.blocks, solution.theta);
  const spread = applyFactors(design.blocks, factors, solution.spherical);
  const withFixed = new Float64Array(design.randomCount);
  const fixedKnown = new Float64Array(design.randomCount);
  const inverse = inverseBlocks(design, solution.factor);
  design.blocks.forEach(({ size, levels, offset }, b) => {
    const factor = factors[b]!;
    const around = (block: Float64Array, effect: number): number => {
      let sum = 0;
      for (let i = 0; i <= effect; i++) {
        for (let j = 0; j <= effect; j++) {
          sum +=
            factor[effect * size + i]! *
            block[Math.max(i, j) * size + Math.min(i, j)]! *
            factor[effect * size + j]!;
        }
      }
      return sigmaSquared * sum;
    };
    for (let level = 0; level < levels; level++) {
      const column = offset + level * size;
      const whole = inverse.whole(column, size);
      const random = inverse.random(column, size);
      for (let effect = 0; effect < size; effect++) {
        withFixed[column + effect] = around(whole, effect);
        fixedKnown[column + effect] = around(random, effect);
      }
    }
  });
  return design.input.random.map((term, t) => {
    const effects = effectCount(term);
    const pick = (from: Float64Array): Float64Array => {
      const result = new Float64Array(term.levels * effects);
      for (const { term: owner, firstEffect, size, levels, offset } of design.blocks) {
        if (owner !== t) continue;
        for (let level = 0; level < levels; level++) {
          for (let e = 0; e < size; e++) {
            result[level * effects + firstEffect + e] = from[offset + level * size + e]!;
          }
        }
      }
      return result;
    };
    return {
      name: term.name,
      effects,
      values: pick(spread),
      predictionVariances: pick(withFixed),
      conditionalVariances: pick(fixedKnown),
    };
  });
}
