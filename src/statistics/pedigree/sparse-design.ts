import type { RandomTerm } from "../mixed-model-terms.ts";

/**
 * How records load on effects: a sparse matrix by rows. Record r loads `value[e]` on effect `column[e]`
 * for e from `rowStart[r]` to `rowStart[r + 1]`.
 */
export interface SparseDesign {
  readonly rows: number;
  readonly columns: number;
  readonly rowStart: Int32Array;
  readonly column: Int32Array;
  readonly value: Float64Array;
}

export interface DesignEntry {
  readonly row: number;
  readonly column: number;
  readonly value: number;
}

/** A design from its entries in any order; entries of the same place add up. Throws RangeError outside. */
export function sparseDesign(rows: number, columns: number, entries: readonly DesignEntry[]): SparseDesign {
  const rowStart = new Int32Array(rows + 1);
  for (const { row, column } of entries) {
    if (!(row >= 0 && row < rows && column >= 0 && column < columns)) {
      throw new RangeError(`design entry (${row}, ${column}) is outside ${rows} x ${columns}`);
    }
    rowStart[row + 1]++;
  }
  for (let r = 0; r < rows; r++) rowStart[r + 1] += rowStart[r];
  const next = rowStart.slice(0, rows);
  const column = new Int32Array(entries.length);
  const value = new Float64Array(entries.length);
  for (const entry of entries) {
    const e = next[entry.row]++;
    column[e] = entry.column;
    value[e] = entry.value;
  }
  return { rows, columns, rowStart, column, value };
}

/** One effect a record (-1: none), with loading 1 or the given multiplier (slope-only terms). */
export function indexDesign(
  index: ArrayLike<number>,
  columns: number,
  multiplier?: ArrayLike<number>,
): SparseDesign {
  const rows = index.length;
  const rowStart = new Int32Array(rows + 1);
  const column = new Int32Array(rows);
  const value = new Float64Array(rows);
  let end = 0;
  for (let r = 0; r < rows; r++) {
    if (index[r] >= columns) throw new RangeError(`record ${r} loads on effect ${index[r]} of ${columns}`);
    if (index[r] >= 0) {
      column[end] = index[r];
      value[end++] = multiplier?.[r] ?? 1;
    }
    rowStart[r + 1] = end;
  }
  return { rows, columns, rowStart, column: column.subarray(0, end), value: value.subarray(0, end) };
}

/** The design whose columns are given in full; zeros are not stored. */
export function columnDesign(rows: number, columns: readonly ArrayLike<number>[]): SparseDesign {
  const entries: DesignEntry[] = [];
  for (let row = 0; row < rows; row++) {
    columns.forEach((values, column) => {
      if (values[row] !== 0) entries.push({ row, column, value: values[row] });
    });
  }
  return sparseDesign(rows, columns.length, entries);
}

/** Designs side by side: the columns of each follow those of the one before. */
export function joinDesigns(rows: number, designs: readonly SparseDesign[]): SparseDesign {
  const total = designs.reduce((sum, d) => sum + d.column.length, 0);
  const rowStart = new Int32Array(rows + 1);
  const column = new Int32Array(total);
  const value = new Float64Array(total);
  let end = 0;
  for (let r = 0; r < rows; r++) {
    let offset = 0;
    for (const d of designs) {
      for (let e = d.rowStart[r]; e < d.rowStart[r + 1]; e++) {
        column[end] = d.column[e] + offset;
        value[end++] = d.value[e];
      }
      offset += d.columns;
    }
    rowStart[r + 1] = end;
  }
  return { rows, columns: designs.reduce((sum, d) => sum + d.columns, 0), rowStart, column, value };
}

/** The product of two designs, such as records on animals times animals on groups. */
export function composeDesigns(first: SparseDesign, second: SparseDesign): SparseDesign {
  const entries: DesignEntry[] = [];
  for (let row = 0; row < first.rows; row++) {
    const sums = new Map<number, number>();
    for (let e = first.rowStart[row]; e < first.rowStart[row + 1]; e++) {
      const middle = first.column[e];
      for (let f = second.rowStart[middle]; f < second.rowStart[middle + 1]; f++) {
        const column = second.column[f];
        sums.set(column, (sums.get(column) ?? 0) + first.value[e] * second.value[f]);
      }
    }
    for (const [column, value] of sums) entries.push({ row, column, value });
  }
  return sparseDesign(first.rows, second.columns, entries);
}

/** The rows as columns and the columns as rows. */
export function transposeDesign(design: SparseDesign): SparseDesign {
  const rowStart = new Int32Array(design.columns + 1);
  for (const c of design.column) rowStart[c + 1]++;
  for (let c = 0; c < design.columns; c++) rowStart[c + 1] += rowStart[c];
  const next = rowStart.slice(0, design.columns);
  const column = new Int32Array(design.column.length);
  const value = new Float64Array(design.column.length);
  for (let r = 0; r < design.rows; r++) {
    for (let e = design.rowStart[r]; e < design.rowStart[r + 1]; e++) {
      const place = next[design.column[e]]++;
      column[place] = r;
      value[place] = design.value[e];
    }
  }
  return { rows: design.columns, columns: design.rows, rowStart, column, value };
}

/** Design times effects: one value a record. */
export function designProduct(design: SparseDesign, effects: Float64Array): Float64Array {
  const result = new Float64Array(design.rows);
  for (let r = 0; r < design.rows; r++) {
    let sum = 0;
    for (let e = design.rowStart[r]; e < design.rowStart[r + 1]; e++) {
      sum += design.value[e] * effects[design.column[e]];
    }
    result[r] = sum;
  }
  return result;
}

/** Transposed design times record values: one value an effect. */
export function transposedProduct(design: SparseDesign, records: ArrayLike<number>): Float64Array {
  const result = new Float64Array(design.columns);
  for (let r = 0; r < design.rows; r++) {
    const amount = records[r];
    if (amount === 0) continue;
    for (let e = design.rowStart[r]; e < design.rowStart[r + 1]; e++) {
      result[design.column[e]] += design.value[e] * amount;
    }
  }
  return result;
}

/** The design of a random term with one effect a level. Throws RangeError for several effects. */
export function termDesign(term: RandomTerm, rows: number): SparseDesign {
  const { membership, levels, effects } = term;
  if (effects !== undefined && effects.length !== 1) {
    throw new RangeError(`term ${term.name} has ${effects.length} effects a level, not one`);
  }
  const multiplier = effects?.[0];
  if (membership instanceof Int32Array) return indexDesign(membership, levels, multiplier);
  const entries: DesignEntry[] = [];
  for (let row = 0; row < rows; row++) {
    for (let e = membership.rowStart[row]; e < membership.rowStart[row + 1]; e++) {
      entries.push({
        row,
        column: membership.level[e],
        value: membership.weight[e] * (multiplier?.[row] ?? 1),
      });
    }
  }
  return sparseDesign(rows, levels, entries);
}
