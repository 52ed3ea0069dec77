import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { solveLowerSparse } from "../linear-algebra/sparse-cholesky.ts";
import { minimizeBounded, type Slope } from "../optimise/bounded-quasi-newton.ts";
import type { FitTrouble, SearchRecord, Unfit } from "../verdict.ts";
import { averageInformation } from "./average-information.ts";
import {
  criterionWorkspace,
  differentiateCriterion,
  type LikelihoodMethod,
  type MixedModelSolution,
  solveMixedModel,
} from "./criterion.ts";
import { freePlaces, judgeCurvature } from "./curvature.ts";
import { type LinearMixedDesign, type LinearMixedInput, linearMixedDesign } from "./linear-mixed-design.ts";
import { solveUpper, solveUpperTransposed } from "./orthonormal-columns.ts";
import { effectCount } from "./random-columns.ts";
import { awayFromZero, diagonalPlaces, factorsOf, thetaPlace } from "./relative-covariance.ts";
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

/** Below this a relative standard deviation (in the design's own units) is tried at zero. */
const NEARLY_ZERO = 1e-3;

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
  const found = search(design, method, start);
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

interface Found {
  readonly theta: Float64Array;
  readonly evaluations: number;
  readonly largestGradient: number;
}

function search(design: LinearMixedDesign, method: LikelihoodMethod, start: Float64Array): Found | Unfit {
  if (start.length === 0) return { theta: start, evaluations: 0, largestGradient: 0 };
  const workspace = criterionWorkspace(design);
  const diagonal = diagonalPlaces(design.blocks);
  const degrees = method === "REML" ? design.rows - design.fixedCount : design.rows;
  const slope = (point: Float64Array) => {
    const theta = awayFromZero(point, diagonal, design.unit);
    const solution = solveMixedModel(design, method, theta, workspace);
    if (solution === undefined) return { value: Number.NaN, gradient: new Float64Array(theta.length) };
    const parts = differentiateCriterion(design, method, solution, workspace);
    const gradient = parts.logDeterminants.map(
      (d, k) => d + (degrees * parts.penalizedSquares[k]!) / solution.penalizedSquares,
    );
    const hessian = averageInformation(design, solution);
    // The criterion is even in θ along a diagonal: gradient / θ is the part of its curvature that the average
    // information lacks, and all of it where a variance goes to zero.
    for (const k of diagonal)
      hessian.values[k * (theta.length + 1)]! += Math.max(0, gradient[k]! / theta[k]!);
    return { value: solution.criterion, gradient, hessian };
  };
  let evaluations = 0;
  let from = start;
  for (let round = 0; round < 4; round++) {
    const result = minimizeBounded(slope, from, {
      scale: design.unit.map((u) => 1 / u),
      radius: Math.max(1, ...from.map((value, k) => value * design.unit[k]!)),
      tolerance: 1e-13,
      maximumEvaluations: 100,
    });
    evaluations += result.evaluations;
    if (!result.converged) {
      return unfit(
        "not_converged",
        `largest gradient ${result.largestGradient} after ${evaluations} evaluations`,
      );
    }
    const settled = settle(design, method, result.point, result.value);
    const inward = settled.zeroed.length === 0 ? null : fallsInward(design, settled, slope);
    if (inward === null) {
      return { theta: settled.theta, evaluations, largestGradient: result.largestGradient };
    }
    from = inward;
  }
  return unfit("not_converged", "a variance would not stay at zero");
}

interface Settled {
  readonly theta: Float64Array;
  /** Diagonal places of θ that were put on zero. */
  readonly zeroed: readonly number[];
}

/**
 * The canonical θ: diagonals made positive (T and T with a column's sign turned mean the same) and put on zero where
 * they came close to it and the criterion is no worse for it.
 */
function settle(
  design: LinearMixedDesign,
  method: LikelihoodMethod,
  point: Float64Array,
  value: number,
): Settled {
  const theta = Float64Array.from(point);
  const tried = Float64Array.from(point);
  const zeroed: number[] = [];
  design.blocks.forEach(({ size }, b) => {
    const start = design.layout.start[b]!;
    for (let column = 0; column < size; column++) {
      const at = start + thetaPlace(size, column, column);
      const side = theta[at]! < 0 ? -1 : 1;
      for (let row = column; row < size; row++) {
        const place = start + thetaPlace(size, row, column);
        theta[place]! *= side;
        tried[place] = theta[place]!;
      }
      if (theta[at]! * design.unit[at]! >= NEARLY_ZERO) continue;
      zeroed.push(at);
      tried[at] = 0;
    }
    if (size > 1) makeTriangular(tried, start, size, design.unit);
  });
  if (zeroed.length === 0) return { theta, zeroed };
  const there = solveMixedModel(design, method, tried);
  const noise = 1e-9 + 1e-13 * Math.abs(value);
  return there !== undefined && there.criterion <= value + noise
    ? { theta: tried, zeroed }
    : { theta, zeroed: [] };
}

/**
 * Turns a factor with a zero on its diagonal into the triangular one of the same T T' whose whole column is zero
 * there.
 */
function makeTriangular(theta: Float64Array, start: number, size: number, unit: Float64Array): void {
  const place = (row: number, column: number): number => start + thetaPlace(size, row, column);
  const product = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = 0; k <= j; k++) sum += theta[place(i, k)]! * theta[place(j, k)]!;
      product[i * size + j] = sum;
    }
  }
  for (let j = 0; j < size; j++) {
    let pivot = product[j * size + j]!;
    for (let k = 0; k < j; k++) pivot -= theta[place(j, k)]! ** 2;
    const diagonal = pivot * unit[place(j, j)]! ** 2 > 1e-12 ? Math.sqrt(pivot) : 0;
    theta[place(j, j)] = diagonal;
    for (let i = j + 1; i < size; i++) {
      let sum = product[i * size + j]!;
      for (let k = 0; k < j; k++) sum -= theta[place(i, k)]! * theta[place(j, k)]!;
      theta[place(i, j)] = diagonal === 0 ? 0 : sum / diagonal;
    }
  }
}

/**
 * The criterion is even in a lone relative standard deviation, so zero is always stationary. Where it falls from
 * zero inward the search had stopped at a crest: the point to start again from; else null.
 */
function fallsInward(
  design: LinearMixedDesign,
  settled: Settled,
  slope: (point: Float64Array) => Slope,
): Float64Array | null {
  const probe = Float64Array.from(settled.theta);
  for (const k of settled.zeroed) probe[k] = (10 * NEARLY_ZERO) / design.unit[k]!;
  const { value, gradient } = slope(probe);
  if (!Number.isFinite(value)) return null;
  const falling = settled.zeroed.filter((k) => gradient[k]! < -1e-6 * design.unit[k]!);
  if (falling.length === 0) return null;
  for (const k of settled.zeroed) probe[k] = (falling.includes(k) ? 0.2 : NEARLY_ZERO) / design.unit[k]!;
  return probe;
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
  const rows: Float64Array[] = [];
  const unit = new Float64Array(p);
  for (let k = 0; k < p; k++) {
    unit[k] = 1;
    const onBasis = solveUpperTransposed(upper, unit);
    unit[k] = 0;
    const half = new Float64Array(q + p);
    solveLowerSparse(
      solution.factor,
      Array.from(onBasis, (_, i) => q + i),
      onBasis,
      half,
    );
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
