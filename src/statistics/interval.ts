/** An estimate with the limits of its confidence interval. */
export interface Interval {
  readonly estimate: number;
  readonly lo: number;
  readonly hi: number;
}

/** Throws unless a confidence level lies strictly between 0 and 1. */
export function checkLevel(level: number): void {
  if (!(level > 0 && level < 1))
    throw new RangeError(`a confidence level lies between 0 and 1, not ${level}`);
}
