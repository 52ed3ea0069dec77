import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import {
  inverseOnPattern,
  type SelectedInverse,
  selectedInverse,
} from "../linear-algebra/selected-inverse.ts";
import { factorize, logDeterminant, type SparseFactor, solve } from "../linear-algebra/sparse-cholesky.ts";
import { type SymbolicFactor, symbolicCholesky } from "../linear-algebra/symbolic-cholesky.ts";
import {
  coefficientValues,
  effectScale,
  type MixedModelEquations,
  precisionForm,
  precisionTrace,
  rightHandSide,
} from "./mixed-model-equations.ts";
import { designProduct } from "./sparse-design.ts";

/** A Gaussian mixed model with its data: record r has residual variance (residual variance) / weights[r]. */
export interface GaussianModel {
  readonly equations: MixedModelEquations;
  readonly y: Float64Array;
  readonly weights: Float64Array;
  readonly symbolic: SymbolicFactor;
  readonly crossValues: Float64Array;
  readonly rightHandSide: Float64Array;
  /** Parts of -2 log-likelihood that no variance changes: -log|weights| - log|precisions|. */
  readonly constant: number;
}

/** Cross-products and the symbolic factor, once for all variances; `pivotOrder` if one is known already. */
export function gaussianModel(
  equations: MixedModelEquations,
  y: Float64Array,
  weights: Float64Array,
  pivotOrder?: Int32Array,
): GaussianModel {
  let constant = 0;
  for (const w of weights) constant -= Math.log(w);
  for (const term of equations.terms) constant -= term.logDeterminant ?? 0;
  return {
    equations,
    y,
    weights,
    symbolic: symbolicCholesky(
      equations.product.pattern,
      pivotOrder === undefined ? { last: equations.fixedCount } : { pivotOrder },
    ),
    crossValues: equations.product.values(weights),
    rightHandSide: rightHandSide(equations, weights, y),
    constant,
  };
}

/** The mixed-model equations solved at given ratios (each term's sd over the residual sd). */
export interface EquationsSolution {
  readonly ratios: Float64Array;
  readonly scale: Float64Array;
  readonly factor: SparseFactor;
  /** Effects on the scale of their ratio: multiply by `scale` for the units of y. */
  readonly standardized: Float64Array;
  readonly residuals: Float64Array;
  /** v'Kv of each term on that scale. */
  readonly forms: Float64Array;
  /** Generalized residual sum of squares y'Py at residual variance 1. */
  readonly sumOfSquares: number;
  readonly logDeterminant: number;
}

/** Undefined where the equations are not positive definite (dependent fixed effects). */
export function solveEquations(model: GaussianModel, ratios: Float64Array): EquationsSolution | undefined {
  const { equations } = model;
  const scale = effectScale(equations, ratios);
  const factor = factorize(model.symbolic, coefficientValues(equations, model.crossValues, scale));
  if (!factor.positiveDefinite) return undefined;
  const standardized = solve(factor, elementwiseProduct(model.rightHandSide, scale));
  const residuals = designProduct(equations.design, elementwiseProduct(standardized, scale));
  for (let r = 0; r < residuals.length; r++) residuals[r] = model.y[r] - residuals[r];
  const forms = Float64Array.from(equations.terms, (_, k) => precisionForm(equations, k, standardized));
  let sumOfSquares = 0;
  for (let r = 0; r < residuals.length; r++) sumOfSquares += model.weights[r] * residuals[r] ** 2;
  for (const form of forms) sumOfSquares += form;
  return {
    ratios,
    scale,
    factor,
    standardized,
    residuals,
    forms,
    sumOfSquares,
    logDeterminant: logDeterminant(factor),
  };
}

/**
 * The restricted log-likelihood, constants included: with N records and p fixed effects,
 * -2 l = (N - p) log(2 pi) + log|V| + log|X'V^-1 X| + y'Py (Patterson & Thompson 1971, Biometrika 58:545-554).
 */
export function restrictedLogLikelihood(
  model: GaussianModel,
  solution: EquationsSolution,
  residualVariance: number,
): number {
  const freedom = model.y.length - model.equations.fixedCount;
  return (
    -0.5 *
    (freedom * (Math.log(2 * Math.PI) + Math.log(residualVariance)) +
      solution.logDeterminant +
      model.constant +
      solution.sumOfSquares / residualVariance)
  );
}

/** Slope and curvature of the restricted likelihood in the variances, residual last. */
export interface Information {
  readonly score: Float64Array;
  readonly average: DenseMatrix;
  readonly selected: SelectedInverse;
}

/**
 * Scores from the selected inverse and the average information matrix
 * (Gilmour, Thompson & Cullis 1995, Biometrics 51:1440-1450). Entries of terms at ratio zero are NaN in the
 * score and zero in the matrix.
 */
export function information(
  model: GaussianModel,
  solution: EquationsSolution,
  residualVariance: number,
): Information {
  const { equations, weights } = model;
  const count = equations.terms.length;
  const selected = selectedInverse(solution.factor);
  const inverse = inverseOnPattern(selected, equations.product.pattern).values;
  const score = new Float64Array(count + 1).fill(Number.NaN);
  let effective = equations.design.columns;
  for (let k = 0; k < count; k++) {
    const trace = precisionTrace(equations, k, inverse);
    effective -= trace;
    const variance = solution.ratios[k] ** 2 * residualVariance;
    if (variance === 0) continue;
    const rank = equations.terms[k].design.columns;
    score[k] = (-0.5 * (rank - trace - solution.forms[k] / residualVariance)) / variance;
  }
  let residualForm = 0;
  for (let r = 0; r < weights.length; r++) residualForm += weights[r] * solution.residuals[r] ** 2;
  score[count] = (-0.5 * (weights.length - effective - residualForm / residualVariance)) / residualVariance;
  return { score, average: averageInformation(model, solution, residualVariance), selected };
}

function averageInformation(
  model: GaussianModel,
  solution: EquationsSolution,
  residualVariance: number,
): DenseMatrix {
  const { equations, weights } = model;
  const count = equations.terms.length;
  const working = Array.from({ length: count + 1 }, (_, k) => workingVariate(model, solution, k));
  const loaded = working.map((variate) =>
    variate === undefined
      ? undefined
      : elementwiseProduct(rightHandSide(equations, weights, variate), solution.scale),
  );
  const solved = loaded.map((load) => (load === undefined ? undefined : solve(solution.factor, load)));
  const average = zeroMatrix(count + 1, count + 1);
  for (let j = 0; j <= count; j++) {
    for (let k = 0; k <= j; k++) {
      const first = working[j];
      const second = working[k];
      const load = loaded[j];
      const answer = solved[k];
      if (first === undefined || second === undefined || load === undefined || answer === undefined) continue;
      let sum = 0;
      for (let r = 0; r < weights.length; r++) sum += weights[r] * first[r] * second[r];
      for (let i = 0; i < load.length; i++) sum -= load[i] * answer[i];
      const value = sum / (2 * residualVariance ** 3);
      average.values[j * (count + 1) + k] = value;
      average.values[k * (count + 1) + j] = value;
    }
  }
  return average;
}

/** (dV/d variance_k) P y times the residual variance. */
function workingVariate(
  model: GaussianModel,
  solution: EquationsSolution,
  k: number,
): Float64Array | undefined {
  const { equations } = model;
  if (k === equations.terms.length) return solution.residuals;
  if (solution.ratios[k] === 0) return undefined;
  const effects = new Float64Array(equations.design.columns);
  for (let i = equations.termStart[k]; i < equations.termStart[k + 1]; i++) {
    effects[i] = solution.standardized[i] / solution.ratios[k];
  }
  return designProduct(equations.design, effects);
}

function elementwiseProduct(a: Float64Array, b: Float64Array): Float64Array {
  const product = new Float64Array(a.length);
  for (let i = 0; i < a.length; i++) product[i] = a[i] * b[i];
  return product;
}
