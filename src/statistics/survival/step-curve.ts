/**
 * A curve of survival (not yet happened) that falls by `masses[j]` somewhere within (left[j], right[j]], or at the
 * point where both are equal; intervals ascending and disjoint, the last right end possibly Infinity.
 */
export interface StepCurve {
  readonly left: Float64Array;
  readonly right: Float64Array;
  readonly masses: Float64Array;
}

/** Which way a curve is drawn where it is not known: each mass at the left or at the right end of its interval. */
export type CurveEdge = "left" | "right";

/** Lowest and highest value that the survival can have at a time; equal where it is known. */
export interface SurvivalRange {
  readonly lowest: number;
  readonly highest: number;
}

/** P(time > t), as a range. */
export function survivalAt(curve: StepCurve, t: number): SurvivalRange {
  return { lowest: survivalAtEdge(curve, t, "left"), highest: survivalAtEdge(curve, t, "right") };
}

/** P(time > t) with each mass at the given end of its interval. */
export function survivalAtEdge({ left, right, masses }: StepCurve, t: number, edge: CurveEdge): number {
  let gone = 0;
  for (let j = 0; j < masses.length; j++) {
    const point = left[j] === right[j];
    const passed = edge === "right" || point ? right[j] <= t : left[j] < t;
    if (!passed) break;
    gone += masses[j];
  }
  return Math.min(1, Math.max(0, 1 - gone));
}

/** Where the curve is not known: the intervals with mass that are wider than a point. */
export function unknownRegions(curve: StepCurve): { readonly from: number; readonly to: number }[] {
  const regions: { from: number; to: number }[] = [];
  curve.masses.forEach((mass, j) => {
    if (mass > 0 && curve.left[j] < curve.right[j]) regions.push({ from: curve.left[j], to: curve.right[j] });
  });
  return regions;
}

/**
 * When a fraction `p` (0 < p < 1) has happened: the interval in which the curve passes 1 − p, from the left end of
 * its mass to the right end. `to` is Infinity where the curve was not seen to pass.
 */
export function timeOfFraction(curve: StepCurve, p: number): { readonly from: number; readonly to: number } {
  if (!(p > 0 && p < 1)) throw new RangeError(`a fraction lies between 0 and 1, not ${p}`);
  let gone = 0;
  for (let j = 0; j < curve.masses.length; j++) {
    gone += curve.masses[j];
    if (curve.masses[j] > 0 && gone >= p - 1e-9) return { from: curve.left[j], to: curve.right[j] };
  }
  return { from: Infinity, to: Infinity };
}

/** The corners of the curve drawn at one edge: times ascending, survival from each time on. */
export function curveSteps(
  { left, right, masses }: StepCurve,
  edge: CurveEdge,
): { readonly time: Float64Array; readonly survival: Float64Array } {
  const held = Array.from(masses.keys()).filter((j) => {
    return masses[j] > 0 && (edge === "left" || right[j] < Infinity);
  });
  const survival = new Float64Array(held.length);
  let remaining = 1;
  held.forEach((j, k) => {
    remaining = Math.max(0, remaining - masses[j]);
    survival[k] = remaining;
  });
  return { time: Float64Array.from(held, (j) => (edge === "left" ? left[j] : right[j])), survival };
}
