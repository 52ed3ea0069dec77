import { logGamma } from "../distributions/log-gamma.ts";
import {
  inverseOnPattern,
  type SelectedInverse,
  selectedInverse,
} from "../linear-algebra/selected-inverse.ts";
import {
  factorize,
  logDeterminant,
  type SparseCholesky,
  type SparseFactor,
  solve,
} from "../linear-algebra/sparse-cholesky.ts";
import { sparseMultiply } from "../linear-algebra/sparse-symmetric.ts";
import { type SymbolicFactor, symbolicCholesky } from "../linear-algebra/symbolic-cholesky.ts";
import {
  coefficientValues,
  effectScale,
  type MixedModelEquations,
  precisionForm,
  precisionTrace,
} from "./mixed-model-equations.ts";
import { designProduct, transposedProduct } from "./sparse-design.ts";

/** Counts of successes with a logit-linear mean: eta = offset + X b + Z u. */
export interface LogisticData {
  readonly equations: MixedModelEquations;
  readonly symbolic: SymbolicFactor;
  readonly successes: Float64Array;
  readonly trials: Float64Array;
  readonly offset: Float64Array;
  /** Parts of the log-likelihood that no parameter changes. */
  readonly constant: number;
  /** Sum of trials x loading^2 of each fixed effect. */
  readonly fixedSquares: Float64Array;
}

/** The Laplace approximation at given standard deviations of the terms. */
export interface LaplacePoint {
  readonly standardDeviations: Float64Array;
  readonly logLikelihood: number;
  readonly scale: Float64Array;
  /** Joint mode of all effects, random ones in units of their standard deviation. */
  readonly standardized: Float64Array;
  readonly factor: SparseFactor;
  readonly weights: Float64Array;
  readonly means: Float64Array;
  /** Storage of the selected inverse, once one was formed. */
  selected?: SelectedInverse;
}

/** A mode nearby, and storage that the next point may overwrite. */
export interface PreviousMode {
  readonly standardized: Float64Array | undefined;
  readonly factor?: SparseFactor;
  readonly selected?: SelectedInverse;
}

const MOST_ITERATIONS = 60;
/**
 * The mode is found where a Newton step would raise the penalized log-likelihood by no more than this share of it.
 * The coarse one leaves effects off by a thousandth of their standard errors: enough where points are weighed
 * against each other, not for slopes that a search must drive to zero.
 */
const EXACT = 1e-14;
export const COARSE = 1e-9;
/**
 * A fixed effect is separated when its records' mean weight falls below this: their fitted chances are then
 * all within a millionth of 0 or 1, and the effect itself is on its way to infinity.
 */
const SEPARATED = 1e-6;

/** Symbolic factor and constants, once for all standard deviations. */
export function logisticData(
  equations: MixedModelEquations,
  successes: Float64Array,
  trials: Float64Array,
  offset: Float64Array,
): LogisticData {
  return {
    equations,
    symbolic: symbolicCholesky(equations.product.pattern, { last: equations.fixedCount }),
    successes,
    trials,
    offset,
    constant: constantOf(equations, successes, trials),
    fixedSquares: fixedDiagonal(equations, equations.product.values(trials)),
  };
}

/** The same design with other counts. */
export function withSuccesses(data: LogisticData, successes: Float64Array): LogisticData {
  return { ...data, successes, constant: constantOf(data.equations, successes, data.trials) };
}

/**
 * The log-likelihood with random and fixed effects integrated out by Laplace's method (Breslow & Clayton 1993,
 * J. Am. Stat. Assoc. 88:9-25; fixed effects under a flat prior, which is what makes it restricted). The mode
 * is found by Newton steps, halved until they climb. Undefined when it is not found, as under separation.
 * The search begins from the mode of `previous`; a factor handed in with it is overwritten.
 */
export function laplaceAt(
  data: LogisticData,
  standardDeviations: Float64Array,
  previous?: PreviousMode,
  accuracy = EXACT,
): LaplacePoint | undefined {
  const { equations } = data;
  const scale = effectScale(equations, standardDeviations);
  let here = stateAt(data, scale, previous?.standardized ?? new Float64Array(scale.length));
  let storage = previous?.factor;
  for (let step = 0; step < MOST_ITERATIONS; step++) {
    const crossValues = equations.product.values(here.weights);
    const factor: SparseCholesky = factorize(
      data.symbolic,
      coefficientValues(equations, crossValues, scale),
      storage,
    );
    if (!factor.positiveDefinite) return undefined;
    storage = factor;
    const slope = scoreAt(data, scale, here);
    const move = solve(factor, slope);
    let decrement = 0;
    for (let i = 0; i < move.length; i++) decrement += move[i] * slope[i];
    if (decrement < accuracy * (1 + Math.abs(here.penalized))) {
      const left = fixedDiagonal(equations, crossValues);
      if (left.some((square, j) => square < SEPARATED * data.fixedSquares[j])) return undefined;
      return {
        standardDeviations,
        logLikelihood:
          data.constant +
          here.penalized -
          0.5 * logDeterminant(factor) +
          0.5 * equations.fixedCount * Math.log(2 * Math.PI),
        scale,
        standardized: here.effects,
        factor,
        weights: here.weights,
        means: here.means,
        ...(previous?.selected === undefined ? {} : { selected: previous.selected }),
      };
    }
    const next = halvedStep(data, scale, here, move);
    if (next === undefined) return undefined;
    here = next;
  }
  return undefined;
}

function fixedDiagonal(equations: MixedModelEquations, crossValues: Float64Array): Float64Array {
  const { columnStart, order } = equations.product.pattern;
  const first = order - equations.fixedCount;
  return Float64Array.from({ length: equations.fixedCount }, (_, j) => crossValues[columnStart[first + j]]);
}

interface ModeState {
  readonly effects: Float64Array;
  readonly means: Float64Array;
  readonly weights: Float64Array;
  /** Log-likelihood given the effects plus log prior, constants left out. */
  readonly penalized: number;
}

function stateAt(data: LogisticData, scale: Float64Array, effects: Float64Array): ModeState {
  const { equations, successes, trials, offset } = data;
  const natural = new Float64Array(effects.length);
  for (let i = 0; i < effects.length; i++) natural[i] = effects[i] * scale[i];
  const eta = designProduct(equations.design, natural);
  const means = new Float64Array(eta.length);
  const weights = new Float64Array(eta.length);
  let penalized = 0;
  for (let r = 0; r < eta.length; r++) {
    const e = eta[r] + offset[r];
    const tail = Math.exp(-Math.abs(e));
    const mean = e >= 0 ? 1 / (1 + tail) : tail / (1 + tail);
    means[r] = mean;
    weights[r] = (trials[r] * tail) / (1 + tail) ** 2;
    penalized += successes[r] * e - trials[r] * (Math.max(e, 0) + Math.log1p(tail));
  }
  for (let k = 0; k < equations.terms.length; k++) penalized -= 0.5 * precisionForm(equations, k, effects);
  return { effects, means, weights, penalized };
}

/** Slope of the penalized log-likelihood in the scaled effects. */
function scoreAt(data: LogisticData, scale: Float64Array, { effects, means }: ModeState): Float64Array {
  const { equations } = data;
  const slope = transposedProduct(equations.design, residualsOf(data, means));
  for (let i = 0; i < slope.length; i++) slope[i] *= scale[i];
  equations.terms.forEach((_, k) => {
    const pull = precisionProduct(equations, k, effects);
    for (let i = 0; i < pull.length; i++) slope[equations.termStart[k] + i] -= pull[i];
  });
  return slope;
}

function precisionProduct(equations: MixedModelEquations, k: number, effects: Float64Array): Float64Array {
  const own = effects.subarray(equations.termStart[k], equations.termStart[k + 1]);
  const { precision } = equations.terms[k];
  return precision === undefined ? own : sparseMultiply(precision, own);
}

function residualsOf({ successes, trials }: LogisticData, means: Float64Array): Float64Array {
  return successes.map((y, r) => y - trials[r] * means[r]);
}

function halvedStep(
  data: LogisticData,
  scale: Float64Array,
  here: ModeState,
  move: Float64Array,
): ModeState | undefined {
  for (let share = 1; share > 1e-6; share /= 2) {
    const next = stateAt(
      data,
      scale,
      here.effects.map((v, i) => v + share * move[i]),
    );
    if (next.penalized >= here.penalized - 1e-12 * Math.abs(here.penalized)) return next;
  }
  return undefined;
}

/**
 * Slope of the Laplace log-likelihood in each term's standard deviation, the way the mode moves included:
 * with M the inverse coefficients and h_r = w_r'M w_r,
 * dL/ds_k = (y - mu)'Z_k v_k - (rank_k - tr(K_k M)) / s_k - 1/2 sum of h_r D'_r (d eta_r / ds_k).
 * Zero for a term whose standard deviation is zero, where the likelihood is even.
 */
export function laplaceGradient(data: LogisticData, point: LaplacePoint): Float64Array {
  const { equations, trials } = data;
  const { scale, standardized, factor, weights, means, standardDeviations } = point;
  point.selected = selectedInverse(factor, point.selected);
  const selected = inverseOnPattern(point.selected, equations.product.pattern).values;
  const leverage = equations.product.recordForms(scaledEntries(equations, selected, scale));
  const curved = leverage.map((h, r) => h * trials[r] * means[r] * (1 - means[r]) * (1 - 2 * means[r]));
  const load = transposedProduct(equations.design, curved);
  for (let i = 0; i < load.length; i++) load[i] *= scale[i];
  const answer = solve(factor, load);
  const scaledAnswer = answer.map((t, i) => t * scale[i]);
  const answerByRecord = designProduct(equations.design, scaledAnswer);
  const residuals = residualsOf(data, means);
  const pulled = transposedProduct(equations.design, residuals);
  return standardDeviations.map((sd, k) => {
    if (sd === 0) return 0;
    const from = equations.termStart[k];
    const to = equations.termStart[k + 1];
    const own = new Float64Array(scale.length);
    for (let i = from; i < to; i++) own[i] = standardized[i];
    const direct = designProduct(equations.design, own);
    let slope = -(to - from - precisionTrace(equations, k, selected)) / sd;
    for (let r = 0; r < direct.length; r++) {
      slope += direct[r] * (residuals[r] - 0.5 * curved[r] + 0.5 * answerByRecord[r] * weights[r]);
    }
    for (let i = from; i < to; i++) slope -= 0.5 * answer[i] * pulled[i];
    return slope;
  });
}

/** s_i M_ij s_j on the pattern. */
function scaledEntries(
  equations: MixedModelEquations,
  matrix: Float64Array,
  scale: Float64Array,
): Float64Array {
  const { columnStart, rowIndex, order } = equations.product.pattern;
  const scaled = new Float64Array(matrix.length);
  for (let j = 0; j < order; j++) {
    for (let e = columnStart[j]; e < columnStart[j + 1]; e++)
      scaled[e] = matrix[e] * scale[j] * scale[rowIndex[e]];
  }
  return scaled;
}

function constantOf(equations: MixedModelEquations, successes: Float64Array, trials: Float64Array): number {
  let constant = 0;
  for (const term of equations.terms) constant += 0.5 * (term.logDeterminant ?? 0);
  for (let r = 0; r < successes.length; r++) {
    const n = trials[r];
    if (n > 1) constant += logGamma(n + 1) - logGamma(successes[r] + 1) - logGamma(n - successes[r] + 1);
  }
  return constant;
}
