import { minimiseByNewton } from "../generalized-linear/damped-newton.ts";
import {
  type DenseFactor,
  denseCholesky,
  inverseDense,
  solveDense,
} from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { SearchRecord, Unfit } from "../verdict.ts";
import { type AftData, type AftInput, aftObjective, parameterCount, parseAft } from "./aft-likelihood.ts";
import { unfit } from "./censored-times.ts";
import { errorLaws } from "./error-law.ts";

/** Above this many rows the search starts from the fit of a part of them. */
const ROWS_FOR_A_FIRST_PASS = 50_000;
const FIRST_PASS_ROWS = 10_000;
/** A scale this far below the spread of the log times is running to zero. */
const SMALLEST_LOG_SCALE = -18;

/** A fitted accelerated failure time model. */
export interface AftFit {
  readonly verdict: "converged";
  readonly data: AftData;
  readonly coefficients: Float64Array;
  /** σ; 1 for the exponential. A Weibull's shape is 1/σ. */
  readonly scale: number;
  /** Inverse observed information of (β, ln σ); without ln σ for the exponential. */
  readonly covariance: DenseMatrix;
  readonly standardErrors: Float64Array;
  readonly logLikelihood: number;
  readonly parameters: number;
  readonly aic: number;
  /** Rows with weight, and those of them whose event was bounded above. */
  readonly rows: number;
  readonly events: number;
  readonly search: SearchRecord;
}

/**
 * Accelerated failure time model ln T = x'β + σ·error by maximum likelihood for exact, left-, right- and
 * interval-censored times (Kalbfleisch & Prentice 2002, The Statistical Analysis of Failure Time Data, chapter 3);
 * Newton's method with exact derivatives.
 */
export function acceleratedFailureTime(input: AftInput): AftFit | Unfit {
  const data = parseAft(input);
  return "verdict" in data ? data : runAcceleratedFailureTime(data);
}

/** The same on checked data. */
export function runAcceleratedFailureTime(data: AftData): AftFit | Unfit {
  const trouble = whyNot(data);
  if (trouble !== null) return trouble;
  const start = startingPoint(data);
  if ("verdict" in start) return start;
  const result = minimiseByNewton((point) => aftObjective(data, point), start, {
    maxIterations: 100,
    abandon: (point) => parameterCount(data) > data.width && point[data.width] < SMALLEST_LOG_SCALE,
  });
  if (result === null) return unfit("not_converged", "the likelihood cannot be computed at the start");
  const { point, state, evaluations, lastStep } = result;
  const free = parameterCount(data) > data.width;
  if (free && point[data.width] < SMALLEST_LOG_SCALE) {
    return unfit("constant_outcome", "the scale runs to zero: the rows leave no spread");
  }
  // Where a coefficient runs away the likelihood flattens, but the steps do not shrink.
  const runaway = Array.from(lastStep.keys()).find((j) => {
    const size = j === data.width ? 1 : typicalSize(data, j) / Math.exp(free ? point[data.width] : 0);
    return Math.abs(lastStep[j]) * size > 1e-3;
  });
  if (runaway !== undefined) {
    if (runaway === data.width)
      return unfit("not_identified", "one time fits every row: the scale has no bound");
    return unfit("perfect_separation", `${data.names[runaway]} has no finite estimate`);
  }
  const factor = denseCholesky(state.hessian, 1e-13);
  if (!result.converged || !factor.positiveDefinite) {
    return unfit("not_converged", `after ${evaluations} evaluations`);
  }
  const covariance = inverseDense(factor);
  const parameters = parameterCount(data);
  return {
    verdict: "converged",
    data,
    coefficients: point.slice(0, data.width),
    scale: free ? Math.exp(point[data.width]) : 1,
    covariance,
    standardErrors: Float64Array.from({ length: parameters }, (_, j) => {
      return Math.sqrt(covariance.values[j * parameters + j]);
    }),
    logLikelihood: -state.value,
    parameters,
    aic: 2 * state.value + 2 * parameters,
    rows: data.weights.reduce((count, weight) => count + (weight > 0 ? 1 : 0), 0),
    events: data.upper.reduce((count, end, i) => count + (end < Infinity && data.weights[i] > 0 ? 1 : 0), 0),
    search: {
      start: Array.from(start),
      end: Array.from(point),
      objective: state.value,
      evaluations,
      largestGradient: state.gradient.reduce((most, g) => Math.max(most, Math.abs(g)), 0),
    },
  };
}

function whyNot(data: AftData): Unfit | null {
  const { rows, lower, upper, weights } = data;
  let counted = 0;
  let bounded = false;
  let fromBelow = false;
  for (let i = 0; i < rows; i++) {
    if (weights[i] === 0) continue;
    counted++;
    if (upper[i] < Infinity) bounded = true;
    if (lower[i] > -Infinity) fromBelow = true;
  }
  if (counted === 0) return unfit("no_rows", "no row has weight");
  if (!bounded) return unfit("all_censored", "no event time is bounded above", "flat");
  if (!fromBelow) return unfit("all_censored", "no event time is bounded below", "flat");
  if (counted < parameterCount(data)) {
    return unfit("too_few_rows", `${counted} rows for ${parameterCount(data)} parameters`);
  }
  return null;
}

/** Least squares on the middle of each row's log time, or the fit of a part of the rows where there are many. */
function startingPoint(data: AftData): Float64Array | Unfit {
  const { width } = data;
  const gram = designGram(data);
  const factor = denseCholesky(gram, 1e-11);
  if (!factor.positiveDefinite) return unfit("rank_deficient", data.names[factor.failedColumn]);
  if (data.rows > ROWS_FOR_A_FIRST_PASS) {
    const part = everyNth(data, Math.floor(data.rows / FIRST_PASS_ROWS));
    const first = runAcceleratedFailureTime(part);
    if (first.verdict === "converged") return Float64Array.from(first.search.end);
  }
  const guess = leastSquaresGuess(data, factor);
  return parameterCount(data) > width ? guess : guess.slice(0, width);
}

function designGram({ rows, width, design, weights }: AftData): DenseMatrix {
  const gram = zeroMatrix(width, width);
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < width; j++) {
      const x = weights[i] * design[i * width + j];
      for (let k = 0; k <= j; k++) gram.values[j * width + k] += x * design[i * width + k];
    }
  }
  return gram;
}

function leastSquaresGuess(data: AftData, factor: DenseFactor): Float64Array {
  const { rows, width, design, weights } = data;
  const law = errorLaws[data.distribution];
  const right = new Float64Array(width);
  for (let i = 0; i < rows; i++) {
    const y = weights[i] * middle(data, i);
    for (let j = 0; j < width; j++) right[j] += design[i * width + j] * y;
  }
  const beta = solveDense(factor, right);
  let squares = 0;
  let total = 0;
  for (let i = 0; i < rows; i++) {
    let residual = middle(data, i);
    for (let j = 0; j < width; j++) residual -= design[i * width + j] * beta[j];
    squares += weights[i] * residual * residual;
    total += weights[i];
  }
  const scale = Math.max(0.05, Math.sqrt(squares / total) / law.sd);
  return Float64Array.of(...beta, Math.log(scale));
}

/** ln of a plausible time of row i. */
function middle({ lower, upper }: AftData, i: number): number {
  if (upper[i] === Infinity) return lower[i] === -Infinity ? 0 : lower[i] + 0.3;
  if (lower[i] === -Infinity) return upper[i] - 0.7;
  return 0.5 * (lower[i] + upper[i]);
}

function everyNth(data: AftData, step: number): AftData {
  const rows = Math.ceil(data.rows / step);
  const { width } = data;
  const design = new Float64Array(rows * width);
  for (let i = 0; i < rows; i++) {
    design.set(data.design.subarray(i * step * width, (i * step + 1) * width), i * width);
  }
  const take = (column: Float64Array) => Float64Array.from({ length: rows }, (_, i) => column[i * step]);
  return {
    ...data,
    rows,
    design,
    lower: take(data.lower),
    upper: take(data.upper),
    weights: take(data.weights),
  };
}

/** Root mean square of a column. */
function typicalSize({ rows, width, design }: AftData, j: number): number {
  let sum = 0;
  for (let i = 0; i < rows; i++) sum += design[i * width + j] ** 2;
  return Math.sqrt(sum / rows);
}
