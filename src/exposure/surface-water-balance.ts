/*
 * Water in the layer of bare ground that dries by evaporation: Allen, Pereira, Raes & Smith 1998, FAO Irrigation and
 * Drainage Paper 56, chapter 7 (numbers of equations and tables are its own). Water in mm, one step a day.
 */

const LAYER_DEPTH_M = 0.1;

/** What the evaporating layer, 0.10 m deep, can lose: mm. */
export interface SurfaceSoil {
  /** Readily: as fast as the air takes it. */
  readonly readilyEvaporable: number;
  /** In all. */
  readonly totalEvaporable: number;
}

export type SoilName =
  | "sand"
  | "loamy sand"
  | "sandy loam"
  | "loam"
  | "silt loam"
  | "silt"
  | "silty clay loam"
  | "silty clay"
  | "clay";

const soil = (fieldCapacity: number, wiltingPoint: number, readilyEvaporable: number): SurfaceSoil => ({
  readilyEvaporable,
  totalEvaporable: totalEvaporableWater(fieldCapacity, wiltingPoint, LAYER_DEPTH_M),
});

/** Middles of the ranges of table 19 (from memory): water contents, m³/m³, and readily evaporable water, mm. */
export const surfaceSoils: Readonly<Record<SoilName, SurfaceSoil>> = {
  sand: soil(0.12, 0.045, 4.5),
  "loamy sand": soil(0.15, 0.065, 6),
  "sandy loam": soil(0.23, 0.11, 8),
  loam: soil(0.25, 0.12, 9),
  "silt loam": soil(0.29, 0.15, 9.5),
  silt: soil(0.32, 0.17, 9.5),
  "silty clay loam": soil(0.335, 0.205, 9.5),
  "silty clay": soil(0.36, 0.23, 10),
  clay: soil(0.36, 0.22, 10),
};

/** Greatest ratio of evaporation from wet bare ground to reference evapotranspiration (equation 72, no cover). */
const MOST_COEFFICIENT = 1.2;

/** Water that a layer can lose, mm, from its water contents (m³/m³) and depth in m (equation 73). */
export function totalEvaporableWater(fieldCapacity: number, wiltingPoint: number, depthM: number): number {
  return 1000 * (fieldCapacity - 0.5 * wiltingPoint) * depthM;
}

/** How far evaporation has slowed down, 1 to 0, once `depletion` mm have gone (equation 74). */
export function evaporationReduction(surface: SurfaceSoil, depletion: number): number {
  const { readilyEvaporable, totalEvaporable } = surface;
  if (depletion <= readilyEvaporable) return 1;
  return Math.max(0, (totalEvaporable - depletion) / (totalEvaporable - readilyEvaporable));
}

/**
 * Depletion at the end of a day, mm (equation 77 for bare ground wetted all over): rain comes early in the day, what
 * the layer cannot hold drains (equation 79), then it evaporates at the rate of what is left.
 */
export function depletionAfterDay(
  surface: SurfaceSoil,
  depletion: number,
  rain: number,
  referenceEvapotranspiration: number,
): number {
  const rainedOn = Math.max(0, depletion - rain);
  const evaporated = MOST_COEFFICIENT * evaporationReduction(surface, rainedOn) * referenceEvapotranspiration;
  return Math.min(surface.totalEvaporable, rainedOn + evaporated);
}

/** Range of wetness left by not knowing how it began, below which a day's wetness counts as known. */
const SETTLED = 0.05;

/**
 * Wetness of each day, 0 (all that can evaporate has gone) to 1 (full), from its rain and reference
 * evapotranspiration, mm; both arrays one value a day without a gap in the days, NaN where not known. The layer's
 * water at the start is not known: the balance runs from full and from empty, and a day has a value (else NaN) once
 * the two agree. A day without rain or evapotranspiration on record starts it anew.
 */
export function surfaceWetness(
  surface: SurfaceSoil,
  rain: ArrayLike<number>,
  referenceEvapotranspiration: ArrayLike<number>,
): Float64Array {
  const wetness = new Float64Array(rain.length).fill(Number.NaN);
  const whole = surface.totalEvaporable;
  let wettest = 0;
  let driest = whole;
  for (let d = 0; d < rain.length; d++) {
    const evapotranspiration = referenceEvapotranspiration[d]!;
    if (Number.isNaN(rain[d]!) || Number.isNaN(evapotranspiration)) {
      wettest = 0;
      driest = whole;
      continue;
    }
    wettest = depletionAfterDay(surface, wettest, rain[d]!, evapotranspiration);
    driest = depletionAfterDay(surface, driest, rain[d]!, evapotranspiration);
    if (Math.abs(driest - wettest) <= SETTLED * whole) wetness[d] = 1 - (wettest + driest) / 2 / whole;
  }
  return wetness;
}
