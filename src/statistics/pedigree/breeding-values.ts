import { inverseDiagonal, selectedInverse } from "../linear-algebra/selected-inverse.ts";
import { solve } from "../linear-algebra/sparse-cholesky.ts";
import type { AnimalModel } from "./animal-model.ts";
import { type AnimalWeights, breedingLoad, breedingVector, priorVariance } from "./breeding-value-scale.ts";
import type { GeneticFrame } from "./genetic-frame.ts";
import { type EquationsSolution, solveEquations } from "./restricted-likelihood.ts";

export interface BreedingValues {
  /** Best linear unbiased prediction of each animal's breeding value, group part included. */
  readonly value: Float64Array;
  /** Prediction error variance. */
  readonly errorVariance: Float64Array;
  /** 1 - error variance / variance of the true value, at least 0: the squared correlation with the truth. */
  readonly reliability: Float64Array;
}

/**
 * Breeding values at given variances (Henderson 1975, Biometrics 31:423-447). With `base` the values are
 * differences from the mean of these animals, and so are their error variances and reliabilities;
 * without it the base is the founders' expectation.
 * Throws RangeError when the equations cannot be solved at these variances.
 */
export function breedingValues(
  model: AnimalModel,
  variances: Float64Array,
  base?: ArrayLike<number>,
): BreedingValues {
  const { solution, residual } = solvedAt(model, variances);
  const weights = base === undefined ? null : meanOf(base);
  return breedingValuesFrom(model, solution, residual, weights, priorVariance(model, variances, weights));
}

/** Effects predicted from mixed-model equations with each term on the scale of its standard deviation. */
export type SolvedEffects = Pick<EquationsSolution, "scale" | "factor" | "standardized">;

/** The same from equations that are solved already; `prior` is the variance of the true values. */
export function breedingValuesFrom(
  model: GeneticFrame,
  solution: SolvedEffects,
  residualVariance: number,
  base: AnimalWeights | null,
  prior: Float64Array,
): BreedingValues {
  const { value, errorVariance } = errorsFrom(model, solution, residualVariance, base);
  const reliability = errorVariance.map((pev, i) => (prior[i] > 0 ? Math.max(0, 1 - pev / prior[i]) : 0));
  return { value, errorVariance, reliability };
}

/** Values and error variances alone. */
export function errorsFrom(
  model: GeneticFrame,
  solution: SolvedEffects,
  residualVariance: number,
  base: AnimalWeights | null,
): Omit<BreedingValues, "reliability"> {
  const value = breedingVector(model, solution.scale, solution.standardized);
  const errorVariance = ownErrorVariance(model, solution, residualVariance);
  if (base !== null) subtractBase(model, solution, residualVariance, base, value, errorVariance);
  return { value, errorVariance };
}

/** Equal weights that add to 1. */
export function meanOf(animals: ArrayLike<number>): AnimalWeights {
  const count = animals.length;
  return { animals, weights: new Float64Array(count).fill(1 / count) };
}

/** The equations at given variances (residual last). Throws RangeError when they cannot be solved. */
export function solvedAt(
  model: AnimalModel,
  variances: Float64Array,
): { readonly solution: EquationsSolution; readonly residual: number } {
  const residual = variances[variances.length - 1];
  if (variances.length !== model.names.length || !(residual > 0) || !variances.every((v) => v >= 0)) {
    throw new RangeError(
      `invalid variances: ${[...variances].join(", ")}; one for each of ${model.names.join(", ")}`,
    );
  }
  const ratios = variances.subarray(0, variances.length - 1).map((v) => Math.sqrt(v / residual));
  const solution = solveEquations(model.gaussian, ratios);
  if (solution === undefined) throw new RangeError("the mixed-model equations are not positive definite");
  return { solution, residual };
}

function ownErrorVariance(
  model: GeneticFrame,
  { factor, scale }: SolvedEffects,
  residualVariance: number,
): Float64Array {
  const { termStart, design } = model.equations;
  const diagonal = inverseDiagonal(selectedInverse(factor));
  const size = model.pedigree.size;
  const variance = new Float64Array(size);
  for (let i = 0; i < size; i++) variance[i] = residualVariance * diagonal[i] * scale[i] ** 2;
  const { shares } = model;
  if (shares === null) return variance;
  const start = termStart[1];
  const columns = Array.from({ length: shares.columns }, (_, g) => {
    const unit = new Float64Array(design.columns);
    unit[start + g] = 1;
    return solve(factor, unit);
  });
  for (let i = 0; i < size; i++) {
    let sum = 0;
    for (let e = shares.rowStart[i]; e < shares.rowStart[i + 1]; e++) {
      const column = columns[shares.column[e]];
      const groupScale = scale[start + shares.column[e]];
      sum += 2 * shares.value[e] * groupScale * scale[i] * column[i];
      for (let f = shares.rowStart[i]; f < shares.rowStart[i + 1]; f++) {
        sum += shares.value[e] * shares.value[f] * groupScale ** 2 * column[start + shares.column[f]];
      }
    }
    variance[i] += residualVariance * sum;
  }
  return variance;
}

function subtractBase(
  model: GeneticFrame,
  { factor, scale }: SolvedEffects,
  residualVariance: number,
  base: AnimalWeights,
  value: Float64Array,
  errorVariance: Float64Array,
): void {
  const covariance = breedingVector(model, scale, solve(factor, breedingLoad(model, scale, base)));
  let level = 0;
  let levelVariance = 0;
  for (let k = 0; k < base.animals.length; k++) {
    level += base.weights[k] * value[base.animals[k]];
    levelVariance += base.weights[k] * covariance[base.animals[k]];
  }
  for (let i = 0; i < value.length; i++) {
    value[i] -= level;
    // An animal that is itself the base has no error left but rounding.
    errorVariance[i] = Math.max(0, errorVariance[i] + residualVariance * (levelVariance - 2 * covariance[i]));
  }
}
