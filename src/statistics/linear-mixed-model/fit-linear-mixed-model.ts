import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { pathsToRoot, solveLowerAlong } from "../linear-algebra/sparse-cholesky.ts";
import type { FitTrouble, SearchRecord, Unfit } from "../verdict.ts";
import { averageInformation } from "./average-information.ts";
import { type LikelihoodMethod, type MixedModelSolution, solveMixedModel } from "./criterion.ts";
import { freePlaces, judgeCurvature } from "./curvature.ts";
import { type LinearMixedDesign, type LinearMixedInput, linearMixedDesign } from "./linear-mixed-design.ts";
import { solveUpper, solveUpperTransposed } from "./orthonormal-columns.ts";
import { effectCount } from "./random-columns.ts";
import { factorsOf } from "./relative-covariance.ts";
import { searchTheta } from "./search-theta.ts";
import { startingTheta } from "./starting-values.ts";

/** One random term as estimated: the covariance matrix of its effects. */
export interface RandomTermEstimate {
  readonly name: string;
  readonly covariance: DenseMatrix;
  /** Whether this matrix is singular: a variance of zero, or a correlation of one. */
  readonly singular: boolean;
}

/** A linear mixed model with its estimates. */
export interface FittedLinearMixed {
  readonly verdict: "converged" | "singular";
  readonly method: LikelihoodMethod;
  readonly design: LinearMixedDesign;
  readonly fixedNames: readonly string[];
  readonly fixedEffects: Float64Array;
  /** Covariance matrix of the fixed effects, the variances taken as known. */
  readonly fixedCovariance: DenseMatrix;
  readonly terms: readonly RandomTermEstimate[];
  readonly sigmaSquared: number;
  /** Maximum of the (restricted) log-likelihood, with all its constants. */
  readonly logLikelihood: number;
  /** Number of parameters estimated: fixed effects, θ and σ². */
  readonly parameters: number;
  readonly solution: MixedModelSolution;
  readonly search: SearchRecord;
}

export type LinearMixedFit = FittedLinearMixed | Unfit;

export interface LinearMixedOptions {
  /** Default REML. */
  readonly method?: LikelihoodMethod;
  /** Where to start the search for θ (default: rough moment estimates). */
  readonly start?: ArrayLike<number>;
}

/** Fits a linear mixed model by restricted or plain maximum likelihood. */
export function fitLinearMixedModel(
  input: LinearMixedInput,
  options: LinearMixedOptions = {},
): LinearMixedFit {
  const design = linearMixedDesign(input);
  return "trouble" in design ? design : runLinearMixedModel(design, options);
}

/** The same from a design already made. */
export function runLinearMixedModel(
  design: LinearMixedDesign,
  options: LinearMixedOptions = {},
): LinearMixedFit {
  const method = options.method ?? "REML";
  const start = options.start === undefined ? startingTheta(design) : Float64Array.from(options.start);
  if (start.length !== design.layout.length) throw new RangeError(`θ has ${design.layout.length} entries`);
  const found = searchTheta(design, method, start);
  if ("trouble" in found) return found;
  const { theta, evaluations, largestGradient } = found;
  const solution = solveMixedModel(design, method, theta);
  if (solution === undefined) return unfit("not_converged", "the equations break down at the solution");
  const flat = flatTerms(design, solution);
  if (flat.length > 0) return unfit("not_identified", `variances of ${flat.join(", ")} cannot be told apart`);
  return describe(design, method, solution, {
    start: Array.from(start),
    end: Array.from(theta),
    objective: solution.criterion,
    evaluations,
    largestGradient,
  });
}

/** σ² T T' of each term, from θ. */
export function termCovariances(
  design: LinearMixedDesign,
  theta: ArrayLike<number>,
  sigmaSquared: number,
): DenseMatrix[] {
  const factors = factorsOf(design.blocks, theta);
  return design.input.random.map((term, t) => {
    const effects = effectCount(term);
    const covariance = zeroMatrix(effects, effects);
    design.blocks.forEach((block, b) => {
      if (block.term !== t) return;
      const { size, firstEffect } = block;
      for (let i = 0; i < size; i++) {
        for (let j = 0; j < size; j++) {
          let sum = 0;
          for (let k = 0; k <= Math.min(i, j); k++)
            sum += factors[b]![i * size + k]! * factors[b]![j * size + k]!;
          covariance.values[(firstEffect + i) * effects + firstEffect + j] = sigmaSquared * sum;
        }
      }
    });
    return covariance;
  });
}

function describe(
  design: LinearMixedDesign,
  method: LikelihoodMethod,
  solution: MixedModelSolution,
  searched: SearchRecord,
): FittedLinearMixed {
  const { fixedCount: p, upper, input, blocks } = design;
  const covariances = termCovariances(design, solution.theta, solution.sigmaSquared);
  const factors = factorsOf(blocks, solution.theta);
  const terms = input.random.map((term, t) => ({
    name: term.name,
    covariance: covariances[t]!,
    singular: blocks.some(
      ({ term: owner, size }, b) =>
        owner === t && Array.from({ length: size }, (_, k) => factors[b]![k * size + k]!).includes(0),
    ),
  }));
  const coefficients = design.basisCoefficients.map((c, k) => c + solution.basisShift[k]!);
  return {
    verdict: terms.some(({ singular }) => singular) ? "singular" : "converged",
    method,
    design,
    fixedNames: input.fixed.names,
    fixedEffects: solveUpper(upper, coefficients),
    fixedCovariance: fixedCovariance(design, solution),
    terms,
    sigmaSquared: solution.sigmaSquared,
    logLikelihood: -0.5 * solution.criterion,
    parameters: p + design.layout.length + 1,
    solution,
    search: searched,
  };
}

/** Terms between which the average information is singular: the data do not tell their variances apart. */
function flatTerms(design: LinearMixedDesign, solution: MixedModelSolution): readonly string[] {
  const free = freePlaces(design, solution.theta);
  const all = averageInformation(design, solution);
  const information = zeroMatrix(free.length, free.length);
  free.forEach((k, i) => {
    free.forEach((m, j) => {
      information.values[i * free.length + j] = all.values[k * all.columns + m]!;
    });
  });
  const { definite, terms } = judgeCurvature(design, free, information);
  return definite === "positive" ? [] : terms;
}

/** σ² (X' (V/σ²)⁻¹ X)⁻¹, from the corner of the factor where the fixed basis stands. */
function fixedCovariance(design: LinearMixedDesign, solution: MixedModelSolution): DenseMatrix {
  const { fixedCount: p, randomCount: q, upper } = design;
  const { symbolic } = solution.factor;
  const path = pathsToRoot(
    symbolic,
    Array.from({ length: p }, (_, i) => q + i),
  );
  const rows: Float64Array[] = [];
  const unit = new Float64Array(p);
  for (let k = 0; k < p; k++) {
    unit[k] = 1;
    const half = new Float64Array(q + p);
    solveUpperTransposed(upper, unit).forEach((value, i) => {
      half[symbolic.place[q + i]!] = value;
    });
    unit[k] = 0;
    solveLowerAlong(solution.factor, path, half);
    rows.push(half.subarray(q));
  }
  const result = zeroMatrix(p, p);
  rows.forEach((a, i) => {
    rows.forEach((b, j) => {
      let sum = 0;
      for (let k = 0; k < p; k++) sum += a[k]! * b[k]!;
      result.values[i * p + j] = solution.sigmaSquared * sum;
    });
  });
  return result;
}

function unfit(trouble: FitTrouble, detail: string): Unfit {
  return { verdict: trouble === "not_identified" ? "flat" : "failed", trouble, detail };
}
