import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";

/** X = Q R with Q' W Q = I, column by column; or the columns that lie in the span of the ones before them. */
export type OrthonormalColumns =
  | { readonly independent: true; readonly columns: readonly Float64Array[]; readonly upper: DenseMatrix }
  | { readonly independent: false; readonly dependent: readonly number[] };

/** Share of a column's length that must be left after projection for it to count as independent. */
const TOLERANCE = 1e-7;

/**
 * Orthonormal basis of some columns under row weights (all one where absent): modified Gram-Schmidt, each column
 * projected twice (Björck 1967, BIT 7, 1-21; Giraud and others 2005, Numer. Math. 101, 87-100).
 */
export function orthonormalColumns(
  columns: readonly Float64Array[],
  weights: Float64Array | undefined,
): OrthonormalColumns {
  const p = columns.length;
  const basis: Float64Array[] = [];
  const dependent: number[] = [];
  const upper = zeroMatrix(p, p);
  columns.forEach((column, j) => {
    const work = column.slice();
    const length = Math.sqrt(weightedDot(work, work, weights));
    for (let pass = 0; pass < 2; pass++) {
      basis.forEach((unit, k) => {
        const share = weightedDot(unit, work, weights);
        upper.values[k * p + j]! += share;
        addScaled(work, unit, -share);
      });
    }
    const left = Math.sqrt(weightedDot(work, work, weights));
    if (!(left > TOLERANCE * length)) {
      dependent.push(j);
      return;
    }
    upper.values[basis.length * p + j] = left;
    for (let i = 0; i < work.length; i++) work[i]! /= left;
    basis.push(work);
  });
  return dependent.length > 0
    ? { independent: false, dependent }
    : { independent: true, columns: basis, upper };
}

/** Σ weightᵢ aᵢ bᵢ. */
export function weightedDot(a: Float64Array, b: Float64Array, weights: Float64Array | undefined): number {
  let sum = 0;
  if (weights === undefined) for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  else for (let i = 0; i < a.length; i++) sum += weights[i]! * a[i]! * b[i]!;
  return sum;
}

/** target += factor · source. */
export function addScaled(target: Float64Array, source: Float64Array, factor: number): void {
  for (let i = 0; i < target.length; i++) target[i]! += factor * source[i]!;
}

/** R⁻¹ b. */
export function solveUpper(upper: DenseMatrix, b: ArrayLike<number>): Float64Array {
  const p = upper.rows;
  const x = Float64Array.from(b);
  for (let i = p - 1; i >= 0; i--) {
    for (let j = i + 1; j < p; j++) x[i]! -= upper.values[i * p + j]! * x[j]!;
    x[i]! /= upper.values[i * p + i]!;
  }
  return x;
}

/** R'⁻¹ b. */
export function solveUpperTransposed(upper: DenseMatrix, b: ArrayLike<number>): Float64Array {
  const p = upper.rows;
  const x = Float64Array.from(b);
  for (let i = 0; i < p; i++) {
    for (let j = 0; j < i; j++) x[i]! -= upper.values[j * p + i]! * x[j]!;
    x[i]! /= upper.values[i * p + i]!;
  }
  return x;
}
