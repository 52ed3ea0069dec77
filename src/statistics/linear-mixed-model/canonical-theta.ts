import { type LikelihoodMethod, solveMixedModel } from "./criterion.ts";
import type { LinearMixedDesign } from "./linear-mixed-design.ts";
import { thetaPlace } from "./relative-covariance.ts";

/** Below this a relative standard deviation (in the design's own units) is tried at zero. */
export const NEARLY_ZERO = 1e-3;

/** θ in its canonical form. */
export interface Settled {
  readonly theta: Float64Array;
  /** Diagonal places of θ that were put on zero. */
  readonly zeroed: readonly number[];
}

/**
 * The canonical θ: diagonals made positive (T and T with a column's sign turned mean the same) and put on zero where
 * they came close to it and the criterion is no worse for it.
 */
export function canonicalTheta(
  design: LinearMixedDesign,
  method: LikelihoodMethod,
  point: Float64Array,
  value: number,
): Settled {
  const theta = Float64Array.from(point);
  const tried = Float64Array.from(point);
  const zeroed: number[] = [];
  design.blocks.forEach(({ size }, b) => {
    const start = design.layout.start[b]!;
    for (let column = 0; column < size; column++) {
      const at = start + thetaPlace(size, column, column);
      const side = theta[at]! < 0 ? -1 : 1;
      for (let row = column; row < size; row++) {
        const place = start + thetaPlace(size, row, column);
        theta[place]! *= side;
        tried[place] = theta[place]!;
      }
      if (theta[at]! * design.unit[at]! >= NEARLY_ZERO) continue;
      zeroed.push(at);
      tried[at] = 0;
    }
    if (size > 1) makeTriangular(tried, start, size, design.unit);
  });
  if (zeroed.length === 0) return { theta, zeroed };
  const there = solveMixedModel(design, method, tried);
  const noise = 1e-9 + 1e-13 * Math.abs(value);
  return there !== undefined && there.criterion <= value + noise
    ? { theta: tried, zeroed }
    : { theta, zeroed: [] };
}

/**
 * Turns a factor with a zero on its diagonal into the triangular one of the same T T' whose whole column is zero
 * there.
 */
function makeTriangular(theta: Float64Array, start: number, size: number, unit: Float64Array): void {
  const place = (row: number, column: number): number => start + thetaPlace(size, row, column);
  const product = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = 0; k <= j; k++) sum += theta[place(i, k)]! * theta[place(j, k)]!;
      product[i * size + j] = sum;
    }
  }
  for (let j = 0; j < size; j++) {
    let pivot = product[j * size + j]!;
    for (let k = 0; k < j; k++) pivot -= theta[place(j, k)]! ** 2;
    const diagonal = pivot * unit[place(j, j)]! ** 2 > 1e-12 ? Math.sqrt(pivot) : 0;
    theta[place(j, j)] = diagonal;
    for (let i = j + 1; i < size; i++) {
      let sum = product[i * size + j]!;
      for (let k = 0; k < j; k++) sum -= theta[place(i, k)]! * theta[place(j, k)]!;
      theta[place(i, j)] = diagonal === 0 ? 0 : sum / diagonal;
    }
  }
}
