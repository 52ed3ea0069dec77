import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { factorize, logDeterminant, solveLower } from "../linear-algebra/sparse-cholesky.ts";
import { type AbsorbedPanel, type PanelCell, successiveCells } from "./absorbed-panel.ts";

/** Variances of the shocks; `correlation` is that of a unit's shocks of neighbouring times (first-order autoregression). */
export interface PanelShocks {
  readonly cellVariance: number;
  readonly correlation: number;
  /** One for each block of the panel. */
  readonly blockVariances: readonly number[];
}

/** Cross-products X' V⁻¹ X of the panel's columns, and the part of log |V| that depends on the shocks. */
export interface ShockedGram {
  readonly gram: DenseMatrix;
  readonly logDeterminant: number;
}

/** Variance that stands for none: what is asked at zero is asked just beside it. */
const LEAST_VARIANCE = 1e-9;

/** Takes the shocks into the covariance by Woodbury's identity; undefined where the equations break down. */
export function shockedGram(panel: AbsorbedPanel, shocks: PanelShocks): ShockedGram | undefined {
  const { cells, blockLevels, columns, mixed, shocks: cross, symbolic } = panel;
  const order = cross.order;
  const values = cross.values.slice();
  const diagonal = (k: number): number => cross.columnStart[k]!;
  let logOfShocks = 0;
  const cellVariance = Math.max(LEAST_VARIANCE, shocks.cellVariance);
  const follows = new Uint8Array(cells.length);
  for (const [before, after] of successiveCells(cells)) {
    follows[after] = 1;
    const keep = keptOver(cells, before, after, shocks.correlation);
    const fresh = cellVariance * (1 - keep * keep);
    values[diagonal(after)]! += 1 / fresh;
    values[diagonal(before)]! += (keep * keep) / fresh;
    values[entryAt(cross.columnStart, cross.rowIndex, before, after)]! -= keep / fresh;
    logOfShocks += Math.log(fresh);
  }
  for (let k = 0; k < cells.length; k++) {
    if (follows[k] === 1) continue;
    values[diagonal(k)]! += 1 / cellVariance;
    logOfShocks += Math.log(cellVariance);
  }
  let shock = cells.length;
  blockLevels.forEach((levels, block) => {
    const variance = Math.max(LEAST_VARIANCE, shocks.blockVariances[block]!);
    logOfShocks += levels * Math.log(variance);
    for (let k = 0; k < levels; k++, shock++) values[diagonal(shock)]! += 1 / variance;
  });
  const factor = factorize(symbolic, values);
  if (!factor.positiveDefinite) return undefined;
  const halves: Float64Array[] = [];
  const right = new Float64Array(order);
  for (let j = 0; j < columns; j++) {
    for (let k = 0; k < order; k++) right[k] = mixed[k * columns + j]!;
    halves.push(solveLower(factor, right));
  }
  const gram = zeroMatrix(columns, columns);
  for (let i = 0; i < columns; i++) {
    for (let j = 0; j <= i; j++) {
      let taken = 0;
      const [a, b] = [halves[i]!, halves[j]!];
      for (let k = 0; k < order; k++) taken += a[k]! * b[k]!;
      const entry = panel.dense.values[i * columns + j]! - taken;
      gram.values[i * columns + j] = entry;
      gram.values[j * columns + i] = entry;
    }
  }
  return { gram, logDeterminant: logOfShocks + logDeterminant(factor) };
}

function keptOver(cells: readonly PanelCell[], before: number, after: number, correlation: number): number {
  const gap = cells[after]!.time - cells[before]!.time;
  return correlation ** gap;
}

/** Place of entry (i, j) of a lower triangle by columns. */
function entryAt(columnStart: Int32Array, rowIndex: Int32Array, i: number, j: number): number {
  const row = Math.max(i, j);
  const column = Math.min(i, j);
  let low = columnStart[column]!;
  let high = columnStart[column + 1]! - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rowIndex[middle]! < row) low = middle + 1;
    else high = middle;
  }
  return low;
}
