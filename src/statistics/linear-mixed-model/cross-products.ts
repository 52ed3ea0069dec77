import { type SparseSymmetric, withValues } from "../linear-algebra/sparse-symmetric.ts";
import type { RandomColumns } from "./random-columns.ts";

/**
 * [Z Q]' W [Z Q] as one sparse matrix, random columns first, the fixed basis Q (with Q' W Q = I) last. Every random
 * column holds all fixed rows, zero or not, so that the fixed part stands below every column of the factor.
 */
export function crossProducts(
  random: RandomColumns,
  basis: readonly Float64Array[],
  weights: Float64Array | undefined,
): SparseSymmetric {
  const q = random.count;
  const p = basis.length;
  const byColumn = entriesByColumn(random);
  const withBasis = randomByBasis(random, basis, weights);
  const columnStart = new Int32Array(q + p + 1);
  let capacity = Math.max(1024, 4 * random.column.length + (q + p) * p);
  let rowIndex = new Int32Array(capacity);
  let values = new Float64Array(capacity);
  const mark = new Int32Array(q).fill(-1);
  const sum = new Float64Array(q);
  let used = 0;
  const levelEnd = endsOfLevels(random);
  for (let j = 0; j < q; j++) {
    const from = used;
    if (used + levelEnd[j]! - j + p > capacity) grow();
    for (let i = j; i < levelEnd[j]!; i++) {
      mark[i] = j;
      sum[i] = 0;
      rowIndex[used++] = i;
    }
    for (let k = byColumn.start[j]!; k < byColumn.start[j + 1]!; k++) {
      const row = byColumn.row[k]!;
      const own = byColumn.entry[k]!;
      const weighted = random.value[own]! * (weights === undefined ? 1 : weights[row]!);
      const end = random.rowStart[row + 1]!;
      if (used + end - own + p > capacity) grow();
      for (let e = own; e < end; e++) {
        const i = random.column[e]!;
        if (mark[i] !== j) {
          mark[i] = j;
          sum[i] = 0;
          rowIndex[used++] = i;
        }
        // A level that a row names twice meets itself both ways round.
        sum[i]! += weighted * random.value[e]! * (i === j && e > own ? 2 : 1);
      }
    }
    sortShort(rowIndex, from, used);
    if (used + p > capacity) grow();
    for (let e = from; e < used; e++) values[e] = sum[rowIndex[e]!]!;
    for (let k = 0; k < p; k++, used++) {
      rowIndex[used] = q + k;
      values[used] = withBasis[j * p + k]!;
    }
    columnStart[j + 1] = used;
  }
  for (let k = 0; k < p; k++) {
    if (used + p > capacity) grow();
    for (let i = k; i < p; i++, used++) {
      rowIndex[used] = q + i;
      values[used] = i === k ? 1 : 0;
    }
    columnStart[q + k + 1] = used;
  }
  return withValues(
    { order: q + p, columnStart, rowIndex: rowIndex.slice(0, used), values },
    values.slice(0, used),
  );

  function grow(): void {
    capacity = Math.ceil(capacity * 1.6) + 1024 + q;
    const grownRows = new Int32Array(capacity);
    grownRows.set(rowIndex);
    rowIndex = grownRows;
    const grownValues = new Float64Array(capacity);
    grownValues.set(values);
    values = grownValues;
  }
}

/** Z' W y. */
export function randomByVector(
  random: RandomColumns,
  y: Float64Array,
  weights: Float64Array | undefined,
): Float64Array {
  const result = new Float64Array(random.count);
  for (let i = 0; i < y.length; i++) {
    const weighted = y[i]! * (weights === undefined ? 1 : weights[i]!);
    for (let e = random.rowStart[i]!; e < random.rowStart[i + 1]!; e++) {
      result[random.column[e]!]! += weighted * random.value[e]!;
    }
  }
  return result;
}

/** For each random column the first column past its level: the effects of a level are always stored together. */
function endsOfLevels(random: RandomColumns): Int32Array {
  const end = new Int32Array(random.count);
  for (const { offset, size, levels } of random.blocks) {
    for (let k = 0; k < levels * size; k++) end[offset + k] = offset + (Math.floor(k / size) + 1) * size;
  }
  return end;
}

/** Z' W Q, row by row. */
function randomByBasis(
  random: RandomColumns,
  basis: readonly Float64Array[],
  weights: Float64Array | undefined,
): Float64Array {
  const p = basis.length;
  const result = new Float64Array(random.count * p);
  const line = new Float64Array(p);
  for (let i = 0; i < random.rowStart.length - 1; i++) {
    const weight = weights === undefined ? 1 : weights[i]!;
    for (let k = 0; k < p; k++) line[k] = weight * basis[k]![i]!;
    for (let e = random.rowStart[i]!; e < random.rowStart[i + 1]!; e++) {
      const at = random.column[e]! * p;
      const value = random.value[e]!;
      for (let k = 0; k < p; k++) result[at + k]! += value * line[k]!;
    }
  }
  return result;
}

/** Rows and entries of Z by column. */
function entriesByColumn(random: RandomColumns): { start: Int32Array; row: Int32Array; entry: Int32Array } {
  const start = new Int32Array(random.count + 1);
  for (let e = 0; e < random.column.length; e++) start[random.column[e]! + 1]!++;
  for (let j = 0; j < random.count; j++) start[j + 1]! += start[j]!;
  const next = start.slice(0, random.count);
  const row = new Int32Array(random.column.length);
  const entry = new Int32Array(random.column.length);
  for (let i = 0; i < random.rowStart.length - 1; i++) {
    for (let e = random.rowStart[i]!; e < random.rowStart[i + 1]!; e++) {
      const at = next[random.column[e]!]!++;
      row[at] = i;
      entry[at] = e;
    }
  }
  return { start, row, entry };
}

function sortShort(list: Int32Array, from: number, to: number): void {
  if (to - from > 32) {
    list.subarray(from, to).sort();
    return;
  }
  for (let k = from + 1; k < to; k++) {
    const item = list[k]!;
    let at = k - 1;
    for (; at >= from && list[at]! > item; at--) list[at + 1] = list[at]!;
    list[at + 1] = item;
  }
}
