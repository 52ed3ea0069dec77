import { type DenseFactor, denseCholesky, solveLowerDense } from "../linear-algebra/dense-cholesky.ts";
import { type SelectedInverse, selectedInverse } from "../linear-algebra/selected-inverse.ts";
import type { SparseFactor } from "../linear-algebra/sparse-cholesky.ts";
import type { LinearMixedDesign } from "./linear-mixed-design.ts";

/** Diagonal blocks of the inverse of the mixed-model equations; lower triangles, row by row. */
export interface InverseBlocks {
  readonly selected: SelectedInverse;
  /** Block of C⁻¹ for `size` columns from `column` on. The array is overwritten by its next call. */
  readonly whole: (column: number, size: number) => Float64Array;
  /** The same block of the inverse of the random part of C alone (β known). The array likewise. */
  readonly random: (column: number, size: number) => Float64Array;
}

/** The blocks of one level each, from the selected inverse; β is taken out by the inverse's own fixed corner. */
export function inverseBlocks(
  design: LinearMixedDesign,
  factor: SparseFactor,
  reuse?: SelectedInverse,
): InverseBlocks {
  const { cross, fixedCount: p, randomCount: q } = design;
  const { destination } = design.symbolic;
  const selected = selectedInverse(factor, reuse);
  const widest = Math.max(1, ...design.blocks.map(({ size }) => size));
  const wholeBlock = new Float64Array(widest * widest);
  const randomBlock = new Float64Array(widest * widest);
  const sides: Float64Array[] = Array.from({ length: widest }, () => new Float64Array(p));
  const entry = (column: number, ahead: number): number =>
    selected.values[destination[cross.columnStart[column]! + ahead]!]!;
  const fill = (block: Float64Array, column: number, size: number): Float64Array => {
    for (let i = 0; i < size; i++) {
      for (let j = 0; j <= i; j++) block[i * size + j] = entry(column + j, i - j);
    }
    return block;
  };
  const whole = (column: number, size: number): Float64Array => fill(wholeBlock, column, size);
  let corner: DenseFactor | undefined;
  const random = (column: number, size: number): Float64Array => {
    if (corner === undefined) corner = fixedCorner(q, p, entry);
    fill(randomBlock, column, size);
    for (let i = 0; i < size; i++) {
      const side = sides[i]!;
      const first = cross.columnStart[column + i + 1]! - p;
      for (let k = 0; k < p; k++) side[k] = selected.values[destination[first + k]!]!;
      sides[i] = solveLowerDense(corner, side);
    }
    for (let i = 0; i < size; i++) {
      for (let j = 0; j <= i; j++) {
        for (let k = 0; k < p; k++) randomBlock[i * size + j]! -= sides[i]![k]! * sides[j]![k]!;
      }
    }
    return randomBlock;
  };
  return { selected, whole, random };
}

/** Cholesky factor of the fixed corner of the inverse. */
function fixedCorner(q: number, p: number, entry: (column: number, ahead: number) => number): DenseFactor {
  const values = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    for (let i = j; i < p; i++) {
      values[i * p + j] = entry(q + j, i - j);
      values[j * p + i] = values[i * p + j]!;
    }
  }
  const factor = denseCholesky({ rows: p, columns: p, values });
  if (!factor.positiveDefinite)
    throw new RangeError("the fixed corner of the inverse is not positive definite");
  return factor;
}
