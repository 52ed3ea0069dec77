/**
 * Weighted least-squares fit of a sequence that never falls: pool adjacent violators (Ayer et al. 1955, Ann. Math.
 * Stat. 26:641-647; Barlow et al. 1972), in linear time. Ones are taken where no weights are given; a weight of
 * zero lets its value follow its neighbours. Throws a RangeError on a negative weight or differing lengths.
 */
export function isotonicRegression(values: ArrayLike<number>, weights?: ArrayLike<number>): Float64Array {
  const n = values.length;
  if (weights !== undefined && weights.length !== n) {
    throw new RangeError(`${weights.length} weights for ${n} values`);
  }
  const level = new Float64Array(n);
  const mass = new Float64Array(n);
  const end = new Int32Array(n);
  let blocks = 0;
  for (let i = 0; i < n; i++) {
    const weight = weights === undefined ? 1 : weights[i];
    if (!(weight >= 0)) throw new RangeError(`a weight must be at least zero, not ${weight}`);
    level[blocks] = values[i];
    mass[blocks] = weight;
    end[blocks] = i + 1;
    blocks++;
    while (blocks > 1 && (level[blocks - 2] > level[blocks - 1] || mass[blocks - 1] === 0)) {
      const together = mass[blocks - 2] + mass[blocks - 1];
      if (together > 0) {
        level[blocks - 2] =
          (mass[blocks - 2] * level[blocks - 2] + mass[blocks - 1] * level[blocks - 1]) / together;
      }
      mass[blocks - 2] = together;
      end[blocks - 2] = end[blocks - 1];
      blocks--;
    }
    if (blocks === 2 && mass[0] === 0) {
      level[0] = level[1];
      mass[0] = mass[1];
      end[0] = end[1];
      blocks = 1;
    }
  }
  const fitted = new Float64Array(n);
  let from = 0;
  for (let block = 0; block < blocks; block++) {
    fitted.fill(level[block], from, end[block]);
    from = end[block];
  }
  return fitted;
}

/**
 * The fitted step function read at `x`, `at` ascending: constant outside, linear between
 * neighbouring points; `undefined` without points.
 */
export function readIsotonic(
  at: ArrayLike<number>,
  fitted: ArrayLike<number>,
  x: number,
): number | undefined {
  const n = at.length;
  if (n === 0) return undefined;
  if (x <= at[0]) return fitted[0];
  if (x >= at[n - 1]) return fitted[n - 1];
  let low = 0;
  let high = n - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (at[middle] <= x) low = middle;
    else high = middle;
  }
  const share = at[high] > at[low] ? (x - at[low]) / (at[high] - at[low]) : 0;
  return fitted[low] + share * (fitted[high] - fitted[low]);
}
