/** Each value's distance from the mean in standard deviations; all 0 where they do not differ. */
export function standardised(values: readonly number[]): number[] {
  const centre = mean(values);
  const sd = Math.sqrt(mean(values.map((value) => (value - centre) ** 2)));
  return values.map((value) => (sd > 0 ? (value - centre) / sd : 0));
}

/** NaN for no values. */
export function mean(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i];
  return sum / values.length;
}
