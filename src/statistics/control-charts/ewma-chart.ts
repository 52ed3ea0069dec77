export interface EwmaOptions {
  readonly target: number;
  /** Standard deviation of a single value. */
  readonly sd: number;
  /** Weight of the newest value, above 0 and at most 1. */
  readonly weight: number;
  /** Width of the limits in standard errors of the average (3). */
  readonly sigmas?: number;
  /** `exact` limits widen with time, `asymptotic` ones are those of the far end. */
  readonly limits?: "exact" | "asymptotic";
}

export interface EwmaChart {
  readonly average: Float64Array;
  readonly lowerLimit: Float64Array;
  readonly upperLimit: Float64Array;
  /** First index outside its limits; null for none. */
  readonly firstSignal: number | null;
}

/** Exponentially weighted moving average that starts at the target (Roberts 1959; NIST/SEMATECH e-Handbook 6.3.2.4). */
export function ewmaChart(values: ArrayLike<number>, options: EwmaOptions): EwmaChart {
  const { target, sd, weight, sigmas = 3, limits = "exact" } = options;
  if (!(weight > 0 && weight <= 1 && sd >= 0))
    throw new RangeError(`weight ${weight}, standard deviation ${sd}`);
  const average = new Float64Array(values.length);
  const lowerLimit = new Float64Array(values.length);
  const upperLimit = new Float64Array(values.length);
  let level = target;
  let firstSignal: number | null = null;
  for (let i = 0; i < values.length; i++) {
    level += weight * (values[i] - level);
    const reached = limits === "exact" ? 1 - (1 - weight) ** (2 * (i + 1)) : 1;
    const half = sigmas * sd * Math.sqrt((weight / (2 - weight)) * reached);
    average[i] = level;
    lowerLimit[i] = target - half;
    upperLimit[i] = target + half;
    if (firstSignal === null && Math.abs(level - target) > half) firstSignal = i;
  }
  return { average, lowerLimit, upperLimit, firstSignal };
}
