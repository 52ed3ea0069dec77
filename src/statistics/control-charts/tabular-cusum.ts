export interface CusumOptions {
  readonly target: number;
  /** Allowance (reference value), in the unit of the values: half the shift to be found. */
  readonly allowance: number;
  /** Decision limit, in the unit of the values. */
  readonly limit: number;
}

export interface TabularCusum {
  /** Sum of excesses above target + allowance, never below zero. */
  readonly upper: Float64Array;
  /** Sum of shortfalls below target − allowance, never below zero. */
  readonly lower: Float64Array;
  /** First index at which either sum exceeds the limit; null for none. */
  readonly firstSignal: number | null;
}

/** Two-sided tabular CUSUM (Page 1954; Montgomery, Introduction to Statistical Quality Control, chapter 9). */
export function tabularCusum(
  values: ArrayLike<number>,
  { target, allowance, limit }: CusumOptions,
): TabularCusum {
  if (!(allowance >= 0 && limit > 0)) throw new RangeError(`allowance ${allowance}, limit ${limit}`);
  const upper = new Float64Array(values.length);
  const lower = new Float64Array(values.length);
  let above = 0;
  let below = 0;
  let firstSignal: number | null = null;
  for (let i = 0; i < values.length; i++) {
    above = Math.max(0, above + values[i] - target - allowance);
    below = Math.max(0, below + target - values[i] - allowance);
    upper[i] = above;
    lower[i] = below;
    if (firstSignal === null && (above > limit || below > limit)) firstSignal = i;
  }
  return { upper, lower, firstSignal };
}
