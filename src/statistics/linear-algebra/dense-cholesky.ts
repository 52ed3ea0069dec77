import { type DenseMatrix, zeroMatrix } from "./dense-matrix.ts";

/**
 * A = L L', L lower triangular, of a symmetric matrix A (only its lower triangle is read). Where A is not
 * positive definite, `failedColumn` names the first pivot that is not positive.
 */
export type DenseCholesky =
  | { readonly positiveDefinite: true; readonly order: number; readonly lower: Float64Array }
  | { readonly positiveDefinite: false; readonly failedColumn: number };

/** A Cholesky factor that exists. */
export type DenseFactor = Extract<DenseCholesky, { positiveDefinite: true }>;

/**
 * Cholesky factor of a dense symmetric matrix. A pivot at or below `tolerance` times its own diagonal entry
 * counts as not positive (default 0: only pivots that are zero, negative or not a number).
 */
export function denseCholesky(a: DenseMatrix, tolerance = 0): DenseCholesky {
  const n = a.rows;
  if (a.columns !== n) throw new RangeError(`not square: ${n} by ${a.columns}`);
  const lower = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    const rowI = i * n;
    for (let j = 0; j <= i; j++) {
      const rowJ = j * n;
      let sum = a.values[rowI + j]!;
      for (let k = 0; k < j; k++) sum -= lower[rowI + k]! * lower[rowJ + k]!;
      if (j < i) {
        lower[rowI + j] = sum / lower[rowJ + j]!;
      } else {
        if (!(sum > tolerance * Math.abs(a.values[rowI + i]!))) {
          return { positiveDefinite: false, failedColumn: i };
        }
        lower[rowI + i] = Math.sqrt(sum);
      }
    }
  }
  return { positiveDefinite: true, order: n, lower };
}

/** L⁻¹ b. */
export function solveLowerDense(factor: DenseFactor, b: ArrayLike<number>): Float64Array {
  const { order: n, lower } = factor;
  const x = Float64Array.from(b);
  for (let i = 0; i < n; i++) {
    let sum = x[i]!;
    for (let k = 0; k < i; k++) sum -= lower[i * n + k]! * x[k]!;
    x[i] = sum / lower[i * n + i]!;
  }
  return x;
}

/** L'⁻¹ b. */
export function solveLowerTransposedDense(factor: DenseFactor, b: ArrayLike<number>): Float64Array {
  const { order: n, lower } = factor;
  const x = Float64Array.from(b);
  for (let i = n - 1; i >= 0; i--) {
    const value = x[i]! / lower[i * n + i]!;
    x[i] = value;
    for (let k = 0; k < i; k++) x[k]! -= lower[i * n + k]! * value;
  }
  return x;
}

/** A⁻¹ b. */
export function solveDense(factor: DenseFactor, b: ArrayLike<number>): Float64Array {
  return solveLowerTransposedDense(factor, solveLowerDense(factor, b));
}

/** A⁻¹, symmetric. */
export function inverseDense(factor: DenseFactor): DenseMatrix {
  const n = factor.order;
  const result = zeroMatrix(n, n);
  const unit = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    unit[j] = 1;
    const column = solveDense(factor, unit);
    unit[j] = 0;
    for (let i = 0; i <= j; i++) {
      result.values[i * n + j] = column[i]!;
      result.values[j * n + i] = column[i]!;
    }
  }
  return result;
}

/** log |A|. */
export function logDeterminantDense(factor: DenseFactor): number {
  let sum = 0;
  for (let i = 0; i < factor.order; i++) sum += Math.log(factor.lower[i * factor.order + i]!);
  return 2 * sum;
}
