/** Conditions of a pen whose association with growth and lameness is asked: see `exposure.pen_day`. */
export const exposureIds = ["crude_protein", "copper_diet", "mineral_copper", "zinc", "wetness"] as const;
export type ExposureId = (typeof exposureIds)[number];

export interface Exposure {
  /** Column of `exposure.pen_day`. */
  readonly column: string;
  /** Unit of the column, one of which a slope is given for; a word of the code `per_unit`. */
  readonly unit: string;
  /** Standard deviation within pens below which the exposure hardly changed, in its unit. Project default. */
  readonly leastSpread: number;
}

export const exposures: Readonly<Record<ExposureId, Exposure>> = {
  crude_protein: { column: "crude_protein_pct_dm", unit: "% protein in dry matter", leastSpread: 0.25 },
  copper_diet: { column: "copper_mg_per_kg_dm", unit: "mg copper per kg dry matter", leastSpread: 0.5 },
  mineral_copper: { column: "mineral_copper_mg_per_day", unit: "mg mineral copper a day", leastSpread: 0.5 },
  zinc: { column: "zinc_mg_per_kg_dm", unit: "mg zinc per kg dry matter", leastSpread: 1 },
  wetness: { column: "wetness", unit: "step of wetness", leastSpread: 0.1 },
};
