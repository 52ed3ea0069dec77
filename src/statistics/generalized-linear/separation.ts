import type { LinearModelData } from "./linear-model-input.ts";

/**
 * Whether moving the coefficients along `direction` never lowers any row's likelihood and raises some (Albert &
 * Anderson 1984, Biometrika 71:1-10: complete or quasi-complete separation). Then the likelihood has no maximum.
 * Rows may miss by the share `tolerance` of the largest change of a linear predictor.
 */
export function separates(data: LinearModelData, direction: ArrayLike<number>, tolerance = 1e-5): boolean {
  const { design, outcome, trials, priorWeights, family } = data;
  if (family.distribution === "gaussian") return false;
  const change = new Float64Array(design.rows);
  let largest = 0;
  for (let i = 0; i < design.rows; i++) {
    let sum = 0;
    for (let j = 0; j < design.columns; j++) sum += design.values[i * design.columns + j] * direction[j];
    change[i] = sum;
    if (priorWeights[i] > 0) largest = Math.max(largest, Math.abs(sum));
  }
  const slack = tolerance * largest;
  for (let i = 0; i < design.rows; i++) {
    if (priorWeights[i] === 0 || trials[i] === 0) continue;
    const mayFall = outcome[i] === 0;
    const mayRise = family.distribution === "binomial" && outcome[i] === trials[i];
    if (change[i] > slack && !mayRise) return false;
    if (change[i] < -slack && !mayFall) return false;
  }
  return largest > 0;
}
