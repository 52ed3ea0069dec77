import { addDotProducts } from "./dot-products.ts";
import type { SparseFactor } from "./sparse-cholesky.ts";
import type { SparseSymmetric } from "./sparse-symmetric.ts";
import type { SymbolicFactor } from "./symbolic-cholesky.ts";

/** Entries of A⁻¹ on the pattern of the Cholesky factor, stored like the factor itself. */
export interface SelectedInverse {
  readonly symbolic: SymbolicFactor;
  readonly values: Float64Array;
}

/** From this many columns on a supernode is worth the copies that make every inner loop a dot product. */
const PANEL_WIDTH = 4;

/**
 * The entries of A⁻¹ on the pattern of L, by Takahashi's recurrence on supernodes (Takahashi, Fagan and Chen 1973;
 * Erisman and Tinney 1975, Comm. ACM 18, 177-179): with R the rows below supernode J and Y = L_RJ L_JJ⁻¹,
 * Z_RJ = −Z_RR Y and Z_JJ = (L_JJ L_JJ')⁻¹ − Y' Z_RJ, from the last supernode to the first.
 */
export function selectedInverse(factor: SparseFactor, reuse?: SelectedInverse): SelectedInverse {
  const { symbolic, values: l } = factor;
  const { supernodes, firstColumn, rowStart, rows, valueStart, supernodeOf } = symbolic;
  const z =
    reuse !== undefined && reuse.symbolic === symbolic ? reuse.values : new Float64Array(symbolic.valueCount);
  let tallest = 0;
  let widest = 0;
  for (let s = 0; s < supernodes; s++) {
    const width = firstColumn[s + 1]! - firstColumn[s]!;
    widest = Math.max(widest, width);
    tallest = Math.max(tallest, rowStart[s + 1]! - rowStart[s]! - width);
  }
  const y = new Float64Array(tallest * widest);
  const column = new Float64Array(tallest);
  const product = new Float64Array(tallest * widest);
  const inverse = new Float64Array(widest * widest);
  const localRow = new Int32Array(tallest);
  const transposed = new Float64Array(tallest * widest);
  const panel = new Float64Array(tallest * widest);
  const panelTransposed = new Float64Array(tallest * widest);
  for (let s = supernodes - 1; s >= 0; s--) {
    const width = firstColumn[s + 1]! - firstColumn[s]!;
    const base = valueStart[s]!;
    const below = rowStart[s]! + width;
    const count = rowStart[s + 1]! - below;
    invertLower(l, base, width, inverse);
    timesInverse(l, base + width * width, count, width, inverse, y);
    product.fill(0, 0, count * width);
    const wide = width >= PANEL_WIDTH;
    if (wide) transpose(y, count, width, transposed);
    for (let k = 0; k < count; ) {
      const owner = supernodeOf[rows[below + k]!]!;
      const ownerEnd = firstColumn[owner + 1]!;
      locate(rows, below + k, below + count, rowStart[owner]!, rowStart[owner + 1]!, localRow, k);
      const ownerWidth = ownerEnd - firstColumn[owner]!;
      if (wide) {
        let end = k;
        while (end < count && rows[below + end]! < ownerEnd) end++;
        const size = end - k;
        const height = count - k;
        for (let m = 0; m < height; m++) {
          const offset = valueStart[owner]! + localRow[k + m]! * ownerWidth - firstColumn[owner]!;
          for (let j = 0; j < size; j++) panel[m * size + j] = z[offset + rows[below + k + j]!]!;
        }
        transpose(panel, height, size, panelTransposed);
        const right = { values: transposed, from: k, rows: width, stride: count };
        const into = { values: product, from: k * width, rows: size, stride: width };
        addDotProducts({ values: panelTransposed, from: 0, rows: size, stride: height }, right, height, into);
        const rest = { values: panel, from: size * size, rows: height - size, stride: size };
        addDotProducts(rest, right, size, { ...into, from: end * width, rows: height - size });
        k = end;
        continue;
      }
      for (; k < count && rows[below + k]! < ownerEnd; k++) {
        const offset = valueStart[owner]! + rows[below + k]! - firstColumn[owner]!;
        for (let m = k; m < count; m++) column[m] = z[offset + localRow[m]! * ownerWidth]!;
        accumulate(column, y, product, k, count, width);
      }
    }
    const into = base + width * width;
    for (let e = 0; e < count * width; e++) z[into + e] = -product[e]!;
    finishBlock(z, base, width, count, y, product, inverse);
  }
  return { symbolic, values: z };
}

/** (A⁻¹)_ij, or undefined where (i, j) lies outside the pattern of the factor. */
export function inverseEntry(selected: SelectedInverse, i: number, j: number): number | undefined {
  const { place, supernodeOf, firstColumn, rowStart, rows, valueStart } = selected.symbolic;
  const row = Math.max(place[i]!, place[j]!);
  const column = Math.min(place[i]!, place[j]!);
  const s = supernodeOf[column]!;
  const width = firstColumn[s + 1]! - firstColumn[s]!;
  let low = rowStart[s]!;
  let high = rowStart[s + 1]! - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    if (rows[middle] === row) {
      return selected.values[valueStart[s]! + (middle - rowStart[s]!) * width + column - firstColumn[s]!]!;
    }
    if (rows[middle]! < row) low = middle + 1;
    else high = middle - 1;
  }
  return undefined;
}

/** The diagonal of A⁻¹, in the order of the rows of A. */
export function inverseDiagonal(selected: SelectedInverse): Float64Array {
  const { symbolic, values } = selected;
  const result = new Float64Array(symbolic.order);
  for (let s = 0; s < symbolic.supernodes; s++) {
    const from = symbolic.firstColumn[s]!;
    const width = symbolic.firstColumn[s + 1]! - from;
    for (let c = 0; c < width; c++) {
      result[symbolic.pivotOrder[from + c]!] = values[symbolic.valueStart[s]! + c * width + c]!;
    }
  }
  return result;
}

/** The entries of A⁻¹ on the pattern of A itself: a matrix with A's pattern. */
export function inverseOnPattern(selected: SelectedInverse, matrix: SparseSymmetric): SparseSymmetric {
  const { destination } = selected.symbolic;
  const values = new Float64Array(destination.length);
  for (let e = 0; e < destination.length; e++) values[e] = selected.values[destination[e]!]!;
  return { ...matrix, values };
}

/** inverse ← L_JJ⁻¹ (lower triangle, row by row). */
function invertLower(l: Float64Array, base: number, width: number, inverse: Float64Array): void {
  for (let i = 0; i < width; i++) {
    const row = base + i * width;
    const scale = 1 / l[row + i]!;
    for (let j = 0; j < i; j++) {
      let sum = 0;
      for (let k = j; k < i; k++) sum += l[row + k]! * inverse[k * width + j]!;
      inverse[i * width + j] = -sum * scale;
    }
    inverse[i * width + i] = scale;
  }
}

/** y ← L_RJ L_JJ⁻¹. */
function timesInverse(
  l: Float64Array,
  from: number,
  count: number,
  width: number,
  inverse: Float64Array,
  y: Float64Array,
): void {
  for (let r = 0; r < count; r++) {
    const row = r * width;
    for (let c = 0; c < width; c++) y[row + c] = 0;
    for (let k = 0; k < width; k++) {
      const factor = l[from + row + k]!;
      if (factor === 0) continue;
      for (let c = 0; c <= k; c++) y[row + c]! += factor * inverse[k * width + c]!;
    }
  }
}

/** Places of rows[from … to) within rows[low … high), both ascending, the first a subset of the second. */
function locate(
  rows: Int32Array,
  from: number,
  to: number,
  low: number,
  high: number,
  local: Int32Array,
  at: number,
): void {
  const start = low;
  // A walk where the lists are of like length, bisection where the second is much the longer.
  const walk = high - low < 8 * (to - from);
  let position = low;
  for (let k = from; k < to; k++) {
    const wanted = rows[k]!;
    if (walk) {
      while (rows[position]! < wanted) position++;
    } else {
      let first = position;
      let last = high - 1;
      while (first < last) {
        const middle = (first + last) >> 1;
        if (rows[middle]! < wanted) first = middle + 1;
        else last = middle;
      }
      position = first;
    }
    local[at + k - from] = position - start;
  }
}

/** into ← A' for A of `rows` by `columns`, row by row. */
function transpose(a: Float64Array, rows: number, columns: number, into: Float64Array): void {
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < columns; j++) into[j * rows + i] = a[i * columns + j]!;
  }
}

/** product += column k of the symmetric Z_RR (given from its diagonal down) times y, both triangles. */
function accumulate(
  column: Float64Array,
  y: Float64Array,
  product: Float64Array,
  k: number,
  count: number,
  width: number,
): void {
  const rowK = k * width;
  if (width === 1) {
    const yk = y[k]!;
    let sum = column[k]! * yk;
    for (let m = k + 1; m < count; m++) {
      const value = column[m]!;
      product[m]! += value * yk;
      sum += value * y[m]!;
    }
    product[k]! += sum;
    return;
  }
  const diagonal = column[k]!;
  for (let c = 0; c < width; c++) product[rowK + c]! += diagonal * y[rowK + c]!;
  for (let m = k + 1; m < count; m++) {
    const value = column[m]!;
    const rowM = m * width;
    for (let c = 0; c < width; c++) {
      product[rowM + c]! += value * y[rowK + c]!;
      product[rowK + c]! += value * y[rowM + c]!;
    }
  }
}

/** Z_JJ = L_JJ'⁻¹ L_JJ⁻¹ + Y' (Z_RR Y), lower triangle and its mirror. */
function finishBlock(
  z: Float64Array,
  base: number,
  width: number,
  count: number,
  y: Float64Array,
  product: Float64Array,
  inverse: Float64Array,
): void {
  for (let i = 0; i < width; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = i; k < width; k++) sum += inverse[k * width + i]! * inverse[k * width + j]!;
      z[base + i * width + j] = sum;
    }
  }
  for (let r = 0; r < count; r++) {
    const row = r * width;
    for (let i = 0; i < width; i++) {
      const factor = y[row + i]!;
      for (let j = 0; j <= i; j++) z[base + i * width + j]! += factor * product[row + j]!;
    }
  }
  for (let i = 0; i < width; i++) {
    for (let j = 0; j < i; j++) z[base + j * width + i] = z[base + i * width + j]!;
  }
}
