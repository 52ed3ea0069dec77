import type { SparseSymmetric } from "../linear-algebra/sparse-symmetric.ts";
import { type SparseDesign, transposeDesign } from "./sparse-design.ts";

/**
 * W' diag(weights) W for one design W and any number of weights: the pattern is found once.
 * The pattern also holds the entries of `beside`, so that both can be added place by place.
 */
export interface CrossProduct {
  readonly pattern: SparseSymmetric;
  /** Values on `pattern`. */
  values(weights: ArrayLike<number>): Float64Array;
  /** The diagonal of W M W' for a symmetric matrix M known on `pattern`: one value a record. */
  recordForms(matrix: Float64Array): Float64Array;
}

/** `beside`: lower-triangle entries (row, column) that the pattern must hold as well. */
export function crossProduct(
  design: SparseDesign,
  beside: readonly { readonly rows: Int32Array; readonly columns: Int32Array }[],
): CrossProduct {
  const ascending = withAscendingRows(design);
  const byColumn = transposeDesign(ascending);
  const placeInRow = placesInRows(ascending, byColumn);
  const pattern = crossPattern(ascending, byColumn, beside);
  return {
    pattern,
    values: (weights) => crossValues(ascending, byColumn, placeInRow, pattern, weights),
    recordForms: (matrix) => recordForms(ascending, pattern, matrix),
  };
}

/** Places of given lower-triangle entries in a pattern that holds them. */
export function entryPlaces(
  pattern: SparseSymmetric,
  rows: ArrayLike<number>,
  columns: ArrayLike<number>,
): Int32Array {
  return Int32Array.from({ length: rows.length }, (_, e) => entryPlace(pattern, rows[e], columns[e]));
}

function entryPlace(pattern: SparseSymmetric, row: number, column: number): number {
  let low = pattern.columnStart[column];
  let high = pattern.columnStart[column + 1] - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (pattern.rowIndex[middle] < row) low = middle + 1;
    else high = middle;
  }
  return low;
}

function crossPattern(
  design: SparseDesign,
  byColumn: SparseDesign,
  beside: readonly { readonly rows: Int32Array; readonly columns: Int32Array }[],
): SparseSymmetric {
  const order = design.columns;
  const extra = entriesByColumn(order, beside);
  const columnStart = new Int32Array(order + 1);
  const seen = new Int32Array(order).fill(-1);
  let rowIndex = new Int32Array(4 * (order + design.column.length));
  let end = 0;
  for (let j = 0; j < order; j++) {
    if (end + order - j > rowIndex.length) {
      const larger = new Int32Array(2 * rowIndex.length + order);
      larger.set(rowIndex);
      rowIndex = larger;
    }
    const first = end;
    const mark = (i: number): void => {
      if (i < j || seen[i] === j) return;
      seen[i] = j;
      rowIndex[end++] = i;
    };
    mark(j);
    for (let e = extra.start[j]; e < extra.start[j + 1]; e++) mark(extra.row[e]);
    for (let e = byColumn.rowStart[j]; e < byColumn.rowStart[j + 1]; e++) {
      const record = byColumn.column[e];
      for (let f = design.rowStart[record]; f < design.rowStart[record + 1]; f++) mark(design.column[f]);
    }
    rowIndex.subarray(first, end).sort();
    columnStart[j + 1] = end;
  }
  return { order, columnStart, rowIndex: rowIndex.slice(0, end), values: new Float64Array(end) };
}

function entriesByColumn(
  order: number,
  lists: readonly { readonly rows: Int32Array; readonly columns: Int32Array }[],
): { start: Int32Array; row: Int32Array } {
  const start = new Int32Array(order + 1);
  for (const list of lists) for (const c of list.columns) start[c + 1]++;
  for (let j = 0; j < order; j++) start[j + 1] += start[j];
  const next = start.slice(0, order);
  const row = new Int32Array(start[order]);
  for (const list of lists)
    for (let e = 0; e < list.rows.length; e++) row[next[list.columns[e]]++] = list.rows[e];
  return { start, row };
}

/** The same design with the entries of each row in the order of their columns. */
function withAscendingRows(design: SparseDesign): SparseDesign {
  return transposeDesign(transposeDesign(design));
}

/** Where in the rows' storage each entry of the columns' storage stands. */
function placesInRows(design: SparseDesign, byColumn: SparseDesign): Int32Array {
  const next = design.rowStart.slice(0, design.rows);
  return byColumn.column.map((record) => next[record]++);
}

function crossValues(
  design: SparseDesign,
  byColumn: SparseDesign,
  placeInRow: Int32Array,
  pattern: SparseSymmetric,
  weights: ArrayLike<number>,
): Float64Array {
  const values = new Float64Array(pattern.rowIndex.length);
  const place = new Int32Array(pattern.order);
  for (let j = 0; j < pattern.order; j++) {
    for (let e = pattern.columnStart[j]; e < pattern.columnStart[j + 1]; e++) place[pattern.rowIndex[e]] = e;
    for (let e = byColumn.rowStart[j]; e < byColumn.rowStart[j + 1]; e++) {
      const record = byColumn.column[e];
      const factor = byColumn.value[e] * weights[record];
      // entries of earlier columns in its row lie above the diagonal; a column may stand in a row more than once
      let first = placeInRow[e];
      while (first > design.rowStart[record] && design.column[first - 1] === j) first--;
      const end = design.rowStart[record + 1];
      for (let f = first; f < end; f++) values[place[design.column[f]]] += factor * design.value[f];
    }
  }
  return values;
}

function recordForms(design: SparseDesign, pattern: SparseSymmetric, matrix: Float64Array): Float64Array {
  const forms = new Float64Array(design.rows);
  for (let r = 0; r < design.rows; r++) {
    let sum = 0;
    for (let e = design.rowStart[r]; e < design.rowStart[r + 1]; e++) {
      for (let f = design.rowStart[r]; f <= e; f++) {
        const place = entryPlace(pattern, design.column[e], design.column[f]);
        const entry = matrix[place] * design.value[e] * design.value[f];
        sum += e === f ? entry : 2 * entry;
      }
    }
    forms[r] = sum;
  }
  return forms;
}
