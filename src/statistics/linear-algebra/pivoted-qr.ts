import { type DenseMatrix, zeroMatrix } from "./dense-matrix.ts";

/**
 * A P = Q R by Householder reflections, A of `rows` by `columns`.
 *
 * `pivot[k]` is the column of A that stands at place k; the first `rank` of them are linearly independent and
 * the rest lie in their span. The reflectors stand below the diagonal of `packed`, R on and above it.
 */
export interface PivotedQr {
  readonly rows: number;
  readonly columns: number;
  readonly rank: number;
  readonly pivot: Int32Array;
  readonly packed: Float64Array;
  readonly scale: Float64Array;
}

export interface QrOptions {
  /** A column counts as dependent when less than this share of its length is left (default 1e-7). */
  readonly tolerance?: number;
  /**
   * `keep-order` (default) takes columns from left to right and moves only dependent ones to the end, so that
   * the earlier of two collinear columns stays; `largest-first` takes the longest remainder each time.
   */
  readonly pivoting?: "keep-order" | "largest-first";
}

/** QR factorisation with rank detection (Golub and Van Loan, Matrix Computations, section 5.4). */
export function pivotedQr(a: DenseMatrix, options: QrOptions = {}): PivotedQr {
  const { rows, columns } = a;
  const tolerance = options.tolerance ?? 1e-7;
  const largestFirst = options.pivoting === "largest-first";
  const work = columnsOf(a);
  const full = work.map((column) => norm(column, 0));
  const pivot = Int32Array.from({ length: columns }, (_, j) => j);
  const scale = new Float64Array(columns);
  let candidates = columns;
  let rank = 0;
  while (rank < candidates && rank < rows) {
    if (largestFirst) bringLongestForward(work, full, pivot, rank, candidates);
    const column = work[rank]!;
    const left = norm(column, rank);
    if (!(left > tolerance * full[rank]!)) {
      moveToEnd(work, rank);
      moveToEnd(full, rank);
      moveToEnd(pivot, rank);
      candidates--;
      continue;
    }
    const head = column[rank]!;
    const diagonal = head > 0 ? -left : left;
    const pivotEntry = head - diagonal;
    scale[rank] = -pivotEntry / diagonal;
    for (let i = rank + 1; i < rows; i++) column[i]! /= pivotEntry;
    column[rank] = diagonal;
    for (let j = rank + 1; j < columns; j++) reflect(column, scale[rank]!, rank, work[j]!);
    rank++;
  }
  const packed = new Float64Array(rows * columns);
  work.forEach((column, j) => {
    for (let i = 0; i < rows; i++) packed[i * columns + j] = column[i]!;
  });
  return { rows, columns, rank, pivot, packed, scale };
}

/** Columns of A that lie in the span of the columns kept before them, in increasing order. */
export function dependentColumns(qr: PivotedQr): number[] {
  return Array.from(qr.pivot.subarray(qr.rank)).sort((x, y) => x - y);
}

/** Q' b, length `rows`. */
function applyQTransposed(qr: PivotedQr, b: ArrayLike<number>): Float64Array {
  const result = Float64Array.from(b);
  for (let k = 0; k < qr.rank; k++) reflect(reflector(qr, k), qr.scale[k]!, k, result);
  return result;
}

/** Q b for b of length `rows`. */
function applyQ(qr: PivotedQr, b: ArrayLike<number>): Float64Array {
  const result = Float64Array.from(b);
  for (let k = qr.rank - 1; k >= 0; k--) reflect(reflector(qr, k), qr.scale[k]!, k, result);
  return result;
}

/** The first `rank` columns of Q, orthonormal, spanning the columns of A. */
export function orthonormalBasis(qr: PivotedQr): DenseMatrix {
  const result = zeroMatrix(qr.rows, qr.rank);
  const unit = new Float64Array(qr.rows);
  for (let k = 0; k < qr.rank; k++) {
    unit.fill(0);
    unit[k] = 1;
    const column = applyQ(qr, unit);
    for (let i = 0; i < qr.rows; i++) result.values[i * qr.rank + k] = column[i]!;
  }
  return result;
}

/** Least-squares coefficients of b on the columns of A; dependent columns get zero. Length `columns`. */
export function leastSquares(qr: PivotedQr, b: ArrayLike<number>): Float64Array {
  const rotated = applyQTransposed(qr, b);
  const result = new Float64Array(qr.columns);
  for (let k = qr.rank - 1; k >= 0; k--) {
    let sum = rotated[k]!;
    for (let j = k + 1; j < qr.rank; j++) sum -= qr.packed[k * qr.columns + j]! * result[qr.pivot[j]!]!;
    result[qr.pivot[k]!] = sum / qr.packed[k * qr.columns + k]!;
  }
  return result;
}

function columnsOf(a: DenseMatrix): Float64Array[] {
  return Array.from({ length: a.columns }, (_, j) => {
    const column = new Float64Array(a.rows);
    for (let i = 0; i < a.rows; i++) column[i] = a.values[i * a.columns + j]!;
    return column;
  });
}

function norm(column: Float64Array, from: number): number {
  let largest = 0;
  for (let i = from; i < column.length; i++) largest = Math.max(largest, Math.abs(column[i]!));
  if (largest === 0) return 0;
  let sum = 0;
  for (let i = from; i < column.length; i++) sum += (column[i]! / largest) ** 2;
  return largest * Math.sqrt(sum);
}

function reflector(qr: PivotedQr, k: number): Float64Array {
  const column = new Float64Array(qr.rows);
  for (let i = k + 1; i < qr.rows; i++) column[i] = qr.packed[i * qr.columns + k]!;
  return column;
}

/** target ← (I − scale·v v') target, v = (0…0, 1, column below `head`). */
function reflect(column: Float64Array, scale: number, head: number, target: Float64Array): void {
  let sum = target[head]!;
  for (let i = head + 1; i < target.length; i++) sum += column[i]! * target[i]!;
  sum *= scale;
  target[head]! -= sum;
  for (let i = head + 1; i < target.length; i++) target[i]! -= sum * column[i]!;
}

function moveToEnd(items: Float64Array[] | number[] | Int32Array, at: number): void {
  const moved = items[at]!;
  items.copyWithin(at, at + 1);
  (items as { [index: number]: unknown })[items.length - 1] = moved;
}

function bringLongestForward(
  work: Float64Array[],
  full: number[],
  pivot: Int32Array,
  from: number,
  to: number,
): void {
  let best = from;
  let longest = -1;
  for (let j = from; j < to; j++) {
    const left = norm(work[j]!, from);
    if (left > longest) {
      longest = left;
      best = j;
    }
  }
  for (const items of [work, full, pivot] as { [index: number]: unknown }[]) {
    const held = items[from];
    items[from] = items[best];
    items[best] = held;
  }
}
