import type { DenseMatrix } from "../linear-algebra/dense-matrix.ts";
import { solve } from "../linear-algebra/sparse-cholesky.ts";
import type { SearchRecord, Unfit } from "../verdict.ts";
import type { AnimalModel } from "./animal-model.ts";
import { maximizeRestrictedLikelihood, type VarianceSearch } from "./average-information.ts";
import type { EquationsSolution } from "./restricted-likelihood.ts";

export interface FixedEffect {
  readonly estimate: number;
  readonly standardError: number;
}

/** An animal model fitted by restricted maximum likelihood. */
export interface FittedAnimalModel {
  readonly verdict: "converged" | "singular";
  /** In the order of the model's `names`, the residual last. */
  readonly variances: Float64Array;
  /** Asymptotic covariance of the variances, the inverse of the average information; zero at a bound. */
  readonly varianceCovariance: DenseMatrix;
  readonly logLikelihood: number;
  readonly fixed: readonly FixedEffect[];
  readonly search: SearchRecord;
}

export type AnimalModelFit = FittedAnimalModel | Unfit;

/** Restricted maximum likelihood; `start` may give the variances to begin from (all above zero). */
export function fitAnimalModel(model: AnimalModel, start?: Float64Array): AnimalModelFit {
  const search = maximizeRestrictedLikelihood(model.gaussian, model.map, startParameters(model, start));
  if (search === undefined) {
    return { verdict: "failed", trouble: "not_converged", detail: "the equations could not be solved" };
  }
  if (search.verdict === "flat" || search.verdict === "failed") return noFit(search);
  return {
    verdict: search.verdict,
    variances: search.variances,
    varianceCovariance: search.covariance,
    logLikelihood: search.logLikelihood,
    fixed: fixedEffects(model, search.solution, search.variances[search.variances.length - 1]),
    search: search.record,
  };
}

function noFit(search: VarianceSearch): Unfit {
  return {
    verdict: search.verdict === "flat" ? "flat" : "failed",
    trouble: search.trouble ?? "not_converged",
    detail: `variances ${[...search.variances].map((v) => v.toPrecision(4)).join(", ")}`,
  };
}

function startParameters(model: AnimalModel, start: Float64Array | undefined): Float64Array | undefined {
  if (start === undefined) return undefined;
  const { rows, columns, values } = model.map;
  return Float64Array.from({ length: columns }, (_, j) => {
    for (let i = 0; i < rows; i++) if (values[i * columns + j] === 1) return start[i];
    return 0;
  });
}

/** Generalized least-squares estimates and their standard errors at given variances. */
export function fixedEffects(
  model: AnimalModel,
  solution: EquationsSolution,
  residualVariance: number,
): FixedEffect[] {
  const { fixedCount, design } = model.equations;
  const first = design.columns - fixedCount;
  return Array.from({ length: fixedCount }, (_, j) => {
    const unit = new Float64Array(design.columns);
    unit[first + j] = 1;
    const column = solve(solution.factor, unit);
    return {
      estimate: solution.standardized[first + j],
      standardError: Math.sqrt(residualVariance * column[first + j]),
    };
  });
}
