import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";

/** Filled by each finding that fits a model: every model appends its own rows. */
export const modelFitTable = defineTable({
  schema: "results",
  name: "model_fit",
  grain: ["flock", "model", "term", "level"],
  columns: {
    flock: text.always("flock"),
    model: text.always("which model"),
    term: text.always("a fixed effect; a random term; fit for the model as a whole"),
    level: text.always("level of the term; empty where it has none"),
    estimate: number("estimate; for a random term its standard deviation"),
    se: number("standard error"),
    df: number("degrees of freedom of Student's t; missing: not asked"),
    verdict: text.always(
      "converged, singular, flat, failed; untold: dropped, since the records do not tell it apart",
    ),
    rows: integer.always("rows of the fit"),
    animals: integer.always("animals"),
    pens: integer.always("pens"),
  },
  reads: ["results.growth_interval"],
  identities: [],
});

export type ModelFitRow = RowOf<typeof modelFitTable>;
