import { empiricalQuantile } from "./empirical-quantile.ts";

/** Quantiles at which Harrell (2015, Regression Modeling Strategies, table 2.3) puts knots, by their number. */
const KNOT_QUANTILES: Readonly<Record<number, readonly number[]>> = {
  3: [0.1, 0.5, 0.9],
  4: [0.05, 0.35, 0.65, 0.95],
  5: [0.05, 0.275, 0.5, 0.725, 0.95],
  6: [0.05, 0.23, 0.41, 0.59, 0.77, 0.95],
  7: [0.025, 0.1833, 0.3417, 0.5, 0.6583, 0.8167, 0.975],
};

/**
 * Harrell's knots for `count` (3 … 7) of them; below 100 values the outer two are the fifth value from either end.
 * `undefined` where the values are too few or too alike for distinct knots.
 */
export function harrellKnots(values: ArrayLike<number>, count: number): Float64Array | undefined {
  const quantiles = KNOT_QUANTILES[count];
  if (quantiles === undefined) throw new RangeError(`knots number 3 to 7, not ${count}`);
  const ascending = Float64Array.from(values).sort();
  const n = ascending.length;
  if (n < 2 * count) return undefined;
  const knots = Float64Array.from(quantiles, (p) => empiricalQuantile(ascending, p)!);
  if (n < 100) {
    knots[0] = ascending[Math.min(4, Math.floor((n - 1) / 4))];
    knots[count - 1] = ascending[Math.max(n - 5, n - 1 - Math.floor((n - 1) / 4))];
  }
  for (let k = 1; k < count; k++) if (!(knots[k] > knots[k - 1])) return undefined;
  return knots;
}

/**
 * Basis of a cubic spline that is straight beyond its outer knots: x and one column for every inner pair, in units
 * of x (Harrell 2015, eq. 2.25, divided by the squared distance of the outer knots). Knots ascending, at least 3;
 * knots − 1 columns.
 */
export function restrictedCubicSpline(values: ArrayLike<number>, knots: ArrayLike<number>): Float64Array[] {
  const count = knots.length;
  if (count < 3) throw new RangeError(`a restricted cubic spline needs at least 3 knots, not ${count}`);
  for (let k = 1; k < count; k++) {
    if (!(knots[k] > knots[k - 1])) throw new RangeError("knots must rise");
  }
  const last = knots[count - 1];
  const before = knots[count - 2];
  const norm = (last - knots[0]) ** 2;
  const columns = [Float64Array.from(values)];
  for (let j = 0; j < count - 2; j++) {
    const atBefore = (last - knots[j]) / (last - before);
    const atLast = (before - knots[j]) / (last - before);
    columns.push(
      Float64Array.from(values, (x) => {
        return (cube(x - knots[j]) - atBefore * cube(x - before) + atLast * cube(x - last)) / norm;
      }),
    );
  }
  return columns;
}

function cube(x: number): number {
  return x > 0 ? x * x * x : 0;
}
