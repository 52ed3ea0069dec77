import {
  type DenseFactor,
  denseCholesky,
  inverseDense,
  solveDense,
} from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { SearchRecord, Unfit } from "../verdict.ts";
import { dispersions, links, meanArrays } from "./family.ts";
import {
  type GeneralizedLinearInput,
  type LinearModelData,
  logLikelihoodConstant,
  parseLinearModel,
  unfit,
} from "./linear-model-input.ts";
import { separates } from "./separation.ts";

export interface LinearModelOptions {
  /** Where the dispersion comes from: the family (gaussian excepted, it is always estimated) or Pearson's χ²/df. */
  readonly dispersion?: "family" | "pearson";
  /** Converged when the score's squared length, in standard errors, is below this share of the log-likelihood. */
  readonly tolerance?: number;
}

/** A fitted generalized linear model. Arrays run over coefficients, or over rows where so said. */
export interface GeneralizedLinearFit {
  readonly verdict: "converged";
  readonly data: LinearModelData;
  readonly coefficients: Float64Array;
  /** Model-based covariance: dispersion · (X'WX)⁻¹. */
  readonly covariance: DenseMatrix;
  readonly standardErrors: Float64Array;
  readonly dispersion: number;
  /** With its constant in the data; gaussian at the maximum-likelihood variance. */
  readonly logLikelihood: number;
  readonly deviance: number;
  readonly pearsonChiSquare: number;
  readonly residualDegreesOfFreedom: number;
  /** Fitted means by row: probability, rate per unit of exposure, or mean. */
  readonly fitted: Float64Array;
  readonly linearPredictor: Float64Array;
  /** Working weights by row (prior weights included), so that X'WX is the expected information. */
  readonly workingWeights: Float64Array;
  /** Score by row: ∂ℓ/∂η. */
  readonly rowScores: Float64Array;
  readonly search: SearchRecord;
}

/**
 * Maximum likelihood by iteratively reweighted least squares with step halving (McCullagh & Nelder 1989,
 * Generalized Linear Models, 2nd ed., section 2.5). Named conditions instead of estimates: no rows, too few rows,
 * rank deficiency, an outcome without contrast, separation, no convergence.
 */
export function fitGeneralizedLinearModel(
  input: GeneralizedLinearInput,
  options: LinearModelOptions = {},
): GeneralizedLinearFit | Unfit {
  const data = parseLinearModel(input);
  return "verdict" in data ? data : runGeneralizedLinearModel(data, options);
}

/** The fit on parsed data. */
export function runGeneralizedLinearModel(
  data: LinearModelData,
  options: LinearModelOptions = {},
): GeneralizedLinearFit | Unfit {
  const start = startingCoefficients(data);
  if (start === null) return unfit("not_converged", "no starting value inside the parameter space");
  let state = evaluate(data, start)!;
  let evaluations = 1;
  const tolerance = options.tolerance ?? 1e-22;
  for (let iteration = 0; iteration < MAX_ITERATIONS; iteration++) {
    const factor = denseCholesky(state.information);
    if (!factor.positiveDefinite) {
      return unfit("not_identified", data.names[factor.failedColumn], "flat");
    }
    const step = solveDense(factor, state.gradient);
    if (iteration >= 3 && largestChange(data, step) > 0.1 && separates(data, step)) {
      return unfit("perfect_separation", separatingNames(data, step));
    }
    if (decrement(step, state.gradient) < tolerance * (1 + Math.abs(state.kernel))) {
      return finish(data, state, factor, options, { start, evaluations });
    }
    const next = halveUntilBetter(data, state, step);
    evaluations += next.tried;
    if (next.state === null) {
      const nearlyThere = decrement(step, state.gradient) < 1e-9;
      return nearlyThere
        ? finish(data, state, factor, options, { start, evaluations })
        : unfit("not_converged", "no step raises the likelihood");
    }
    state = next.state;
  }
  return unfit("not_converged", `${MAX_ITERATIONS} iterations`);
}

/** Linear predictors at new rows with their standard errors under `covariance`, and the means. */
export function predictLinearModel(
  fit: GeneralizedLinearFit,
  columns: readonly Float64Array[],
  offset?: Float64Array,
  covariance: DenseMatrix = fit.covariance,
): { linearPredictor: Float64Array; linearStandardErrors: Float64Array; mean: Float64Array } {
  const rows = columns[0]?.length ?? 0;
  const link = links[fit.data.family.link];
  const linearPredictor = new Float64Array(rows);
  const linearStandardErrors = new Float64Array(rows);
  const p = columns.length;
  for (let i = 0; i < rows; i++) {
    let eta = offset?.[i] ?? 0;
    let variance = 0;
    for (let j = 0; j < p; j++) {
      eta += columns[j][i] * fit.coefficients[j];
      for (let k = 0; k < p; k++) variance += columns[j][i] * covariance.values[j * p + k] * columns[k][i];
    }
    linearPredictor[i] = eta;
    linearStandardErrors[i] = Math.sqrt(variance);
  }
  return { linearPredictor, linearStandardErrors, mean: linearPredictor.map(link.mean) };
}

const MAX_ITERATIONS = 60;

interface State {
  readonly coefficients: Float64Array;
  readonly eta: Float64Array;
  readonly mean: Float64Array;
  readonly complement: Float64Array;
  readonly kernel: number;
  readonly gradient: Float64Array;
  readonly information: DenseMatrix;
  readonly weights: Float64Array;
  readonly scores: Float64Array;
}

/** Likelihood, score and expected information; null outside the parameter space. */
function evaluate(data: LinearModelData, coefficients: Float64Array): State | null {
  const { design, outcome, trials, offset, priorWeights, family } = data;
  const { rows, columns: p, values } = design;
  const dispersion = dispersions[family.distribution];
  const eta = new Float64Array(rows);
  for (let i = 0; i < rows; i++) {
    let sum = offset[i];
    for (let j = 0; j < p; j++) sum += values[i * p + j] * coefficients[j];
    eta[i] = sum;
  }
  const { mean, complement, slope } = meanArrays(rows);
  links[family.link].fill(eta, { mean, complement, slope });
  const weights = new Float64Array(rows);
  const scores = new Float64Array(rows);
  const gradient = new Float64Array(p);
  const information = zeroMatrix(p, p);
  const lower = information.values;
  let kernel = 0;
  for (let i = 0; i < rows; i++) {
    if (!dispersion.allows(mean[i], complement[i])) return null;
    const scoreFactor = slope[i] / dispersion.variance(mean[i], complement[i]);
    const score = priorWeights[i] * (outcome[i] - trials[i] * mean[i]) * scoreFactor;
    const weight = priorWeights[i] * trials[i] * slope[i] * scoreFactor;
    scores[i] = score;
    weights[i] = weight;
    kernel += priorWeights[i] * dispersion.kernel(outcome[i], trials[i], mean[i], complement[i]);
    const at = i * p;
    for (let j = 0; j < p; j++) {
      const x = values[at + j];
      gradient[j] += score * x;
      const wx = weight * x;
      for (let k = 0; k <= j; k++) lower[j * p + k] += wx * values[at + k];
    }
  }
  if (!Number.isFinite(kernel)) return null;
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < j; k++) information.values[k * p + j] = information.values[j * p + k];
  }
  return { coefficients, eta, mean, complement, kernel, gradient, information, weights, scores };
}

/**
 * Least squares of the linked, slightly shrunk outcomes; where that leaves the parameter space, the flattest
 * coefficients inside it (the overall mean on every row).
 */
function startingCoefficients(data: LinearModelData): Float64Array | null {
  const { outcome, trials, priorWeights, family } = data;
  const link = links[family.link];
  let total = 0;
  let size = 0;
  for (let i = 0; i < outcome.length; i++) {
    total += priorWeights[i] * outcome[i];
    size += priorWeights[i] * trials[i];
  }
  const overall = total / size;
  const shrunk = outcome.map((y, i) => {
    if (family.distribution === "binomial") return (y + 0.5) / (trials[i] + 1);
    if (family.distribution === "poisson") return (y + 0.1) / trials[i];
    return family.link === "log" ? Math.max(y, overall * 0.1) : y;
  });
  for (const target of [shrunk, new Float64Array(outcome.length).fill(overall)]) {
    const coefficients = weightedLeastSquares(data, target.map(link.predictor));
    if (coefficients?.every(Number.isFinite) && evaluate(data, coefficients) !== null) return coefficients;
  }
  return null;
}

function weightedLeastSquares(data: LinearModelData, target: Float64Array): Float64Array | null {
  const { design, offset, priorWeights } = data;
  const { rows, columns: p, values } = design;
  const gram = zeroMatrix(p, p);
  const right = new Float64Array(p);
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < p; j++) {
      const x = priorWeights[i] * values[i * p + j];
      right[j] += x * (target[i] - offset[i]);
      for (let k = 0; k <= j; k++) gram.values[j * p + k] += x * values[i * p + k];
    }
  }
  const factor = denseCholesky(gram);
  return factor.positiveDefinite ? solveDense(factor, right) : null;
}

function halveUntilBetter(
  data: LinearModelData,
  state: State,
  step: Float64Array,
): { state: State | null; tried: number } {
  let share = 1;
  for (let tried = 1; tried <= 40; tried++) {
    const at = state.coefficients.map((b, j) => b + share * step[j]);
    const next = evaluate(data, at);
    if (next !== null && next.kernel >= state.kernel - 1e-12 * Math.abs(state.kernel)) {
      return { state: next, tried };
    }
    share /= 2;
  }
  return { state: null, tried: 40 };
}

function decrement(step: Float64Array, gradient: Float64Array): number {
  return step.reduce((sum, s, j) => sum + s * gradient[j], 0);
}

function largestChange(data: LinearModelData, step: Float64Array): number {
  const { rows, columns: p, values } = data.design;
  let largest = 0;
  for (let i = 0; i < rows; i++) {
    let sum = 0;
    for (let j = 0; j < p; j++) sum += values[i * p + j] * step[j];
    largest = Math.max(largest, Math.abs(sum));
  }
  return largest;
}

function separatingNames(data: LinearModelData, step: Float64Array): string {
  const largest = step.reduce((sum, s) => Math.max(sum, Math.abs(s)), 0);
  return data.names.filter((_, j) => Math.abs(step[j]) > 1e-3 * largest).join(", ");
}

function finish(
  data: LinearModelData,
  state: State,
  factor: DenseFactor,
  options: LinearModelOptions,
  way: { start: Float64Array; evaluations: number },
): GeneralizedLinearFit {
  const { outcome, trials, priorWeights, family } = data;
  const dispersionOf = dispersions[family.distribution];
  let deviance = 0;
  let pearsonChiSquare = 0;
  let used = 0;
  let logWeights = 0;
  for (let i = 0; i < outcome.length; i++) {
    if (priorWeights[i] === 0 || trials[i] === 0) continue;
    used += 1;
    logWeights += Math.log(priorWeights[i]);
    const mu = state.mean[i];
    const complement = state.complement[i];
    deviance += priorWeights[i] * dispersionOf.deviance(outcome[i], trials[i], mu, complement);
    const variance = trials[i] * dispersionOf.variance(mu, complement);
    pearsonChiSquare += (priorWeights[i] * (outcome[i] - trials[i] * mu) ** 2) / variance;
  }
  const residualDegreesOfFreedom = used - data.design.columns;
  const gaussian = family.distribution === "gaussian";
  const estimated = gaussian || options.dispersion === "pearson";
  const dispersion = estimated ? pearsonChiSquare / residualDegreesOfFreedom : 1;
  const inverse = inverseDense(factor);
  const covariance = { ...inverse, values: inverse.values.map((v) => v * dispersion) };
  const p = data.design.columns;
  return {
    verdict: "converged",
    data,
    coefficients: state.coefficients,
    covariance,
    standardErrors: Float64Array.from({ length: p }, (_, j) => Math.sqrt(covariance.values[j * p + j])),
    dispersion,
    logLikelihood: gaussian
      ? 0.5 * logWeights - (used / 2) * (Math.log((2 * Math.PI * deviance) / used) + 1)
      : state.kernel + logLikelihoodConstant(data),
    deviance,
    pearsonChiSquare,
    residualDegreesOfFreedom,
    fitted: state.mean,
    linearPredictor: state.eta,
    workingWeights: state.weights,
    rowScores: state.scores,
    search: {
      start: Array.from(way.start),
      end: Array.from(state.coefficients),
      objective: -state.kernel,
      evaluations: way.evaluations,
      largestGradient: state.gradient.reduce((largest, g) => Math.max(largest, Math.abs(g)), 0),
    },
  };
}
