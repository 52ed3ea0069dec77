import { forecastFactor } from "../linear-algebra/symbolic-cholesky.ts";
import { Random } from "../random.ts";
import type { Unfit } from "../verdict.ts";
import { type AnimalModelInput, analysedModel, animalModelTrouble } from "./animal-model.ts";
import { type BreedingValues, breedingValues } from "./breeding-values.ts";
import { geneticFrame } from "./genetic-frame.ts";
import { breedingPart, type IterativeOptions, solveIteratively } from "./iterative-breeding-values.ts";
import { iterativeEquations } from "./iterative-equations.ts";
import { sampledErrorVariance } from "./sampled-error-variance.ts";

export interface LargeOptions extends IterativeOptions {
  readonly seed: number;
  /** Largest factor that is formed for exact error variances; beyond it they are sampled. Default 20 million. */
  readonly mostNonzeros?: number;
  /** Simulated data sets for the sampled error variances. Default 200. */
  readonly samples?: number;
}

export interface LargeBreedingValues extends BreedingValues {
  readonly verdict: "converged";
  readonly method: "selected-inverse" | "sampled";
  /** Nonzeros of the Cholesky factor of the equations, found by symbolic analysis. */
  readonly nonzeros: number;
  /** Standard error of each error variance, zero where it is exact. */
  readonly samplingError: Float64Array;
}

/**
 * Breeding values at known variances with their error variances, whatever the size: by factor and selected
 * inverse while the factor is small enough, else by conjugate gradients and simulation.
 */
export function largeBreedingValues(
  input: AnimalModelInput,
  variances: Float64Array,
  options: LargeOptions,
): LargeBreedingValues | Unfit {
  const trouble = animalModelTrouble(input);
  if (trouble !== undefined) return trouble;
  const frame = geneticFrame(input);
  const { pattern } = frame.equations.product;
  const forecast = forecastFactor(pattern, { last: frame.equations.fixedCount });
  if (forecast.nonzeros <= (options.mostNonzeros ?? 20e6)) {
    const model = analysedModel(input, frame, forecast.pivotOrder);
    if ("verdict" in model) return model;
    return {
      verdict: "converged",
      method: "selected-inverse",
      nonzeros: forecast.nonzeros,
      samplingError: new Float64Array(input.pedigree.size),
      ...breedingValues(model, variances),
    };
  }
  const equations = iterativeEquations(input, variances, frame.kin);
  if ("verdict" in equations) return equations;
  const answer = solveIteratively(equations, equations.load(input.y), options);
  if ("verdict" in answer) return answer;
  const sampled = sampledErrorVariance(input, variances, equations, {
    random: new Random(options.seed),
    samples: options.samples ?? 200,
    solver: options,
  });
  if ("verdict" in sampled) return sampled;
  return {
    verdict: "converged",
    method: "sampled",
    nonzeros: forecast.nonzeros,
    value: breedingPart(equations, answer.solution),
    ...sampled,
  };
}
