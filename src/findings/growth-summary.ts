import { code, joinCodes } from "../records/codes.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { type Finding, insertRows } from "./finding.ts";
import { growthOf, LEAST_ANIMALS } from "./growth-figures.ts";

export const growthSummaryTable = defineTable({
  schema: "results",
  name: "growth_summary",
  grain: ["flock", "season", "group_kind", "group_value"],
  columns: {
    flock: text.always("flock"),
    season: text.always("season, or all"),
    group_kind: text.always("flock, foot, claw, pen, ground, line, age_band, class, arm"),
    group_value: text.always("which of them"),
    animals: integer.always("animals measured"),
    intervals: integer.always("intervals between visits of one animal"),
    rate_mm_30d: number("mean over the group's own animal-days, mm per 30 days, net of wear"),
    lo: number("lower 95 % limit"),
    hi: number("upper 95 % limit"),
    caution: text("codes"),
  },
  reads: [
    "results.growth_interval",
    "exposure.animal_stretch",
    "exposure.animal_day_group",
    "exposure.season",
  ],
  identities: [
    { says: "limits lie around the rate", holds: "lo IS NULL OR (lo <= rate_mm_30d AND rate_mm_30d <= hi)" },
  ],
});

export type GrowthSummaryRow = RowOf<typeof growthSummaryTable>;

/**
 * Mean growth of each group over its own animals' measured days: the fixed part of the flock's growth model and its
 * predicted effects, with their joint covariance, averaged over the uncertainty of the variances. It speaks of these
 * animals and pens in these months.
 */
export const growthSummary: Finding = {
  tables: [growthSummaryTable],
  begin: growthOf.begin,
  async fill(context) {
    for (const flock of context.flocks) {
      const { groups, model } = await growthOf(context, flock);
      await insertRows(
        context.book,
        growthSummaryTable,
        groups.map(({ season, groupKind, groupValue, animals, intervals, figure }) => ({
          flock: flock.id,
          season,
          group_kind: groupKind,
          group_value: groupValue,
          animals,
          intervals,
          rate_mm_30d: figure?.rate ?? null,
          lo: figure?.lo ?? null,
          hi: figure?.hi ?? null,
          caution: joinCodes([
            animals < LEAST_ANIMALS ? code("too_few_animals", animals, LEAST_ANIMALS) : null,
            animals >= LEAST_ANIMALS && "trouble" in model ? code("not_converged") : null,
          ]),
        })),
      );
    }
  },
};
