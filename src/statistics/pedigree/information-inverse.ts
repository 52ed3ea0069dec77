import { denseCholesky, solveDense } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { symmetricEigen } from "../linear-algebra/symmetric-eigen.ts";
import type { VarianceMap } from "./variance-map.ts";

/** The inverse of an information matrix times a vector. */
export type InformationInverse = (b: number[]) => Float64Array;

/** Places of the parameters above zero. */
export function positivePlaces(parameters: Float64Array): number[] {
  return Array.from({ length: parameters.length }, (_, j) => j).filter((j) => parameters[j] > 0);
}

/**
 * Solves with the information on the parameters named; undefined where the data cannot tell them apart.
 * `spread`: a typical variance of the data, in whose units an information of a trillionth is none.
 */
export function informationInverse(
  average: DenseMatrix,
  free: readonly number[],
  spread: number,
): InformationInverse | undefined {
  const size = free.length;
  const scale = free.map((j) => Math.sqrt(average.values[j * average.columns + j]));
  if (!scale.every((root) => root * spread > 1e-6)) return undefined;
  const correlation = zeroMatrix(size, size);
  free.forEach((j, m) => {
    free.forEach((k, n) => {
      correlation.values[m * size + n] = average.values[j * average.columns + k] / (scale[m] * scale[n]);
    });
  });
  if (!(symmetricEigen(correlation).values[0] > 1e-8)) return undefined;
  const factor = denseCholesky(correlation);
  if (!factor.positiveDefinite) return undefined;
  return (b) =>
    solveDense(
      factor,
      b.map((value, n) => value / scale[n]),
    ).map((value, n) => value / scale[n]);
}

/** J (J'AI J)^-1 J' over the parameters above zero: the covariance of all variances. NaN without an inverse. */
export function mappedCovariance(
  map: VarianceMap,
  parameters: Float64Array,
  inverse: InformationInverse | undefined,
): DenseMatrix {
  const { rows, columns, values } = map;
  const covariance = zeroMatrix(rows, rows);
  if (inverse === undefined) {
    covariance.values.fill(Number.NaN);
    return covariance;
  }
  const free = positivePlaces(parameters);
  for (let i = 0; i < rows; i++) {
    const answer = inverse(free.map((j) => values[i * columns + j]));
    for (let l = 0; l < rows; l++) {
      covariance.values[i * rows + l] = free.reduce(
        (sum, j, n) => sum + answer[n] * values[l * columns + j],
        0,
      );
    }
  }
  return covariance;
}
