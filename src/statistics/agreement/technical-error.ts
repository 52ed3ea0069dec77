import { chiSquareQuantile, chiSquareUpperQuantile } from "../distributions/chi-square.ts";
import { normalUpperQuantile } from "../distributions/normal.ts";
import { checkLevel, type Interval } from "../interval.ts";

/** Error of one reading, in the unit of the readings. */
export interface TechnicalError extends Interval {
  /** Difference of two single readings that is exceeded by chance once in twenty: 1.96·√2·error. */
  readonly smallestDetectableChange: number;
  readonly subjects: number;
  readonly df: number;
}

/**
 * Technical error of measurement from repeated readings of the same subjects: √(Σd²/2n) for pairs (Dahlberg 1940),
 * for more readings the within-subject standard deviation; limits from chi-square. `undefined` where no subject was
 * read twice. Subjects read once are left out.
 */
export function technicalError(
  readings: readonly (readonly number[])[],
  level = 0.95,
): TechnicalError | undefined {
  checkLevel(level);
  const repeated = readings.filter((own) => own.length >= 2);
  if (repeated.length === 0) return undefined;
  let squares = 0;
  let df = 0;
  for (const own of repeated) {
    const mean = own.reduce((sum, x) => sum + x, 0) / own.length;
    squares += own.reduce((sum, x) => sum + (x - mean) ** 2, 0);
    df += own.length - 1;
  }
  const tail = (1 - level) / 2;
  const estimate = Math.sqrt(squares / df);
  return {
    estimate,
    lo: Math.sqrt(squares / chiSquareUpperQuantile(tail, df)),
    hi: Math.sqrt(squares / chiSquareQuantile(tail, df)),
    smallestDetectableChange: normalUpperQuantile(0.025) * Math.SQRT2 * estimate,
    subjects: repeated.length,
    df,
  };
}
