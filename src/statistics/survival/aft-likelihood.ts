import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { Unfit } from "../verdict.ts";
import { type CensoredTimesInput, parseCensoredTimes, unfit } from "./censored-times.ts";
import { type AftDistribution, type ErrorLaw, errorLaws } from "./error-law.ts";

/**
 * Data of an accelerated failure time model: censored times, and the covariates by column (an intercept is a
 * column of ones).
 */
export interface AftInput extends CensoredTimesInput {
  readonly distribution: AftDistribution;
  readonly names: readonly string[];
  readonly columns: readonly ArrayLike<number>[];
}

/** The same checked and laid out for the likelihood; times are in logarithms, design row by row. */
export interface AftData {
  readonly distribution: AftDistribution;
  readonly names: readonly string[];
  readonly rows: number;
  readonly width: number;
  readonly design: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  readonly weights: Float64Array;
}

/** Minus the log-likelihood at (β, ln σ), with its exact gradient and Hessian; ln σ is absent for the exponential. */
export interface AftObjective {
  readonly value: number;
  readonly gradient: Float64Array;
  readonly hessian: DenseMatrix;
}

export function parseAft(input: AftInput): AftData | Unfit {
  const times = parseCensoredTimes(input);
  if ("verdict" in times) return times;
  const rows = times.left.length;
  const width = input.columns.length;
  if (input.names.length !== width)
    return unfit("invalid_input", `${input.names.length} names for ${width} columns`);
  if (width === 0) return unfit("invalid_input", "no column, not even an intercept");
  const design = new Float64Array(rows * width);
  for (let j = 0; j < width; j++) {
    const column = input.columns[j];
    if (column.length !== rows) {
      return unfit("invalid_input", `${input.names[j]} has ${column.length} of ${rows} rows`);
    }
    for (let i = 0; i < rows; i++) {
      const value = column[i];
      if (!Number.isFinite(value)) return unfit("invalid_input", `${input.names[j]}, row ${i}: ${value}`);
      design[i * width + j] = value;
    }
  }
  return {
    distribution: input.distribution,
    names: input.names,
    rows,
    width,
    design,
    lower: times.left.map(Math.log),
    upper: times.right.map(Math.log),
    weights: times.weights,
  };
}

/** Number of free parameters: the coefficients and, but for the exponential, the log scale. */
export function parameterCount(data: AftData): number {
  return data.width + (data.distribution === "exponential" ? 0 : 1);
}

/** The objective at given parameters; null where it is not finite. */
export function aftObjective(data: AftData, point: Float64Array): AftObjective | null {
  const { rows, width, design, lower, upper, weights } = data;
  const law = errorLaws[data.distribution];
  const order = parameterCount(data);
  const free = order > width;
  const logScale = free ? point[width] : 0;
  const scale = Math.exp(logScale);
  const gradient = new Float64Array(order);
  const hessian = zeroMatrix(order, order);
  const h = hessian.values;
  const terms = new Float64Array(ROW_TERMS);
  const scratch = new Float64Array(5);
  let value = 0;
  for (let i = 0; i < rows; i++) {
    const weight = weights[i];
    if (weight === 0) continue;
    const at = i * width;
    let predictor = 0;
    for (let j = 0; j < width; j++) predictor += design[at + j] * point[j];
    rowTerms(law, lower[i], upper[i], predictor, logScale, scale, scratch, terms);
    value += weight * terms[VALUE];
    const slope = weight * terms[SLOPE];
    const curve = weight * terms[CURVE];
    const cross = weight * terms[CROSS];
    for (let j = 0; j < width; j++) {
      const x = design[at + j];
      gradient[j] += slope * x;
      const scaled = curve * x;
      const row = j * order;
      for (let k = 0; k <= j; k++) h[row + k] += scaled * design[at + k];
      if (free) h[width * order + j] += cross * x;
    }
    if (free) {
      gradient[width] += weight * terms[SCALE_SLOPE];
      h[width * order + width] += weight * terms[SCALE_CURVE];
    }
  }
  if (!Number.isFinite(value)) return null;
  for (let j = 0; j < order; j++) {
    gradient[j] = -gradient[j];
    for (let k = 0; k <= j; k++) {
      h[j * order + k] = -h[j * order + k];
      h[k * order + j] = h[j * order + k];
    }
  }
  return { value: -value, gradient, hessian };
}

/** Sums of the rows' scores by cluster, weights included: clusters × parameters. */
export function clusterScores(
  data: AftData,
  point: Float64Array,
  cluster: Int32Array,
  clusters: number,
): DenseMatrix {
  const { rows, width, design, lower, upper, weights } = data;
  const law = errorLaws[data.distribution];
  const order = parameterCount(data);
  const logScale = order > width ? point[width] : 0;
  const scale = Math.exp(logScale);
  const scores = zeroMatrix(clusters, order);
  const terms = new Float64Array(ROW_TERMS);
  const scratch = new Float64Array(5);
  for (let i = 0; i < rows; i++) {
    if (weights[i] === 0) continue;
    let predictor = 0;
    for (let j = 0; j < width; j++) predictor += design[i * width + j] * point[j];
    rowTerms(law, lower[i], upper[i], predictor, logScale, scale, scratch, terms);
    const to = cluster[i] * order;
    for (let j = 0; j < width; j++) {
      scores.values[to + j] += weights[i] * terms[SLOPE] * design[i * width + j];
    }
    if (order > width) scores.values[to + width] += weights[i] * terms[SCALE_SLOPE];
  }
  return scores;
}

const VALUE = 0;
const SLOPE = 1;
const CURVE = 2;
const SCALE_SLOPE = 3;
const CROSS = 4;
const SCALE_CURVE = 5;
const ROW_TERMS = 6;

/**
 * One row's log-likelihood and its derivatives: to the linear predictor (SLOPE, CURVE), to ln σ (SCALE_SLOPE,
 * SCALE_CURVE) and to both (CROSS). `lower` and `upper` are ln of the ends.
 */
function rowTerms(
  law: ErrorLaw,
  lower: number,
  upper: number,
  predictor: number,
  logScale: number,
  scale: number,
  scratch: Float64Array,
  terms: Float64Array,
): void {
  if (lower === upper) {
    const z = (lower - predictor) / scale;
    law.exact(z, scratch);
    const first = scratch[1];
    const second = scratch[2];
    terms[VALUE] = scratch[0] - logScale - lower;
    terms[SLOPE] = -first / scale;
    terms[CURVE] = second / (scale * scale);
    terms[SCALE_SLOPE] = -z * first - 1;
    terms[CROSS] = (first + z * second) / scale;
    terms[SCALE_CURVE] = z * (first + z * second);
    return;
  }
  const low = (lower - predictor) / scale;
  const high = (upper - predictor) / scale;
  law.between(low, high, scratch);
  const a = scratch[1];
  const b = scratch[2];
  // An infinite end has no density: its terms vanish.
  const zl = a === 0 ? 0 : low;
  const zu = b === 0 ? 0 : high;
  const ll = -scratch[3] - a * a;
  const lu = a * b;
  const uu = scratch[4] - b * b;
  terms[VALUE] = scratch[0];
  terms[SLOPE] = (a - b) / scale;
  terms[CURVE] = (ll + 2 * lu + uu) / (scale * scale);
  terms[SCALE_SLOPE] = zl * a - zu * b;
  terms[CROSS] = (b - a + zl * (ll + lu) + zu * (lu + uu)) / scale;
  terms[SCALE_CURVE] = zu * b - zl * a + zl * zl * ll + 2 * zl * zu * lu + zu * zu * uu;
}
