import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { solve } from "../linear-algebra/sparse-cholesky.ts";
import type { AnimalModel } from "./animal-model.ts";
import { type AnimalWeights, breedingLoad } from "./breeding-value-scale.ts";
import { meanOf, type SolvedEffects, solvedAt } from "./breeding-values.ts";
import type { GeneticFrame } from "./genetic-frame.ts";

export interface BreedingCombinations {
  readonly estimate: Float64Array;
  /** Covariance of the prediction errors. */
  readonly covariance: DenseMatrix;
}

/** Weighted sums of breeding values (lines' means, differences, mid-parents) with their joint error covariance. */
export function breedingCombinations(
  model: AnimalModel,
  variances: Float64Array,
  sums: readonly AnimalWeights[],
): BreedingCombinations {
  const { solution, residual } = solvedAt(model, variances);
  return combinationsFrom(model, solution, residual, sums);
}

/** The same from equations that are solved already. */
export function combinationsFrom(
  model: GeneticFrame,
  solution: SolvedEffects,
  residualVariance: number,
  sums: readonly AnimalWeights[],
): BreedingCombinations {
  const loads = sums.map((sum) => breedingLoad(model, solution.scale, sum));
  const answers = loads.map((load) => solve(solution.factor, load));
  const count = sums.length;
  const covariance = zeroMatrix(count, count);
  for (let j = 0; j < count; j++) {
    for (let k = 0; k <= j; k++) {
      const value = residualVariance * inner(loads[j], answers[k]);
      covariance.values[j * count + k] = value;
      covariance.values[k * count + j] = value;
    }
  }
  return { estimate: Float64Array.from(loads, (load) => inner(load, solution.standardized)), covariance };
}

/**
 * For each line the mean of its animals minus the mean of the other lines' means.
 * Throws RangeError for fewer than two lines or a line without animals.
 */
export function linesAgainstOthers(lines: readonly ArrayLike<number>[]): AnimalWeights[] {
  if (lines.length < 2 || lines.some((line) => line.length === 0)) {
    throw new RangeError("two lines or more are needed, each with animals");
  }
  return lines.map((_, own) => {
    const parts = lines.map((line, l) => {
      const { animals, weights } = meanOf(line);
      const sign = l === own ? 1 : -1 / (lines.length - 1);
      return Array.from(animals, (animal, k) => ({ animal, weight: sign * weights[k] }));
    });
    return { animals: parts.flat().map((p) => p.animal), weights: parts.flat().map((p) => p.weight) };
  });
}

function inner(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
