import { defineTable, flag, integer, number, type RowOf, text } from "../../records/table.ts";

export const lineTable = defineTable({
  schema: "results",
  name: "line",
  grain: ["flock", "trait", "season", "line"],
  columns: {
    flock: text.always("flock"),
    trait: text.always("growth, lameness"),
    season: text.always("all: lines are told from the whole record"),
    line: text.always("breeding line"),
    inferred: flag.always("every animal's line was inferred from the pedigree"),
    animals: integer.always("animals of the line with records"),
    mean: number(
      "mean breeding value of these animals as a difference from the flock's: growth mm per 30 days, lameness log odds",
    ),
    lo: number("lower 95 % limit"),
    hi: number("upper 95 % limit"),
    difference: number("mean of the line less the mean of the other lines"),
    diff_lo: number("lower 95 % limit"),
    diff_hi: number("upper 95 % limit"),
    p_worse_than_flock: number(
      "probability that the line stands above the mean of the other lines: faster growth, more lameness",
    ),
    goats_needed: integer(
      "more goats of the line, the other lines growing alike, each of the same parents, places and number of records as those there, that would halve the interval of the difference; missing: no number would",
    ),
    visits_needed: integer(
      "more visits at which every goat is recorded once that would halve the interval of the difference; missing: no number would",
    ),
    caution: text("codes"),
  },
  reads: [
    "results.growth_interval",
    "results.variance",
    "exposure.gait_day",
    "herd.parent",
    "exposure.animal_line",
  ],
  identities: [
    {
      says: "a probability is one",
      holds: "p_worse_than_flock IS NULL OR p_worse_than_flock BETWEEN 0 AND 1",
    },
    {
      says: "limits lie around the difference",
      holds: "diff_lo IS NULL OR (diff_lo <= difference AND difference <= diff_hi)",
    },
  ],
});

export const breedingValueTable = defineTable({
  schema: "results",
  name: "breeding_value",
  grain: ["flock", "trait", "animal"],
  columns: {
    flock: text.always("flock"),
    trait: text.always("growth, lameness"),
    animal: text.always("animal's tag, sires without a row of their own included"),
    line: text("breeding line"),
    sire: text("sire"),
    dam: text("dam"),
    inbreeding: number.always("inbreeding coefficient"),
    value: number(
      "breeding value, line part included, as a difference from the mean of the flock's animals with records",
    ),
    lo: number("lower 95 % limit of the value"),
    hi: number("upper 95 % limit"),
    se: number("standard error of prediction"),
    reliability: number("squared correlation of the prediction with the true value"),
    p_worse_than_flock: number("probability that the value is above that mean"),
    records: integer.always("its own records: intervals, or scores"),
    caution: text("codes"),
  },
  reads: ["results.growth_interval", "exposure.gait_day", "herd.parent"],
  identities: [
    { says: "limits lie around the value", holds: "value IS NULL OR (lo <= value AND value <= hi)" },
    { says: "a reliability is a share", holds: "reliability IS NULL OR reliability BETWEEN 0 AND 1" },
  ],
});

export type LineRow = RowOf<typeof lineTable>;
export type BreedingValueRow = RowOf<typeof breedingValueTable>;
