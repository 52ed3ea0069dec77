import {
  type SparseSymmetric,
  sparseFromTriplets,
} from "../../../src/statistics/linear-algebra/sparse-symmetric.ts";

/** Lehmer generator (Park and Miller 1988): uniform numbers in (0, 1). */
export function uniforms(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** A random diagonally dominant sparse symmetric matrix with about `perRow` off-diagonal entries a row. */
export function randomSparse(order: number, perRow: number, seed: number, denseRows = 0): SparseSymmetric {
  const next = uniforms(seed);
  const rows: number[] = [];
  const columns: number[] = [];
  const values: number[] = [];
  const diagonal = new Float64Array(order).fill(0.5);
  const add = (i: number, j: number): void => {
    if (i === j) return;
    const value = 2 * next() - 1;
    rows.push(i);
    columns.push(j);
    values.push(value);
    diagonal[i]! += Math.abs(value);
    diagonal[j]! += Math.abs(value);
  };
  for (let e = 0; e < order * perRow; e++) add(Math.floor(next() * order), Math.floor(next() * order));
  for (let d = 0; d < denseRows; d++) {
    const row = Math.floor(next() * order);
    for (let j = 0; j < order; j++) add(row, j);
  }
  for (let j = 0; j < order; j++) {
    rows.push(j);
    columns.push(j);
    values.push(diagonal[j]!);
  }
  return sparseFromTriplets(order, rows, columns, values);
}
