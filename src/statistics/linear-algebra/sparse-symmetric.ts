/**
 * A sparse symmetric matrix: its lower triangle by compressed columns. Column j holds entries
 * `columnStart[j]` to `columnStart[j + 1] - 1`; rows within a column ascend and the diagonal always comes first.
 */
export interface SparseSymmetric {
  readonly order: number;
  readonly columnStart: Int32Array;
  readonly rowIndex: Int32Array;
  readonly values: Float64Array;
}

/**
 * A sparse symmetric matrix from triplets. (i, j) and (j, i) name the same entry: give each pair once; repeated
 * ones add up. Every diagonal entry becomes part of the pattern, zero if not given.
 * Throws RangeError for an index outside 0 … order − 1 or lists of different length.
 */
export function sparseFromTriplets(
  order: number,
  rows: ArrayLike<number>,
  columns: ArrayLike<number>,
  values: ArrayLike<number>,
): SparseSymmetric {
  const given = rows.length;
  if (columns.length !== given || values.length !== given)
    throw new RangeError("triplet lists differ in length");
  const total = given + order;
  const rowOf = new Int32Array(total);
  const columnOf = new Int32Array(total);
  const amountOf = new Float64Array(total);
  for (let j = 0; j < order; j++) {
    rowOf[j] = j;
    columnOf[j] = j;
  }
  for (let e = 0; e < given; e++) {
    const i = rows[e]!;
    const j = columns[e]!;
    if (!(i >= 0 && i < order && j >= 0 && j < order)) throw new RangeError(`entry (${i}, ${j}) is outside`);
    rowOf[order + e] = Math.max(i, j);
    columnOf[order + e] = Math.min(i, j);
    amountOf[order + e] = values[e]!;
  }
  const byRow = stableOrder(rowOf, order, null);
  const sorted = stableOrder(columnOf, order, byRow);
  return mergeSorted(order, rowOf, columnOf, amountOf, sorted);
}

/** Entry (i, j); zero outside the pattern. */
export function sparseEntry(matrix: SparseSymmetric, i: number, j: number): number {
  const row = Math.max(i, j);
  const column = Math.min(i, j);
  let low = matrix.columnStart[column]!;
  let high = matrix.columnStart[column + 1]! - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const found = matrix.rowIndex[middle]!;
    if (found === row) return matrix.values[middle]!;
    if (found < row) low = middle + 1;
    else high = middle - 1;
  }
  return 0;
}

/** A x. */
export function sparseMultiply(matrix: SparseSymmetric, x: ArrayLike<number>): Float64Array {
  const { order, columnStart, rowIndex, values } = matrix;
  const result = new Float64Array(order);
  for (let j = 0; j < order; j++) {
    const first = columnStart[j]!;
    const xj = x[j]!;
    let sum = values[first]! * xj;
    for (let e = first + 1; e < columnStart[j + 1]!; e++) {
      const i = rowIndex[e]!;
      sum += values[e]! * x[i]!;
      result[i]! += values[e]! * xj;
    }
    result[j]! += sum;
  }
  return result;
}

/** The same pattern with other values (aligned with `rowIndex`). */
export function withValues(matrix: SparseSymmetric, values: Float64Array): SparseSymmetric {
  if (values.length !== matrix.rowIndex.length) throw new RangeError("one value per entry of the pattern");
  return { ...matrix, values };
}

/** Positions 0 … keys.length − 1 (or those of `within`, in its order) sorted by key, ties kept in order. */
function stableOrder(keys: Int32Array, bound: number, within: Int32Array | null): Int32Array {
  const next = new Int32Array(bound + 1);
  for (let e = 0; e < keys.length; e++) next[keys[e]! + 1]!++;
  for (let k = 0; k < bound; k++) next[k + 1]! += next[k]!;
  const result = new Int32Array(keys.length);
  for (let k = 0; k < keys.length; k++) {
    const e = within === null ? k : within[k]!;
    result[next[keys[e]!]!++] = e;
  }
  return result;
}

function mergeSorted(
  order: number,
  rowOf: Int32Array,
  columnOf: Int32Array,
  amountOf: Float64Array,
  sorted: Int32Array,
): SparseSymmetric {
  const columnStart = new Int32Array(order + 1);
  const rowIndex = new Int32Array(sorted.length);
  const values = new Float64Array(sorted.length);
  let count = 0;
  let lastRow = -1;
  let lastColumn = -1;
  for (let k = 0; k < sorted.length; k++) {
    const e = sorted[k]!;
    if (rowOf[e] !== lastRow || columnOf[e] !== lastColumn) {
      lastRow = rowOf[e]!;
      lastColumn = columnOf[e]!;
      rowIndex[count++] = lastRow;
      columnStart[lastColumn + 1] = count;
    }
    values[count - 1]! += amountOf[e]!;
  }
  return { order, columnStart, rowIndex: rowIndex.slice(0, count), values: values.slice(0, count) };
}
