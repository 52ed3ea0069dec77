import { defineTable, number, type RowOf, text } from "../records/table.ts";

/** Filled by each finding that fits a model with random terms: every model appends its own rows. */
export const varianceTable = defineTable({
  schema: "results",
  name: "variance",
  grain: ["flock", "trait", "model", "component"],
  columns: {
    flock: text.always("flock"),
    trait: text.always("growth, lameness"),
    model: text.always("the model whose term it is, as in model_fit"),
    component: text.always(
      "additive, line, permanent, animal, claw, interval, pen, pen_month, month, visit, reading, residual",
    ),
    variance: number.always(
      "variance of the component; growth: (mm per 30 days)², for visit, reading, residual mm²; lameness: of the log odds",
    ),
    se: number("its standard deviation, averaged over what the records leave open"),
    share: number(
      "share of all variance of growth rates, or of the liability to lameness that of the logistic distribution included; missing for errors of reading and where it is not told",
    ),
    share_lo: number("lower 95 % limit"),
    share_hi: number("upper 95 % limit"),
    caution: text("codes"),
  },
  reads: ["results.growth_interval"],
  identities: [
    { says: "a variance is not negative", holds: "variance >= 0" },
    { says: "a share is one", holds: "share IS NULL OR share BETWEEN 0 AND 1" },
  ],
});

export type VarianceRow = RowOf<typeof varianceTable>;
