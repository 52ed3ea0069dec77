import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { type SparseSymmetric, sparseFromTriplets } from "../linear-algebra/sparse-symmetric.ts";
import { type SymbolicFactor, symbolicCholesky } from "../linear-algebra/symbolic-cholesky.ts";
import type { MultipleMembership } from "../mixed-model-terms.ts";

/** One unit's shock of one time: units are tied over time, times of one unit are whole steps apart. */
export interface PanelCell {
  readonly unit: number;
  readonly time: number;
}

/**
 * Rows of a linear model with a random intercept for each group of rows, a shock for each cell of a panel (unit by
 * time) and one for each period: y = Xβ + group + Σ weight · cell + Σ weight · period + e, Var(e) = 1 / precision.
 */
export interface PanelRows {
  readonly precision: Float64Array;
  /** Each row's group, from 0. */
  readonly group: Int32Array;
  readonly groups: number;
  readonly groupVariance: number;
  readonly cell: MultipleMembership;
  readonly cells: readonly PanelCell[];
  readonly period: MultipleMembership;
  readonly periods: number;
}

/** Cross-products of some columns (outcome included) and of the shocks' designs, the groups already absorbed. */
export interface AbsorbedPanel {
  readonly cells: readonly PanelCell[];
  readonly periods: number;
  readonly columns: number;
  /** Between columns. */
  readonly dense: DenseMatrix;
  /** Between shocks (cells first, then periods) and columns, shock by shock. */
  readonly mixed: Float64Array;
  /** Between shocks; the pattern holds each unit's successive cells. */
  readonly shocks: SparseSymmetric;
  readonly symbolic: SymbolicFactor;
}

/** Triplets that are gathered before they are merged. */
const MOST_TRIPLETS = 4_000_000;

/** Forms the cross-products under the inverse covariance of groups and residuals. Columns: one value a row. */
export function absorbPanel(panel: PanelRows, columns: readonly Float64Array[]): AbsorbedPanel {
  const { precision, cells, periods } = panel;
  const count = columns.length;
  const order = cells.length + periods;
  const dense = zeroMatrix(count, count);
  const mixed = new Float64Array(order * count);
  const gatherer = tripletGatherer(order);
  for (const [before, after] of successiveCells(cells)) gatherer.add(after, before, 0);
  const byGroup = rowsByGroup(panel);
  const groupSum = new Float64Array(count);
  const shockSum = new Float64Array(order);
  const touched: number[] = [];
  const rowShock = new Int32Array(64);
  const rowWeight = new Float64Array(64);
  for (let g = 0; g < panel.groups; g++) {
    groupSum.fill(0);
    let total = 0;
    touched.length = 0;
    for (let k = byGroup.start[g]!; k < byGroup.start[g + 1]!; k++) {
      const row = byGroup.rows[k]!;
      const w = precision[row]!;
      total += w;
      const entries = shocksOfRow(panel, row, rowShock, rowWeight);
      for (let i = 0; i < count; i++) {
        const wx = w * columns[i]![row]!;
        if (wx === 0) continue;
        groupSum[i]! += wx;
        for (let j = 0; j <= i; j++) dense.values[i * count + j]! += wx * columns[j]![row]!;
        for (let e = 0; e < entries; e++) mixed[rowShock[e]! * count + i]! += wx * rowWeight[e]!;
      }
      for (let e = 0; e < entries; e++) {
        const shock = rowShock[e]!;
        const amount = w * rowWeight[e]!;
        if (shockSum[shock] === 0) touched.push(shock);
        shockSum[shock]! += amount;
        for (let f = 0; f <= e; f++) {
          const twice = f < e && rowShock[f] === shock ? 2 : 1;
          gatherer.add(shock, rowShock[f]!, twice * amount * rowWeight[f]!);
        }
      }
    }
    if (panel.groupVariance > 0) {
      const shrink = 1 / (total + 1 / panel.groupVariance);
      for (let i = 0; i < count; i++) {
        const share = groupSum[i]! * shrink;
        for (let j = 0; j <= i; j++) dense.values[i * count + j]! -= share * groupSum[j]!;
      }
      for (let a = 0; a < touched.length; a++) {
        const shock = touched[a]!;
        const share = shockSum[shock]! * shrink;
        for (let i = 0; i < count; i++) mixed[shock * count + i]! -= share * groupSum[i]!;
        for (let b = 0; b <= a; b++) gatherer.add(shock, touched[b]!, -share * shockSum[touched[b]!]!);
      }
    }
    for (const shock of touched) shockSum[shock] = 0;
  }
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < i; j++) dense.values[j * count + i] = dense.values[i * count + j]!;
  }
  const shocks = gatherer.matrix();
  return { cells, periods, columns: count, dense, mixed, shocks, symbolic: symbolicCholesky(shocks) };
}

/** Pairs of cells that follow each other in time within a unit. */
export function successiveCells(cells: readonly PanelCell[]): [before: number, after: number][] {
  const order = cells.map((_, k) => k).sort((a, b) => cells[a]!.unit - cells[b]!.unit || cells[a]!.time - cells[b]!.time);
  const pairs: [number, number][] = [];
  for (let k = 1; k < order.length; k++) {
    const [before, after] = [order[k - 1]!, order[k]!];
    if (cells[before]!.unit === cells[after]!.unit) pairs.push([before, after]);
  }
  return pairs;
}

/** Writes a row's shocks and weights, periods numbered after cells; gives their number. */
function shocksOfRow(panel: PanelRows, row: number, shock: Int32Array, weight: Float64Array): number {
  let entries = 0;
  const { cell, period, cells } = panel;
  for (let k = cell.rowStart[row]!; k < cell.rowStart[row + 1]!; k++) {
    shock[entries] = cell.level[k]!;
    weight[entries++] = cell.weight[k]!;
  }
  for (let k = period.rowStart[row]!; k < period.rowStart[row + 1]!; k++) {
    shock[entries] = cells.length + period.level[k]!;
    weight[entries++] = period.weight[k]!;
  }
  return entries;
}

function rowsByGroup({ group, groups }: PanelRows): { start: Int32Array; rows: Int32Array } {
  const start = new Int32Array(groups + 1);
  for (const g of group) start[g + 1]!++;
  for (let g = 0; g < groups; g++) start[g + 1]! += start[g]!;
  const next = start.slice(0, groups);
  const rows = new Int32Array(group.length);
  group.forEach((g, row) => {
    rows[next[g]!++] = row;
  });
  return { start, rows };
}

/** Gathers entries of a symmetric matrix, merging them now and then so that they stay few. */
function tripletGatherer(order: number): {
  add: (row: number, column: number, value: number) => void;
  matrix: () => SparseSymmetric;
} {
  let rows = new Int32Array(1 << 16);
  let columns = new Int32Array(1 << 16);
  let values = new Float64Array(1 << 16);
  let used = 0;
  const merge = (): SparseSymmetric =>
    sparseFromTriplets(order, rows.subarray(0, used), columns.subarray(0, used), values.subarray(0, used));
  const grow = (): void => {
    if (used >= MOST_TRIPLETS) {
      const merged = merge();
      used = 0;
      for (let j = 0; j < order; j++) {
        for (let e = merged.columnStart[j]!; e < merged.columnStart[j + 1]!; e++) {
          rows[used] = merged.rowIndex[e]!;
          columns[used] = j;
          values[used++] = merged.values[e]!;
        }
      }
      if (used < MOST_TRIPLETS / 2) return;
    }
    const larger = 2 * rows.length;
    const [r, c, v] = [new Int32Array(larger), new Int32Array(larger), new Float64Array(larger)];
    r.set(rows);
    c.set(columns);
    v.set(values);
    [rows, columns, values] = [r, c, v];
  };
  return {
    add(row, column, value) {
      if (used === rows.length) grow();
      rows[used] = row;
      columns[used] = column;
      values[used++] = value;
    },
    matrix: merge,
  };
}
