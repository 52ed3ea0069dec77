import { defineTable, flag, integer, number, type RowOf, text } from "../../records/table.ts";

export const associationTable = defineTable({
  schema: "results",
  name: "association",
  grain: ["flock", "outcome", "exposure", "level", "check", "lag_days", "left_out"],
  columns: {
    flock: text.always("flock, or all: every flock of the book pooled"),
    outcome: text.always("growth, lame, new_lameness, time_to_retrim"),
    exposure: text.always("condition of the pen, or several that move together joined by +"),
    lag_days: integer("days before the score over which it is meaned; missing: the growth interval itself"),
    level: text.always("overall, within_pen, between_pen, between_flock"),
    check: text.always(
      "main, unadjusted, other_lag, future_exposure, past_beside_future, month_fixed, leave_out_pen, leave_out_flock",
    ),
    left_out: text.always("the pen or flock left out; else empty"),
    per: text.always("code: what the effect is for each of"),
    effect: number("mm per 30 days, or a ratio"),
    lo: number("lower 95 % limit"),
    hi: number("upper 95 % limit"),
    df: number("degrees of freedom of its t"),
    p: number("two-sided"),
    q: number("false discovery rate over the main within slopes of all outcomes of the analysis"),
    effect_kind: text.always("mm_per_30d, odds_ratio, hazard_ratio, time_ratio"),
    claim: flag.always(
      "q under 0.05, levels not at odds, what came after does not go with it, not the calendar's",
    ),
    e_value: number("how strong a hidden cause would have to be to explain a ratio away"),
    e_value_limit: number("the same for the limit nearer 1"),
    p_levels: number("p of the difference of slopes between and within pens"),
    adjusted_for: text.always("what the model holds beside it"),
    animals: integer.always("animals in the model"),
    pens: integer.always("pens in the model"),
    rows: integer.always("intervals, scores or pairs of scores in the model"),
    events: integer("rows with the event; missing for growth"),
    caution: text("codes"),
  },
  reads: [
    "results.growth_interval",
    "results.measurement_error",
    "exposure.animal_stretch",
    "exposure.gait_day",
    "exposure.animal_day",
    "exposure.animal_pen",
    "exposure.pen_day",
    "exposure.pen_day_sum",
  ],
  identities: [
    { says: "limits lie around the effect", holds: "effect IS NULL OR (lo <= effect AND effect <= hi)" },
    { says: "a missing effect says why", holds: "effect IS NOT NULL OR caution IS NOT NULL" },
    { says: "under 3 degrees of freedom nothing is given", holds: "effect IS NULL OR df >= 3" },
    {
      says: "a claim has a q under 0.05",
      holds: "NOT claim OR (q < 0.05 AND \"check\" = 'main')",
    },
  ],
});

export type AssociationRow = RowOf<typeof associationTable>;

export const doseResponseTable = defineTable({
  schema: "results",
  name: "dose_response",
  grain: ["flock", "outcome", "exposure", "x"],
  columns: {
    flock: text.always("flock, or all"),
    outcome: text.always("growth, lame, new_lameness"),
    exposure: text.always("condition of the pen"),
    effect_kind: text.always("mm_per_30d, odds_ratio, hazard_ratio: against the usual value"),
    x: number.always("value of the exposure in a pen whose usual value is the flock's mean, in its unit"),
    estimate: number.always("difference or ratio against the usual value"),
    lo: number.always("lower 95 % limit"),
    hi: number.always("upper 95 % limit"),
    p_not_straight: number.always("p of the terms that bend the line"),
  },
  reads: ["results.growth_interval", "exposure.gait_day", "exposure.pen_day_sum"],
  identities: [{ says: "limits lie around the estimate", holds: "lo <= estimate AND estimate <= hi" }],
});

export type DoseResponseRow = RowOf<typeof doseResponseTable>;
