import type { SparseSymmetric } from "../linear-algebra/sparse-symmetric.ts";
import type { RandomBlock } from "./random-columns.ts";

/**
 * θ holds, block after block, the lower triangle by columns of the factor T of each block's covariance relative to
 * the residual variance: Var(effects of a level) = σ² T T' (Bates, Mächler, Bolker and Walker 2015, J. Stat. Softw.
 * 67:1, section 2.1).
 */
export interface ThetaLayout {
  readonly length: number;
  /** First entry of θ of each block. */
  readonly start: readonly number[];
}

/** Where each block's part of θ stands. */
export function thetaLayout(blocks: readonly RandomBlock[]): ThetaLayout {
  const start: number[] = [];
  let length = 0;
  for (const { size } of blocks) {
    start.push(length);
    length += (size * (size + 1)) / 2;
  }
  return { length, start };
}

/** Place of T[row, column] within a block's part of θ. */
export function thetaPlace(size: number, row: number, column: number): number {
  return column * size - (column * (column - 1)) / 2 + row - column;
}

/** Places in θ of the diagonals of the factors T. */
export function diagonalPlaces(blocks: readonly RandomBlock[]): number[] {
  const { start } = thetaLayout(blocks);
  return blocks.flatMap(({ size }, b) =>
    Array.from({ length: size }, (_, k) => start[b]! + thetaPlace(size, k, k)),
  );
}

/** Nearest that the diagonal of T, in the design's own units, may come to zero where derivatives are taken. */
const CLOSEST = 1e-7;

/** θ with the diagonal of every T at least a hair away from zero, where the derivatives' formula breaks down. */
export function awayFromZero(
  theta: ArrayLike<number>,
  diagonal: readonly number[],
  unit: Float64Array,
): Float64Array {
  const result = Float64Array.from(theta);
  for (const k of diagonal) {
    const least = CLOSEST / unit[k]!;
    if (Math.abs(result[k]!) < least) result[k] = result[k]! < 0 ? -least : least;
  }
  return result;
}

/** T of each block, dense and row by row. */
export function factorsOf(blocks: readonly RandomBlock[], theta: ArrayLike<number>): Float64Array[] {
  const { start } = thetaLayout(blocks);
  return blocks.map(({ size }, b) => {
    const factor = new Float64Array(size * size);
    for (let column = 0; column < size; column++) {
      for (let row = column; row < size; row++) {
        factor[row * size + column] = theta[start[b]! + thetaPlace(size, row, column)]!;
      }
    }
    return factor;
  });
}

/** Λ x: T applied to the effects of every level; entries past the random columns are left as they are. */
export function applyFactors(
  blocks: readonly RandomBlock[],
  factors: readonly Float64Array[],
  x: ArrayLike<number>,
): Float64Array {
  const result = Float64Array.from(x);
  blocks.forEach(({ size, levels, offset }, b) => {
    const factor = factors[b]!;
    for (let level = 0, at = offset; level < levels; level++, at += size) {
      for (let i = 0; i < size; i++) {
        let sum = 0;
        for (let k = 0; k <= i; k++) sum += factor[i * size + k]! * x[at + k]!;
        result[at + i] = sum;
      }
    }
  });
  return result;
}

/** Λ' x. */
export function applyFactorsTransposed(
  blocks: readonly RandomBlock[],
  factors: readonly Float64Array[],
  x: ArrayLike<number>,
): Float64Array {
  const result = Float64Array.from(x);
  blocks.forEach(({ size, levels, offset }, b) => {
    const factor = factors[b]!;
    for (let level = 0, at = offset; level < levels; level++, at += size) {
      for (let i = 0; i < size; i++) {
        let sum = 0;
        for (let k = i; k < size; k++) sum += factor[k * size + i]! * x[at + k]!;
        result[at + i] = sum;
      }
    }
  });
  return result;
}

/**
 * The values of D' B D + J on the pattern of the cross-products B, with D = diag(Λ, I) and J one on the random
 * diagonal: the coefficient matrix of the mixed-model equations in spherical effects.
 */
export function scaledCrossProducts(
  cross: SparseSymmetric,
  blocks: readonly RandomBlock[],
  factors: readonly Float64Array[],
  into: Float64Array,
): Float64Array {
  if (blocks.every(({ size }) => size === 1)) scaleSingles(cross, blocks, factors, into);
  else scaleBlocks(cross, blocks, factors, into);
  return into;
}

function scaleSingles(
  cross: SparseSymmetric,
  blocks: readonly RandomBlock[],
  factors: readonly Float64Array[],
  into: Float64Array,
): void {
  const { order, columnStart, rowIndex, values } = cross;
  const scale = new Float64Array(order).fill(1);
  blocks.forEach(({ offset, levels }, b) => {
    scale.fill(factors[b]![0]!, offset, offset + levels);
  });
  for (let j = 0; j < order; j++) {
    const own = scale[j]!;
    for (let e = columnStart[j]!; e < columnStart[j + 1]!; e++)
      into[e] = own * scale[rowIndex[e]!]! * values[e]!;
  }
  for (const { offset, levels } of blocks) {
    for (let j = offset; j < offset + levels; j++) into[columnStart[j]!]! += 1;
  }
}

function scaleBlocks(
  cross: SparseSymmetric,
  blocks: readonly RandomBlock[],
  factors: readonly Float64Array[],
  into: Float64Array,
): void {
  const { order, columnStart, rowIndex, values } = cross;
  const last = blocks[blocks.length - 1];
  const q = last === undefined ? 0 : last.offset + last.levels * last.size;
  const blockOf = new Int32Array(q);
  blocks.forEach(({ offset, levels, size }, b) => {
    blockOf.fill(b, offset, offset + levels * size);
  });
  const one = Float64Array.of(1);
  const widest = Math.max(1, ...blocks.map(({ size }) => size));
  const piece = new Float64Array(widest * widest);
  const half = new Float64Array(widest * widest);
  for (let j = 0; j < order; ) {
    const width = j < q ? blocks[blockOf[j]!]!.size : 1;
    const right = j < q ? factors[blockOf[j]!]! : one;
    const end = columnStart[j + 1]!;
    for (let e = columnStart[j]!; e < end; ) {
      const row = rowIndex[e]!;
      const height = row < q ? blocks[blockOf[row]!]!.size : 1;
      const left = row < q ? factors[blockOf[row]!]! : one;
      const diagonal = row === j;
      for (let k = 0; k < width; k++) {
        // Column j + k lists the same rows as column j, less the k that stand above its own diagonal.
        const base = columnStart[j + k]! + (e - columnStart[j]!) - k;
        for (let r = 0; r < height; r++) {
          if (!diagonal || r >= k) piece[r * width + k] = values[base + r]!;
          if (diagonal && r > k) piece[k * width + r] = values[base + r]!;
        }
      }
      for (let r = 0; r < height; r++) {
        for (let k = 0; k < width; k++) {
          let sum = 0;
          for (let m = k; m < width; m++) sum += piece[r * width + m]! * right[m * width + k]!;
          half[r * width + k] = sum;
        }
      }
      for (let r = 0; r < height; r++) {
        for (let k = 0; k < width; k++) {
          if (diagonal && r < k) continue;
          let sum = diagonal && r === k && row < q ? 1 : 0;
          for (let m = r; m < height; m++) sum += left[m * height + r]! * half[m * width + k]!;
          into[columnStart[j + k]! + (e - columnStart[j]!) - k + r] = sum;
        }
      }
      e += height;
    }
    j += width;
  }
}
