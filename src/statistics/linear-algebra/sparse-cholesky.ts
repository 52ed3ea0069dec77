import type { SymbolicFactor } from "./symbolic-cholesky.ts";

/**
 * P A P' = L L' for a sparse symmetric positive definite A. Where A is not positive definite, `failedRow` names
 * the row of A at which the elimination broke down.
 */
export type SparseCholesky =
  | { readonly positiveDefinite: true; readonly symbolic: SymbolicFactor; readonly values: Float64Array }
  | { readonly positiveDefinite: false; readonly failedRow: number };

/** A sparse Cholesky factor that exists. */
export type SparseFactor = Extract<SparseCholesky, { positiveDefinite: true }>;

/**
 * Numeric factorisation, supernode by supernode, left-looking (Ng and Peyton 1993, SIAM J. Sci. Comput. 14,
 * 1034-1056). `values` are aligned with the entries of the matrix that was analysed. `reuse` may hand in an
 * earlier factor of the same analysis, whose storage is then overwritten.
 */
export function factorize(
  symbolic: SymbolicFactor,
  values: ArrayLike<number>,
  reuse?: SparseFactor,
): SparseCholesky {
  const { supernodes, firstColumn, rowStart, rows, valueStart, supernodeOf, destination } = symbolic;
  let l: Float64Array;
  if (reuse !== undefined && reuse.symbolic === symbolic) {
    l = reuse.values;
    l.fill(0);
  } else {
    l = new Float64Array(symbolic.valueCount);
  }
  for (let e = 0; e < destination.length; e++) l[destination[e]!] = values[e]!;
  const localRow = new Int32Array(symbolic.order);
  // waiting[s] lists the finished supernodes whose next rows fall within supernode s.
  const waiting = new Int32Array(supernodes).fill(-1);
  const nextWaiting = new Int32Array(supernodes);
  const cursor = new Int32Array(supernodes);
  for (let s = 0; s < supernodes; s++) {
    const from = firstColumn[s]!;
    const to = firstColumn[s + 1]!;
    const width = to - from;
    const base = valueStart[s]!;
    const height = rowStart[s + 1]! - rowStart[s]!;
    if (waiting[s] !== -1) {
      for (let k = rowStart[s]!, local = 0; k < rowStart[s + 1]!; k++, local++) localRow[rows[k]!] = local;
    }
    for (let d = waiting[s]!; d !== -1; ) {
      const following = nextWaiting[d]!;
      const begin = cursor[d]!;
      const end = rowStart[d + 1]!;
      let split = begin + 1;
      while (split < end && rows[split]! < to) split++;
      const depth = firstColumn[d + 1]! - firstColumn[d]!;
      const source = valueStart[d]! + (begin - rowStart[d]!) * depth;
      subtractOuter(l, rows, localRow, begin, split, end, source, depth, base, width, from);
      if (split < end) queue(d, split);
      d = following;
    }
    const failed = factorizeBlock(l, base, width, height);
    if (failed !== -1) return { positiveDefinite: false, failedRow: symbolic.pivotOrder[from + failed]! };
    if (height > width) queue(s, rowStart[s]! + width);
  }
  return { positiveDefinite: true, symbolic, values: l };

  function queue(d: number, at: number): void {
    const target = supernodeOf[rows[at]!]!;
    cursor[d] = at;
    nextWaiting[d] = waiting[target]!;
    waiting[target] = d;
  }
}

/**
 * 2 Σ log L_jj: log |A|, or with `last` its part from the last this many pivots, the log-determinant of what is left
 * of A there once all else has been eliminated.
 */
export function logDeterminant(factor: SparseFactor, last = factor.symbolic.order): number {
  const { order, supernodes, firstColumn, valueStart } = factor.symbolic;
  const from = order - last;
  let sum = 0;
  for (let s = supernodes - 1; s >= 0 && firstColumn[s + 1]! > from; s--) {
    const width = firstColumn[s + 1]! - firstColumn[s]!;
    for (let c = Math.max(0, from - firstColumn[s]!); c < width; c++) {
      sum += Math.log(factor.values[valueStart[s]! + c * width + c]!);
    }
  }
  return 2 * sum;
}

/** A⁻¹ b, in the order of the rows of A. */
export function solve(factor: SparseFactor, b: ArrayLike<number>): Float64Array {
  return solveLowerTransposed(factor, solveLower(factor, b));
}

/** L⁻¹ P b: takes b in the order of A, gives the result in elimination order. */
export function solveLower(factor: SparseFactor, b: ArrayLike<number>): Float64Array {
  const { pivotOrder, order } = factor.symbolic;
  const x = new Float64Array(order);
  for (let k = 0; k < order; k++) x[k] = b[pivotOrder[k]!]!;
  for (let s = 0; s < factor.symbolic.supernodes; s++) forwardBlock(factor, s, x);
  return x;
}

/**
 * The supernodes, ascending, on the ways of some rows of A to the root of the elimination tree: the half solution of a
 * right side that is zero in all other rows is zero elsewhere.
 */
export function pathsToRoot(symbolic: SymbolicFactor, indices: ArrayLike<number>): Int32Array {
  const { place, supernodeOf, firstColumn, rowStart, rows } = symbolic;
  const visited = new Set<number>();
  for (let k = 0; k < indices.length; k++) {
    for (let s = supernodeOf[place[indices[k]!]!]!; !visited.has(s); ) {
      visited.add(s);
      const below = rowStart[s]! + firstColumn[s + 1]! - firstColumn[s]!;
      if (below >= rowStart[s + 1]!) break;
      s = supernodeOf[rows[below]!]!;
    }
  }
  return Int32Array.from(visited).sort();
}

/** L⁻¹ w in place, for a w in elimination order that is zero off the path (see `pathsToRoot`). */
export function solveLowerAlong(factor: SparseFactor, path: Int32Array, w: Float64Array): void {
  for (let k = 0; k < path.length; k++) forwardBlock(factor, path[k]!, w);
}

/** P' L'⁻¹ w: takes w in elimination order, gives the result in the order of A. */
export function solveLowerTransposed(factor: SparseFactor, w: ArrayLike<number>): Float64Array {
  const { symbolic, values } = factor;
  const { firstColumn, rowStart, rows, valueStart, pivotOrder } = symbolic;
  const x = Float64Array.from(w);
  for (let s = symbolic.supernodes - 1; s >= 0; s--) {
    const from = firstColumn[s]!;
    const width = firstColumn[s + 1]! - from;
    let at = valueStart[s + 1]! - width;
    for (let k = rowStart[s + 1]! - 1; k >= rowStart[s]! + width; k--, at -= width) {
      const value = x[rows[k]!]!;
      if (value !== 0) for (let c = 0; c < width; c++) x[from + c]! -= values[at + c]! * value;
    }
    for (let r = width - 1; r >= 0; r--, at -= width) {
      const value = x[from + r]! / values[at + r]!;
      x[from + r] = value;
      for (let c = 0; c < r; c++) x[from + c]! -= values[at + c]! * value;
    }
  }
  const result = new Float64Array(symbolic.order);
  for (let k = 0; k < symbolic.order; k++) result[pivotOrder[k]!] = x[k]!;
  return result;
}

function forwardBlock(factor: SparseFactor, s: number, x: Float64Array): void {
  const { firstColumn, rowStart, rows, valueStart } = factor.symbolic;
  const { values } = factor;
  const from = firstColumn[s]!;
  const width = firstColumn[s + 1]! - from;
  let at = valueStart[s]!;
  if (width === 1) {
    const head = x[from]! / values[at]!;
    x[from] = head;
    if (head === 0) return;
    for (let k = rowStart[s]! + 1; k < rowStart[s + 1]!; k++) x[rows[k]!]! -= values[++at]! * head;
    return;
  }
  for (let r = 0; r < width; r++, at += width) {
    let sum = x[from + r]!;
    for (let c = 0; c < r; c++) sum -= values[at + c]! * x[from + c]!;
    x[from + r] = sum / values[at + r]!;
  }
  for (let k = rowStart[s]! + width; k < rowStart[s + 1]!; k++, at += width) {
    let sum = 0;
    for (let c = 0; c < width; c++) sum += values[at + c]! * x[from + c]!;
    x[rows[k]!]! -= sum;
  }
}

/**
 * target[row, column] −= Σ_k source[row, k] source[column, k] for the rows `begin` to `end` of a finished
 * supernode and those of them (up to `split`) that are columns of the target.
 */
function subtractOuter(
  l: Float64Array,
  rows: Int32Array,
  localRow: Int32Array,
  begin: number,
  split: number,
  end: number,
  source: number,
  depth: number,
  base: number,
  width: number,
  from: number,
): void {
  if (depth === 1) {
    for (let c = begin; c < split; c++) {
      const factor = l[source + c - begin]!;
      if (factor === 0) continue;
      const column = base + rows[c]! - from;
      for (let r = c; r < end; r++)
        l[column + localRow[rows[r]!]! * width]! -= factor * l[source + r - begin]!;
    }
    return;
  }
  let c = begin;
  for (; c + 1 < split; c += 2) {
    const b0 = source + (c - begin) * depth;
    const b1 = b0 + depth;
    const column0 = base + rows[c]! - from;
    const column1 = base + rows[c + 1]! - from;
    let r = c;
    for (; r + 1 < end; r += 2) {
      const a0 = source + (r - begin) * depth;
      const a1 = a0 + depth;
      let s00 = 0;
      let s01 = 0;
      let s10 = 0;
      let s11 = 0;
      for (let k = 0; k < depth; k++) {
        const x0 = l[a0 + k]!;
        const x1 = l[a1 + k]!;
        const y0 = l[b0 + k]!;
        const y1 = l[b1 + k]!;
        s00 += x0 * y0;
        s01 += x0 * y1;
        s10 += x1 * y0;
        s11 += x1 * y1;
      }
      const to0 = localRow[rows[r]!]! * width;
      const to1 = localRow[rows[r + 1]!]! * width;
      l[column0 + to0]! -= s00;
      if (r > c) l[column1 + to0]! -= s01;
      l[column0 + to1]! -= s10;
      l[column1 + to1]! -= s11;
    }
    for (; r < end; r++) {
      const a0 = source + (r - begin) * depth;
      let s00 = 0;
      let s01 = 0;
      for (let k = 0; k < depth; k++) {
        s00 += l[a0 + k]! * l[b0 + k]!;
        s01 += l[a0 + k]! * l[b1 + k]!;
      }
      const to = localRow[rows[r]!]! * width;
      l[column0 + to]! -= s00;
      l[column1 + to]! -= s01;
    }
  }
  for (; c < split; c++) {
    const b0 = source + (c - begin) * depth;
    const column = base + rows[c]! - from;
    for (let r = c; r < end; r++) {
      const a0 = source + (r - begin) * depth;
      let sum = 0;
      for (let k = 0; k < depth; k++) sum += l[a0 + k]! * l[b0 + k]!;
      l[column + localRow[rows[r]!]! * width]! -= sum;
    }
  }
}

/** Factor of the square block on top and solution of the rows below it; the failed column, or −1. */
function factorizeBlock(l: Float64Array, base: number, width: number, height: number): number {
  for (let i = 0; i < width; i++) {
    const rowI = base + i * width;
    for (let j = 0; j < i; j++) {
      const rowJ = base + j * width;
      let sum = l[rowI + j]!;
      for (let k = 0; k < j; k++) sum -= l[rowI + k]! * l[rowJ + k]!;
      l[rowI + j] = sum / l[rowJ + j]!;
    }
    let pivot = l[rowI + i]!;
    for (let k = 0; k < i; k++) pivot -= l[rowI + k]! * l[rowI + k]!;
    if (!(pivot > 0) || pivot === Number.POSITIVE_INFINITY) return i;
    l[rowI + i] = Math.sqrt(pivot);
    for (let k = i + 1; k < width; k++) l[rowI + k] = 0;
  }
  if (width === 1) {
    const scale = 1 / l[base]!;
    for (let at = base + 1; at < base + height; at++) l[at]! *= scale;
    return -1;
  }
  let i = width;
  for (; i + 3 < height; i += 4) {
    const r0 = base + i * width;
    const r1 = r0 + width;
    const r2 = r1 + width;
    const r3 = r2 + width;
    for (let j = 0; j < width; j++) {
      const rowJ = base + j * width;
      let s0 = l[r0 + j]!;
      let s1 = l[r1 + j]!;
      let s2 = l[r2 + j]!;
      let s3 = l[r3 + j]!;
      for (let k = 0; k < j; k++) {
        const f = l[rowJ + k]!;
        s0 -= l[r0 + k]! * f;
        s1 -= l[r1 + k]! * f;
        s2 -= l[r2 + k]! * f;
        s3 -= l[r3 + k]! * f;
      }
      const diagonal = l[rowJ + j]!;
      l[r0 + j] = s0 / diagonal;
      l[r1 + j] = s1 / diagonal;
      l[r2 + j] = s2 / diagonal;
      l[r3 + j] = s3 / diagonal;
    }
  }
  for (; i < height; i++) {
    const row = base + i * width;
    for (let j = 0; j < width; j++) {
      const rowJ = base + j * width;
      let sum = l[row + j]!;
      for (let k = 0; k < j; k++) sum -= l[row + k]! * l[rowJ + k]!;
      l[row + j] = sum / l[rowJ + j]!;
    }
  }
  return -1;
}
