import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { type SparseSymmetric, sparseMultiply } from "../linear-algebra/sparse-symmetric.ts";
import { type CrossProduct, crossProduct, entryPlaces } from "./cross-product.ts";
import { joinDesigns, type SparseDesign, transposedProduct } from "./sparse-design.ts";

/** Effects that share one variance: covariance = variance x inverse of `precision` (identity if missing). */
export interface EffectTerm {
  readonly name: string;
  readonly design: SparseDesign;
  readonly precision?: SparseSymmetric;
  /** log |precision|; zero if missing. */
  readonly logDeterminant?: number;
}

/**
 * All that the mixed-model equations need and that no variance changes. Effects stand in the order of the
 * terms, fixed effects last; term k has the effects `termStart[k]` to `termStart[k + 1] - 1`.
 */
export interface MixedModelEquations {
  readonly records: number;
  readonly terms: readonly EffectTerm[];
  readonly termStart: Int32Array;
  readonly fixedCount: number;
  readonly design: SparseDesign;
  readonly product: CrossProduct;
  readonly precisions: readonly PrecisionBlock[];
}

/** The entries of one term's precision and their places in the pattern of the equations. */
export interface PrecisionBlock {
  readonly place: Int32Array;
  readonly value: Float64Array;
  readonly offDiagonal: Uint8Array;
}

/** Joins the designs and finds the pattern of the equations. */
export function mixedModelEquations(
  records: number,
  terms: readonly EffectTerm[],
  fixed: SparseDesign,
): MixedModelEquations {
  const termStart = new Int32Array(terms.length + 1);
  terms.forEach((term, k) => {
    termStart[k + 1] = termStart[k] + term.design.columns;
  });
  const design = joinDesigns(records, [...terms.map((t) => t.design), fixed]);
  const lists = terms.map((term, k) => precisionEntries(term, termStart[k]));
  const product = crossProduct(design, lists);
  const precisions = lists.map(({ rows, columns, value }) => ({
    place: entryPlaces(product.pattern, rows, columns),
    value,
    offDiagonal: Uint8Array.from(rows, (row, e) => (row === columns[e] ? 0 : 1)),
  }));
  return { records, terms, termStart, fixedCount: fixed.columns, design, product, precisions };
}

function precisionEntries(
  term: EffectTerm,
  start: number,
): { rows: Int32Array; columns: Int32Array; value: Float64Array } {
  const { precision } = term;
  if (precision === undefined) {
    const diagonal = Int32Array.from({ length: term.design.columns }, (_, i) => start + i);
    return { rows: diagonal, columns: diagonal, value: new Float64Array(diagonal.length).fill(1) };
  }
  const rows = precision.rowIndex.map((row) => row + start);
  const columns = new Int32Array(rows.length);
  for (let j = 0; j < precision.order; j++) {
    columns.fill(start + j, precision.columnStart[j], precision.columnStart[j + 1]);
  }
  return { rows, columns, value: precision.values };
}

/** v'Kv for the effects v of term k. */
export function precisionForm(equations: MixedModelEquations, k: number, effects: Float64Array): number {
  const v = effects.subarray(equations.termStart[k], equations.termStart[k + 1]);
  const { precision } = equations.terms[k];
  const product = precision === undefined ? v : sparseMultiply(precision, v);
  let sum = 0;
  for (let i = 0; i < v.length; i++) sum += v[i] * product[i];
  return sum;
}

/** tr(K_k M) for the block of term k and a symmetric matrix M given on the pattern of the equations. */
export function precisionTrace(equations: MixedModelEquations, k: number, matrix: Float64Array): number {
  const { place, value, offDiagonal } = equations.precisions[k];
  let sum = 0;
  for (let e = 0; e < place.length; e++) {
    const part = value[e] * matrix[place[e]];
    sum += offDiagonal[e] === 1 ? 2 * part : part;
  }
  return sum;
}

/**
 * The coefficients with each random term on the scale of its own standard deviation:
 * S W'diag(weights)W S + blockdiag(K_k, 0), S the scale of each effect. A scale of zero is allowed.
 */
export function coefficientValues(
  equations: MixedModelEquations,
  crossValues: Float64Array,
  scale: Float64Array,
): Float64Array {
  const { columnStart, rowIndex, order } = equations.product.pattern;
  const values = new Float64Array(crossValues.length);
  for (let j = 0; j < order; j++) {
    for (let e = columnStart[j]; e < columnStart[j + 1]; e++) {
      values[e] = crossValues[e] * scale[j] * scale[rowIndex[e]];
    }
  }
  for (const { place, value } of equations.precisions) {
    for (let e = 0; e < place.length; e++) values[place[e]] += value[e];
  }
  return values;
}

/** The scale of every effect: the standard deviation of its term, 1 for fixed effects. */
export function effectScale(equations: MixedModelEquations, termScale: ArrayLike<number>): Float64Array {
  const scale = new Float64Array(equations.design.columns).fill(1);
  for (let k = 0; k < equations.terms.length; k++) {
    scale.fill(termScale[k], equations.termStart[k], equations.termStart[k + 1]);
  }
  return scale;
}

/** W'(weights x records), one value an effect. */
export function rightHandSide(
  equations: MixedModelEquations,
  weights: ArrayLike<number>,
  records: ArrayLike<number>,
): Float64Array {
  const weighted = new Float64Array(records.length);
  for (let r = 0; r < weighted.length; r++) weighted[r] = weights[r] * records[r];
  return transposedProduct(equations.design, weighted);
}

/** The dense block of the fixed effects in W'diag(weights)W. */
export function fixedBlock(equations: MixedModelEquations, crossValues: Float64Array): DenseMatrix {
  const { columnStart, rowIndex } = equations.product.pattern;
  const count = equations.fixedCount;
  const first = equations.design.columns - count;
  const block = zeroMatrix(count, count);
  for (let j = 0; j < count; j++) {
    for (let e = columnStart[first + j]; e < columnStart[first + j + 1]; e++) {
      block.values[(rowIndex[e] - first) * count + j] = crossValues[e];
    }
  }
  return block;
}
