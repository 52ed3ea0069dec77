/**
 * Quantile of ascending values by linear interpolation between order statistics (definition 7 of Hyndman & Fan
 * 1996, Am. Stat. 50:361-365); infinite values allowed. `undefined` for no values.
 */
export function empiricalQuantile(ascending: ArrayLike<number>, p: number): number | undefined {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a probability lies within 0 and 1, not ${p}`);
  const n = ascending.length;
  if (n === 0) return undefined;
  const position = (n - 1) * p;
  const below = Math.floor(position);
  const share = position - below;
  const low = ascending[below];
  if (share === 0 || low === ascending[below + 1]) return low;
  return low + share * (ascending[below + 1] - low);
}
