import { isotonicRegression, readIsotonic } from "../statistics/isotonic-regression.ts";

/** How a day's wetness from the weather (0 to 1) reads on the scorers' scale (0 dry to 3 standing mud). */
export interface WetnessCalibration {
  /** `pen`: the pen's own scored days; `flock`: those of all pens; `fixed`: cut points, not calibrated. */
  readonly from: "pen" | "flock" | "fixed";
  readonly read: (weatherWetness: number) => number;
}

/** Scored days with weather from which a calibration is made, and the least range it must span. Project defaults. */
const LEAST_SCORED_DAYS = 20;
const LEAST_RANGE = 0.5;

/** Where nobody scored: share of evaporable water from which ground is damp, wet, standing mud. Project defaults. */
const CUT_POINTS = [0.3, 0.6, 0.9] as const;

/** A scored day: wetness from the weather, and the score. */
export interface ScoredDay {
  readonly weatherWetness: number;
  readonly score: number;
}

/**
 * Never falling score as a function of wetness from the weather (isotonic regression); null where too few days were
 * scored or the score hardly follows the weather, as under a roof.
 */
export function calibrateWetness(
  days: readonly ScoredDay[],
  from: "pen" | "flock",
): WetnessCalibration | null {
  if (days.length < LEAST_SCORED_DAYS) return null;
  const byWetness = new Map<number, { sum: number; count: number }>();
  for (const { weatherWetness, score } of days) {
    const group = byWetness.get(weatherWetness) ?? { sum: 0, count: 0 };
    group.sum += score;
    group.count++;
    byWetness.set(weatherWetness, group);
  }
  const at = Float64Array.from(byWetness.keys()).sort();
  const groups = Array.from(at, (wetness) => byWetness.get(wetness)!);
  const fitted = isotonicRegression(
    groups.map(({ sum, count }) => sum / count),
    groups.map(({ count }) => count),
  );
  if (fitted[fitted.length - 1]! - fitted[0]! < LEAST_RANGE) return null;
  return { from, read: (wetness) => readIsotonic(at, fitted, wetness)! };
}

/** The scale where no scored day tells how the ground follows the weather. */
export const fixedCutPoints: WetnessCalibration = {
  from: "fixed",
  read: (wetness) => CUT_POINTS.filter((cut) => wetness >= cut).length,
};
