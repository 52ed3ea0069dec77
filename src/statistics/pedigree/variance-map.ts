import { type DenseMatrix, multiplyVector, zeroMatrix } from "../linear-algebra/dense-matrix.ts";

/**
 * Variances as a linear map of the parameters that are searched over: theta = J phi, all phi >= 0.
 * With J the identity they are the same; other maps tie variances to one another.
 */
export type VarianceMap = DenseMatrix;

/** A variance that is a fixed multiple of another one. */
export interface TiedVariance {
  readonly variance: number;
  readonly to: number;
  readonly multiple: number;
}

/** Each variance its own parameter, except the tied ones. */
export function varianceMap(count: number, ties: readonly TiedVariance[] = []): VarianceMap {
  const free = Array.from({ length: count }, (_, i) => i).filter((i) => !ties.some((t) => t.variance === i));
  const map = zeroMatrix(count, free.length);
  free.forEach((variance, parameter) => {
    map.values[variance * free.length + parameter] = 1;
    for (const tie of ties) {
      if (tie.to === variance) map.values[tie.variance * free.length + parameter] = tie.multiple;
    }
  });
  return map;
}

/** The parameter that alone, or with tied ones, carries a variance; -1 if none does. */
export function parameterOf(map: VarianceMap, variance: number): number {
  for (let j = 0; j < map.columns; j++) if (map.values[variance * map.columns + j] !== 0) return j;
  return -1;
}

/** Derivatives by the logarithm of each parameter from those by the logarithm of each variance. */
export function freeSlope(map: VarianceMap, slope: Float64Array): Float64Array {
  const free = new Float64Array(map.columns);
  for (let k = 0; k < slope.length; k++) free[parameterOf(map, k)] += slope[k];
  return free;
}

/** The map under the constraint sum of coefficients x phi = 0, which settles one parameter. */
export function constrainedMap(
  map: VarianceMap,
  coefficients: ArrayLike<number>,
  settled: number,
): VarianceMap {
  const kept = Array.from({ length: map.columns }, (_, j) => j).filter((j) => j !== settled);
  const constrained = zeroMatrix(map.rows, kept.length);
  for (let i = 0; i < map.rows; i++) {
    kept.forEach((j, to) => {
      constrained.values[i * kept.length + to] =
        map.values[i * map.columns + j] -
        (coefficients[j] / coefficients[settled]) * map.values[i * map.columns + settled];
    });
  }
  return constrained;
}

/** theta at phi. */
export function mappedVariances(map: VarianceMap, parameters: ArrayLike<number>): Float64Array {
  return multiplyVector(map, parameters);
}
