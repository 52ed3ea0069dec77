/** One sample of a p-chart: events among those counted. */
export interface PChartSample {
  readonly events: number;
  readonly counted: number;
}

/** One point of the chart; limits follow the size of its own sample. */
export interface PChartPoint {
  readonly proportion: number;
  readonly lowerLimit: number;
  readonly upperLimit: number;
  readonly outside: "no" | "below" | "above";
}

export interface PChart {
  readonly centre: number;
  /** One per sample; null where nothing was counted. */
  readonly points: readonly (PChartPoint | null)[];
}

/**
 * Shewhart chart of proportions with limits at `sigmas` (3) standard errors that vary with sample size, cut at 0 and
 * 1 (NIST/SEMATECH e-Handbook 6.3.3.2). The centre is all events over all counted, unless given. `undefined` where
 * nothing was counted at all.
 */
export function pChart(samples: readonly PChartSample[], centre?: number, sigmas = 3): PChart | undefined {
  const counted = samples.reduce((sum, sample) => sum + sample.counted, 0);
  if (counted === 0) return undefined;
  const middle = centre ?? samples.reduce((sum, sample) => sum + sample.events, 0) / counted;
  return {
    centre: middle,
    points: samples.map(({ events, counted: n }) => {
      if (!(events >= 0 && events <= n)) throw new RangeError(`${events} events of ${n}`);
      if (n === 0) return null;
      const half = sigmas * Math.sqrt((middle * (1 - middle)) / n);
      const lowerLimit = Math.max(0, middle - half);
      const upperLimit = Math.min(1, middle + half);
      const proportion = events / n;
      const outside = proportion > upperLimit ? "above" : proportion < lowerLimit ? "below" : "no";
      return { proportion, lowerLimit, upperLimit, outside };
    }),
  };
}
