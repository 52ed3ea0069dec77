import type { Unfit } from "../verdict.ts";
import { type AnimalModelInput, animalModelTrouble } from "./animal-model.ts";
import { conjugateGradient } from "./conjugate-gradient.ts";
import { type Inbreeding, inbreeding } from "./inbreeding.ts";
import { type IterativeEquations, iterativeEquations } from "./iterative-equations.ts";
import { designProduct } from "./sparse-design.ts";

export interface IterativeOptions {
  /** Size of the residual of the equations, relative to their right-hand side, at which to stop. */
  readonly tolerance?: number;
  readonly mostIterations?: number;
  /** Inbreeding known already. */
  readonly kin?: Inbreeding;
}

export interface IterativeBreedingValues {
  readonly verdict: "converged";
  readonly value: Float64Array;
  readonly fixed: Float64Array;
  readonly iterations: number;
  readonly relativeResidual: number;
}

/**
 * Breeding values at known variances for pedigrees too large to factor: preconditioned conjugate gradients on
 * the mixed-model equations, which are never formed (Strandén & Lidauer 1999, J. Dairy Sci. 82:2779-2787).
 * `variances` stand in the order animal, groups (where there are any), other terms, residual.
 */
export function iterativeBreedingValues(
  input: AnimalModelInput,
  variances: Float64Array,
  options: IterativeOptions = {},
): IterativeBreedingValues | Unfit {
  const trouble = animalModelTrouble(input);
  if (trouble !== undefined) return trouble;
  const equations = iterativeEquations(input, variances, options.kin ?? inbreeding(input.pedigree));
  if ("verdict" in equations) return equations;
  const answer = solveIteratively(equations, equations.load(input.y), options);
  if ("verdict" in answer) return answer;
  return {
    verdict: "converged",
    value: breedingPart(equations, answer.solution),
    fixed: answer.solution.slice(equations.fixedStart),
    iterations: answer.iterations,
    relativeResidual: answer.relativeResidual,
  };
}

/** Solves the equations for one right-hand side. */
export function solveIteratively(
  equations: IterativeEquations,
  load: Float64Array,
  options: IterativeOptions,
): { solution: Float64Array; iterations: number; relativeResidual: number } | Unfit {
  const tolerance = options.tolerance ?? 1e-8;
  const answer = conjugateGradient(equations, load, tolerance, options.mostIterations ?? 2000);
  if (answer.relativeResidual <= tolerance) return answer;
  const left = answer.relativeResidual.toExponential(2);
  return {
    verdict: "failed",
    trouble: "not_converged",
    detail: `relative residual ${left} after ${answer.iterations} iterations`,
  };
}

/** Q g + a from a solution of the equations. */
export function breedingPart(equations: IterativeEquations, solution: Float64Array): Float64Array {
  const { shares, animals } = equations;
  const value = solution.slice(0, animals);
  if (shares === null) return value;
  const part = designProduct(shares, solution.subarray(animals, animals + shares.columns));
  for (let i = 0; i < animals; i++) value[i] += part[i];
  return value;
}
