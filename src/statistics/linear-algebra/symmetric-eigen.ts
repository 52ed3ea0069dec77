import type { DenseMatrix } from "./dense-matrix.ts";

/** A = V diag(values) V'; values ascending, column k of `vectors` belongs to `values[k]`. */
export interface SymmetricEigen {
  readonly values: Float64Array;
  readonly vectors: DenseMatrix;
}

/**
 * Eigenvalues and eigenvectors of a small symmetric matrix by cyclic Jacobi rotations (Golub and Van Loan,
 * Matrix Computations, section 8.5). Meant for a few dozen rows at most.
 */
export function symmetricEigen(a: DenseMatrix): SymmetricEigen {
  const n = a.rows;
  if (a.columns !== n) throw new RangeError(`not square: ${n} by ${a.columns}`);
  const work = Float64Array.from(a.values);
  const vectors = new Float64Array(n * n);
  for (let i = 0; i < n; i++) vectors[i * n + i] = 1;
  for (let sweep = 0; sweep < 60 && offDiagonal(work, n) > 0; sweep++) {
    for (let p = 0; p < n - 1; p++) {
      for (let q = p + 1; q < n; q++) rotate(work, vectors, n, p, q);
    }
  }
  const order = Array.from({ length: n }, (_, i) => i).sort((i, j) => work[i * n + i]! - work[j * n + j]!);
  const sorted = new Float64Array(n * n);
  order.forEach((from, to) => {
    for (let i = 0; i < n; i++) sorted[i * n + to] = vectors[i * n + from]!;
  });
  return {
    values: Float64Array.from(order, (i) => work[i * n + i]!),
    vectors: { rows: n, columns: n, values: sorted },
  };
}

/** Largest off-diagonal entry that still matters beside the diagonal entries it couples. */
function offDiagonal(work: Float64Array, n: number): number {
  let largest = 0;
  for (let p = 0; p < n; p++) {
    for (let q = p + 1; q < n; q++) {
      const entry = Math.abs(work[p * n + q]!);
      const beside = Math.abs(work[p * n + p]!) + Math.abs(work[q * n + q]!);
      if (entry > 1e-17 * beside) largest = Math.max(largest, entry);
    }
  }
  return largest;
}

function rotate(work: Float64Array, vectors: Float64Array, n: number, p: number, q: number): void {
  const off = work[p * n + q]!;
  if (off === 0) return;
  const tau = (work[q * n + q]! - work[p * n + p]!) / (2 * off);
  const t = Math.sign(tau || 1) / (Math.abs(tau) + Math.hypot(1, tau));
  const c = 1 / Math.hypot(1, t);
  const s = t * c;
  for (let k = 0; k < n; k++) {
    const kp = work[k * n + p]!;
    const kq = work[k * n + q]!;
    work[k * n + p] = c * kp - s * kq;
    work[k * n + q] = s * kp + c * kq;
  }
  for (let k = 0; k < n; k++) {
    const pk = work[p * n + k]!;
    const qk = work[q * n + k]!;
    work[p * n + k] = c * pk - s * qk;
    work[q * n + k] = s * pk + c * qk;
  }
  work[p * n + q] = 0;
  work[q * n + p] = 0;
  for (let k = 0; k < n; k++) {
    const kp = vectors[k * n + p]!;
    const kq = vectors[k * n + q]!;
    vectors[k * n + p] = c * kp - s * kq;
    vectors[k * n + q] = s * kp + c * kq;
  }
}
