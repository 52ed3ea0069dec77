import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { type SparseSymmetric, sparseFromTriplets } from "../linear-algebra/sparse-symmetric.ts";
import { type SymbolicFactor, symbolicCholesky } from "../linear-algebra/symbolic-cholesky.ts";
import type { MultipleMembership } from "../mixed-model-terms.ts";

/** One unit's shock of one time: units are tied over time, times of one unit are whole steps apart. */
export interface PanelCell {
  readonly unit: number;
  readonly time: number;
}

/** A further random term, one independent effect a level. */
export interface PanelBlock {
  readonly levels: number;
  readonly membership: MultipleMembership;
}

/**
 * Rows of a linear model with a random intercept for each group of rows, a shock for each cell of a panel (unit by
 * time) and further random terms: y = Xβ + group + Σ weight · cell + Σ weight · level + e, Var(e) = 1 / precision.
 */
export interface PanelRows {
  readonly precision: Float64Array;
  /** Each row's group, from 0. */
  readonly group: Int32Array;
  readonly groups: number;
  readonly groupVariance: number;
  readonly cell: MultipleMembership;
  readonly cells: readonly PanelCell[];
  readonly blocks: readonly PanelBlock[];
}

/** Cross-products of some columns (outcome included) and of the shocks' designs, the groups already absorbed. */
export interface AbsorbedPanel {
  readonly cells: readonly PanelCell[];
  /** Levels of each block, numbered after the cells, block by block. */
  readonly blockLevels: readonly number[];
  readonly columns: number;
  /** Between columns. */
  readonly dense: DenseMatrix;
  /** Between shocks (cells first, then blocks) and columns, shock by shock. */
  readonly mixed: Float64Array;
  /** Between shocks; the pattern holds each unit's successive cells. */
  readonly shocks: SparseSymmetric;
  readonly symbolic: SymbolicFactor;
}

/** Order up to which all entries are gathered in a square table. */
const LARGEST_TABLE = 1200;
/** Triplets that are gathered before they are merged. */
const MOST_TRIPLETS = 4_000_000;

/**
 * Forms the cross-products under the inverse covariance of groups and residuals. Columns: one value a row. `like`: an
 * absorbed panel of the same rows under other precisions (zero leaves a row out), whose analysis is kept.
 */
export function absorbPanel(
  panel: PanelRows,
  columns: readonly Float64Array[],
  like?: AbsorbedPanel,
): AbsorbedPanel {
  const { precision, cells } = panel;
  const count = columns.length;
  const blockLevels = panel.blocks.map(({ levels }) => levels);
  const order = blockLevels.reduce((sum, levels) => sum + levels, cells.length);
  const dense = zeroMatrix(count, count);
  const mixed = new Float64Array(order * count);
  const gatherer = order <= LARGEST_TABLE ? tableGatherer(order) : tripletGatherer(order);
  for (const [before, after] of successiveCells(cells)) gatherer.add(after, before, 0);
  const byGroup = rowsByGroup(panel);
  const own = new Float64Array(count);
  const groupSum = new Float64Array(count);
  const shockSum = new Float64Array(order);
  const seen = new Int32Array(order).fill(-1);
  const touched: number[] = [];
  const most = mostEntries(panel);
  const rowShock = new Int32Array(most);
  const rowWeight = new Float64Array(most);
  for (let g = 0; g < panel.groups; g++) {
    groupSum.fill(0);
    let total = 0;
    touched.length = 0;
    for (let k = byGroup.start[g]!; k < byGroup.start[g + 1]!; k++) {
      const row = byGroup.rows[k]!;
      const w = precision[row]!;
      total += w;
      const entries = shocksOfRow(panel, row, rowShock, rowWeight);
      for (let i = 0; i < count; i++) own[i] = columns[i]![row]!;
      for (let i = 0; i < count; i++) {
        const wx = w * own[i]!;
        if (wx === 0) continue;
        groupSum[i]! += wx;
        for (let j = 0; j <= i; j++) dense.values[i * count + j]! += wx * own[j]!;
        for (let e = 0; e < entries; e++) mixed[rowShock[e]! * count + i]! += wx * rowWeight[e]!;
      }
      for (let e = 0; e < entries; e++) {
        const shock = rowShock[e]!;
        const amount = w * rowWeight[e]!;
        if (seen[shock] !== g) {
          seen[shock] = g;
          touched.push(shock);
        }
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
  const symbolic =
    like?.shocks.rowIndex.length === shocks.rowIndex.length ? like.symbolic : symbolicCholesky(shocks);
  return { cells, blockLevels, columns: count, dense, mixed, shocks, symbolic };
}

/** Pairs of cells that follow each other in time within a unit. Throws RangeError where two share unit and time. */
export function successiveCells(cells: readonly PanelCell[]): [before: number, after: number][] {
  const order = cells
    .map((_, k) => k)
    .sort((a, b) => cells[a]!.unit - cells[b]!.unit || cells[a]!.time - cells[b]!.time);
  const pairs: [number, number][] = [];
  for (let k = 1; k < order.length; k++) {
    const [before, after] = [order[k - 1]!, order[k]!];
    if (cells[before]!.unit !== cells[after]!.unit) continue;
    if (cells[before]!.time === cells[after]!.time) throw new RangeError("two cells of one unit and time");
    pairs.push([before, after]);
  }
  return pairs;
}

/** Writes a row's shocks and weights, blocks numbered after cells; gives their number. */
function shocksOfRow(panel: PanelRows, row: number, shock: Int32Array, weight: Float64Array): number {
  let entries = 0;
  let first = 0;
  const write = ({ rowStart, level, weight: of }: MultipleMembership): void => {
    for (let k = rowStart[row]!; k < rowStart[row + 1]!; k++) {
      shock[entries] = first + level[k]!;
      weight[entries++] = of[k]!;
    }
  };
  write(panel.cell);
  first = panel.cells.length;
  for (const { membership, levels } of panel.blocks) {
    write(membership);
    first += levels;
  }
  return entries;
}

function mostEntries({ cell, blocks, precision }: PanelRows): number {
  let most = 1;
  for (let row = 0; row < precision.length; row++) {
    let entries = cell.rowStart[row + 1]! - cell.rowStart[row]!;
    for (const { membership } of blocks) entries += membership.rowStart[row + 1]! - membership.rowStart[row]!;
    most = Math.max(most, entries);
  }
  return most;
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

interface Gatherer {
  readonly add: (row: number, column: number, value: number) => void;
  readonly matrix: () => SparseSymmetric;
}

/** Gathers entries of a symmetric matrix in a square table. */
function tableGatherer(order: number): Gatherer {
  const table = new Float64Array(order * order);
  const given = new Uint8Array(order * order);
  return {
    add(row, column, value) {
      const at = row > column ? column * order + row : row * order + column;
      table[at]! += value;
      given[at] = 1;
    },
    matrix() {
      const columnStart = new Int32Array(order + 1);
      for (let j = 0; j < order; j++) given[j * (order + 1)] = 1;
      const rowIndex = new Int32Array(given.reduce((sum, one) => sum + one, 0));
      const values = new Float64Array(rowIndex.length);
      let used = 0;
      for (let j = 0; j < order; j++) {
        for (let i = j; i < order; i++) {
          if (given[j * order + i] === 0) continue;
          rowIndex[used] = i;
          values[used++] = table[j * order + i]!;
        }
        columnStart[j + 1] = used;
      }
      return { order, columnStart, rowIndex, values };
    },
  };
}

/** Gathers entries of a symmetric matrix, merging them now and then so that they stay few. */
function tripletGatherer(order: number): Gatherer {
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
