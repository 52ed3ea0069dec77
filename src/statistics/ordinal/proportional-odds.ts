import { type Curved, minimiseByNewton } from "../generalized-linear/damped-newton.ts";
import { unfit } from "../generalized-linear/linear-model-input.ts";
import { denseCholesky, inverseDense } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, matrixFromColumns, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { dependentColumns, pivotedQr } from "../linear-algebra/pivoted-qr.ts";
import type { SearchRecord, Unfit } from "../verdict.ts";

/**
 * Ordered categories 0 to `categories` − 1 in `outcome`, the covariates in `columns` (no intercept: the thresholds
 * take its place), `weights` counting equal rows (one where left out).
 */
export interface ProportionalOddsInput {
  readonly outcome: Int32Array;
  readonly categories: number;
  readonly names: readonly string[];
  readonly columns: readonly Float64Array[];
  readonly weights?: Float64Array;
}

export interface ProportionalOddsFit {
  readonly verdict: "converged";
  /** ζ_0 < ζ_1 < …, one less than categories. */
  readonly thresholds: Float64Array;
  /** β: a positive one moves the outcome towards the higher categories. */
  readonly coefficients: Float64Array;
  /** Covariance of thresholds and coefficients, in this order. */
  readonly covariance: DenseMatrix;
  readonly thresholdStandardErrors: Float64Array;
  readonly standardErrors: Float64Array;
  readonly logLikelihood: number;
  readonly search: SearchRecord;
}

/**
 * Proportional odds: logit P(Y ≤ k) = ζ_k − x'β (McCullagh 1980, J. R. Stat. Soc. B 42:109-142), by Newton's method
 * on the log-likelihood, which is concave (Pratt 1981, J. Am. Stat. Assoc. 76:103-106). Named conditions: no rows,
 * one category only, an empty category, rank deficiency, separation.
 */
export function fitProportionalOdds(input: ProportionalOddsInput): ProportionalOddsFit | Unfit {
  const trouble = whyNot(input);
  if (trouble !== null) return trouble;
  const start = startingPoint(input);
  let separated = false;
  const result = minimiseByNewton((point) => objective(input, point), start, {
    tolerance: 1e-18,
    abandon: (_point, step) => {
      separated = step.some((s) => Math.abs(s) > 0.1) && separates(input, step);
      return separated;
    },
  });
  if (separated) return unfit("perfect_separation", input.names.join(", "));
  if (result === null || !result.converged) return unfit("not_converged", "proportional odds likelihood");
  const factor = denseCholesky(result.state.hessian);
  if (!factor.positiveDefinite) return unfit("not_identified", "flat likelihood", "flat");
  const covariance = inverseDense(factor);
  const order = covariance.rows;
  const errors = Float64Array.from({ length: order }, (_, j) => Math.sqrt(covariance.values[j * order + j]));
  const cuts = input.categories - 1;
  return {
    verdict: "converged",
    thresholds: result.point.slice(0, cuts),
    coefficients: result.point.slice(cuts),
    covariance,
    thresholdStandardErrors: errors.slice(0, cuts),
    standardErrors: errors.slice(cuts),
    logLikelihood: -result.state.value,
    search: {
      start: Array.from(start),
      end: Array.from(result.point),
      objective: result.state.value,
      evaluations: result.evaluations,
      largestGradient: result.state.gradient.reduce((largest, g) => Math.max(largest, Math.abs(g)), 0),
    },
  };
}

/** Probability of each category (columns) at each row of `columns`. */
export function predictProportionalOdds(
  fit: ProportionalOddsFit,
  columns: readonly Float64Array[],
): DenseMatrix {
  const rows = columns[0]?.length ?? 0;
  const cuts = fit.thresholds.length;
  const result = zeroMatrix(rows, cuts + 1);
  for (let i = 0; i < rows; i++) {
    let eta = 0;
    columns.forEach((column, j) => {
      eta += column[i] * fit.coefficients[j];
    });
    for (let k = 0; k <= cuts; k++) {
      const upper = k < cuts ? fit.thresholds[k] - eta : Number.POSITIVE_INFINITY;
      const lower = k > 0 ? fit.thresholds[k - 1] - eta : Number.NEGATIVE_INFINITY;
      result.values[i * (cuts + 1) + k] = Math.exp(logProbability(upper, lower));
    }
  }
  return result;
}

function whyNot(input: ProportionalOddsInput): Unfit | null {
  const { outcome, categories, columns, names } = input;
  const rows = outcome.length;
  const weights = weightsOf(input);
  if (rows === 0) return unfit("no_rows", "no rows");
  if (names.length !== columns.length) return unfit("invalid_input", "one name a column");
  for (const [name, array] of [
    ["weights", weights] as const,
    ...columns.map((c, j) => [names[j], c] as const),
  ]) {
    if (array.length !== rows) return unfit("invalid_input", `${name} has ${array.length} of ${rows} rows`);
    if (!array.every(Number.isFinite)) return unfit("invalid_input", `${name} has a value that is no number`);
  }
  if (weights.some((w) => w < 0)) return unfit("invalid_input", "negative weight");
  if (outcome.some((y) => y < 0 || y >= categories)) return unfit("invalid_input", "category out of range");
  const sizes = categorySizes(input);
  if (sizes.filter((size) => size > 0).length < 2) return unfit("constant_outcome", "one category only");
  const empty = sizes.indexOf(0);
  if (empty >= 0) return unfit("not_identified", `no row in category ${empty}`, "flat");
  const design = matrixFromColumns([new Float64Array(rows).fill(1), ...columns]);
  const qr = pivotedQr(design);
  if (qr.rank < design.columns && rows > qr.rank) {
    return unfit(
      "rank_deficient",
      dependentColumns(qr)
        .map((j) => names[j - 1])
        .join(", "),
    );
  }
  if (rows < design.columns) return unfit("too_few_rows", `${rows} rows for ${columns.length} columns`);
  return null;
}

function weightsOf(input: ProportionalOddsInput): Float64Array {
  return input.weights ?? new Float64Array(input.outcome.length).fill(1);
}

function categorySizes(input: ProportionalOddsInput): number[] {
  const sizes = new Array<number>(input.categories).fill(0);
  const weights = weightsOf(input);
  input.outcome.forEach((y, i) => {
    sizes[y] += weights[i];
  });
  return sizes;
}

/** The thresholds of the overall shares, no effect of any covariate. */
function startingPoint(input: ProportionalOddsInput): Float64Array {
  const sizes = categorySizes(input);
  const total = sizes.reduce((sum, size) => sum + size, 0);
  const point = new Float64Array(input.categories - 1 + input.columns.length);
  let below = 0;
  for (let k = 0; k < input.categories - 1; k++) {
    below += sizes[k];
    point[k] = Math.log(below / (total - below));
  }
  return point;
}

/** log(F(upper) − F(lower)) for the logistic F, without cancellation: F(a)(1 − F(b))(1 − exp(b − a)). */
function logProbability(upper: number, lower: number): number {
  return -Math.log1p(Math.exp(-upper)) - Math.log1p(Math.exp(lower)) + Math.log(-Math.expm1(lower - upper));
}

function objective(input: ProportionalOddsInput, point: Float64Array): Curved | null {
  const { outcome, categories, columns } = input;
  const weights = weightsOf(input);
  const cuts = categories - 1;
  const order = point.length;
  const gradient = new Float64Array(order);
  const hessian = zeroMatrix(order, order);
  const h = hessian.values;
  let value = 0;
  for (let i = 0; i < outcome.length; i++) {
    const k = outcome[i];
    const w = weights[i];
    if (w === 0) continue;
    let eta = 0;
    for (let j = 0; j < columns.length; j++) eta += columns[j][i] * point[cuts + j];
    const upper = k < cuts ? point[k] - eta : Number.POSITIVE_INFINITY;
    const lower = k > 0 ? point[k - 1] - eta : Number.NEGATIVE_INFINITY;
    if (!(upper > lower)) return null;
    const row = rowDerivatives(upper, lower);
    value -= w * logProbability(upper, lower);
    const etaSlope = -(row.byUpper + row.byLower);
    const upperEta = -(row.upperUpper + row.upperLower);
    const lowerEta = -(row.lowerLower + row.upperLower);
    const etaEta = -(upperEta + lowerEta);
    if (k < cuts) {
      gradient[k] -= w * row.byUpper;
      h[k * order + k] -= w * row.upperUpper;
    }
    if (k > 0) {
      gradient[k - 1] -= w * row.byLower;
      h[(k - 1) * order + k - 1] -= w * row.lowerLower;
    }
    if (k > 0 && k < cuts) h[k * order + k - 1] -= w * row.upperLower;
    for (let j = 0; j < columns.length; j++) {
      const x = w * columns[j][i];
      const at = (cuts + j) * order;
      gradient[cuts + j] -= x * etaSlope;
      if (k < cuts) h[at + k] -= x * upperEta;
      if (k > 0) h[at + k - 1] -= x * lowerEta;
      for (let l = 0; l <= j; l++) h[at + cuts + l] -= x * etaEta * columns[l][i];
    }
  }
  for (let j = 0; j < order; j++) {
    for (let k = 0; k < j; k++) h[k * order + j] = h[j * order + k];
  }
  return Number.isFinite(value) ? { value, gradient, hessian } : null;
}

/** First and second derivatives of log(F(upper) − F(lower)). */
function rowDerivatives(upper: number, lower: number) {
  const gap = upper - lower;
  const open = Number.isFinite(gap) ? 1 / Math.expm1(gap) : 0;
  const bend = open * (1 + open);
  const above = 1 / (1 + Math.exp(upper));
  const below = 1 / (1 + Math.exp(-lower));
  return {
    byUpper: above + open,
    byLower: -below - open,
    upperUpper: -above * (1 - above) - bend,
    lowerLower: -below * (1 - below) - bend,
    upperLower: bend,
  };
}

/** Whether no row's probability falls along `step`: then the likelihood has no maximum. */
function separates(input: ProportionalOddsInput, step: Float64Array): boolean {
  const { outcome, categories, columns } = input;
  const weights = weightsOf(input);
  const cuts = categories - 1;
  const largest = step.reduce((most, s) => Math.max(most, Math.abs(s)), 0);
  const slack = 1e-5 * largest;
  for (let i = 0; i < outcome.length; i++) {
    if (weights[i] === 0) continue;
    let eta = 0;
    for (let j = 0; j < columns.length; j++) eta += columns[j][i] * step[cuts + j];
    const k = outcome[i];
    if (k < cuts && step[k] - eta < -slack) return false;
    if (k > 0 && step[k - 1] - eta > slack) return false;
  }
  return true;
}
