import { links } from "../generalized-linear/family.ts";
import type { RandomTerm } from "../mixed-model-terms.ts";
import { gaussNormal } from "../quadrature.ts";
import type { GeneralizedMixedFit } from "./generalized-mixed-model.ts";

/**
 * Rows to predict for: the fixed columns of the model in its order, and, where the rows' own effects are wanted, its
 * random terms in their order. A level of −1 is one that the fit has not seen: its effect is taken as zero.
 */
export interface PredictionRows {
  readonly columns: readonly Float64Array[];
  readonly offset?: Float64Array;
  readonly random?: readonly Pick<RandomTerm, "membership" | "effects">[];
}

export interface MixedPrediction {
  readonly linearPredictor: Float64Array;
  /** Standard error of the fixed part of the linear predictor. */
  readonly fixedStandardErrors: Float64Array;
  /** Inverse link of the linear predictor: a probability, or an expected count. */
  readonly mean: Float64Array;
}

/** Predictions at the modes of the rows' effects or, without `random`, for a level whose effects are all zero. */
export function predictMixedModel(fit: GeneralizedMixedFit, rows: PredictionRows): MixedPrediction {
  const { linearPredictor, fixedStandardErrors } = fixedPredictor(fit, rows);
  rows.random?.forEach(({ membership, effects }, t) => {
    const { mode } = fit.terms[t];
    const q = fit.model.terms[t].effectCount;
    for (let i = 0; i < linearPredictor.length; i++) {
      for (const [level, weight] of levelsOf(membership, i)) {
        if (level < 0) continue;
        for (let a = 0; a < q; a++) {
          linearPredictor[i] += weight * mode[level * q + a] * (effects?.[a][i] ?? 1);
        }
      }
    }
  });
  return { linearPredictor, fixedStandardErrors, mean: linearPredictor.map(meanOf(fit)) };
}

/**
 * Mean over all levels that might be met: the inverse link averaged over the normal distribution of the random
 * effects (32-point quadrature). `random` tells which effects a row loads on; levels are not read, each entry is a
 * level of its own. Without it every term counts once with effect value one.
 */
export function populationMean(fit: GeneralizedMixedFit, rows: PredictionRows): Float64Array {
  const { linearPredictor } = fixedPredictor(fit, rows);
  const { nodes, weights } = gaussNormal(32);
  const inverse = meanOf(fit);
  return linearPredictor.map((eta, i) => {
    let variance = 0;
    fit.terms.forEach(({ betweenLevels }, t) => {
      const term = rows.random?.[t];
      const q = betweenLevels.rows;
      let form = 0;
      for (let a = 0; a < q; a++) {
        for (let b = 0; b < q; b++) {
          form +=
            (term?.effects?.[a][i] ?? 1) * betweenLevels.values[a * q + b] * (term?.effects?.[b][i] ?? 1);
        }
      }
      const loads = term === undefined ? [[0, 1]] : levelsOf(term.membership, i);
      for (const [, weight] of loads) variance += weight * weight * form;
    });
    const sd = Math.sqrt(variance);
    return nodes.reduce((sum, t, k) => sum + weights[k] * inverse(eta + sd * t), 0);
  });
}

function fixedPredictor(fit: GeneralizedMixedFit, rows: PredictionRows) {
  const count = rows.columns[0].length;
  const p = rows.columns.length;
  const linearPredictor = new Float64Array(count);
  const fixedStandardErrors = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    let eta = rows.offset?.[i] ?? 0;
    let variance = 0;
    for (let j = 0; j < p; j++) {
      eta += rows.columns[j][i] * fit.coefficients[j];
      for (let k = 0; k < p; k++) {
        variance += rows.columns[j][i] * fit.covariance.values[j * p + k] * rows.columns[k][i];
      }
    }
    linearPredictor[i] = eta;
    fixedStandardErrors[i] = Math.sqrt(variance);
  }
  return { linearPredictor, fixedStandardErrors };
}

function meanOf(fit: GeneralizedMixedFit): (eta: number) => number {
  return links[fit.model.family.link].mean;
}

function levelsOf(membership: RandomTerm["membership"], row: number): readonly (readonly [number, number])[] {
  if (membership instanceof Int32Array) return [[membership[row], 1]];
  const loads: [number, number][] = [];
  for (let e = membership.rowStart[row]; e < membership.rowStart[row + 1]; e++) {
    loads.push([membership.level[e], membership.weight[e]]);
  }
  return loads;
}
