/** A matrix inside an array: entry (i, k) stands at `from + i * stride + k`. */
export interface MatrixView {
  readonly values: Float64Array;
  readonly from: number;
  readonly rows: number;
  readonly stride: number;
}

/** Length of the row pieces that are multiplied at a time: those of 64 rows fit the processor's cache. */
const PIECE = 128;

/**
 * into += A B' for A and B with `depth` columns each: every entry a dot product of two rows, taken two by two so
 * that each number read is used twice. Row i of the result starts at `into.from + i * into.stride`.
 */
export function addDotProducts(a: MatrixView, b: MatrixView, depth: number, into: MatrixView): void {
  for (let start = 0; start < depth; start += PIECE) {
    const piece = Math.min(PIECE, depth - start);
    addPieces(a, a.from + start, b, b.from + start, piece, into);
  }
}

function addPieces(
  a: MatrixView,
  fromA: number,
  b: MatrixView,
  fromB: number,
  depth: number,
  into: MatrixView,
): void {
  const x = a.values;
  const y = b.values;
  const z = into.values;
  let i = 0;
  for (; i + 1 < a.rows; i += 2) {
    const a0 = fromA + i * a.stride;
    const a1 = a0 + a.stride;
    const to0 = into.from + i * into.stride;
    const to1 = to0 + into.stride;
    let j = 0;
    for (; j + 1 < b.rows; j += 2) {
      const b0 = fromB + j * b.stride;
      const b1 = b0 + b.stride;
      let s00 = 0;
      let s01 = 0;
      let s10 = 0;
      let s11 = 0;
      for (let k = 0; k < depth; k++) {
        const x0 = x[a0 + k]!;
        const x1 = x[a1 + k]!;
        const y0 = y[b0 + k]!;
        const y1 = y[b1 + k]!;
        s00 += x0 * y0;
        s01 += x0 * y1;
        s10 += x1 * y0;
        s11 += x1 * y1;
      }
      z[to0 + j]! += s00;
      z[to0 + j + 1]! += s01;
      z[to1 + j]! += s10;
      z[to1 + j + 1]! += s11;
    }
    if (j < b.rows) {
      z[to0 + j]! += dot(x, a0, y, fromB + j * b.stride, depth);
      z[to1 + j]! += dot(x, a1, y, fromB + j * b.stride, depth);
    }
  }
  if (i < a.rows) {
    const row = fromA + i * a.stride;
    const to = into.from + i * into.stride;
    for (let j = 0; j < b.rows; j++) z[to + j]! += dot(x, row, y, fromB + j * b.stride, depth);
  }
}

function dot(x: Float64Array, fromX: number, y: Float64Array, fromY: number, depth: number): number {
  let sum = 0;
  for (let k = 0; k < depth; k++) sum += x[fromX + k]! * y[fromY + k]!;
  return sum;
}
