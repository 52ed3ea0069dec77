import { code, joinCodes } from "../records/codes.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { tUpperQuantile } from "../statistics/distributions/student-t.ts";
import { type Finding, insertRows } from "./finding.ts";
import { MODELLED } from "./growth-interval.ts";

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
    rate_mm_30d: number("mean over the group's own animal-days, mm per 30 days"),
    lo: number("lower 95 % limit"),
    hi: number("upper 95 % limit"),
    caution: text("codes"),
  },
  reads: ["results.growth_interval", "exposure.animal_day_group", "exposure.season"],
  identities: [
    { says: "limits lie around the rate", holds: "lo IS NULL OR (lo <= rate_mm_30d AND rate_mm_30d <= hi)" },
  ],
});

export type GrowthSummaryRow = RowOf<typeof growthSummaryTable>;

/** Animals from which a group's mean is given. Project default. */
const LEAST_ANIMALS = 5;

interface GroupSums {
  flock: string;
  season: string;
  group_kind: string;
  group_value: string;
  animals: number;
  intervals: number;
  rate: number;
  variance: number;
}

/**
 * Mean growth of a group: millimetres grown over the days in which they grew, each interval's claws averaged
 * first. The animal is the unit of the error (ratio estimator over clusters: Cochran 1977, Sampling
 * Techniques, chapter 6), with Student's t on animals − 1.
 */
export const growthSummary: Finding = {
  tables: [growthSummaryTable],
  async fill({ book }) {
    const rows = await book.rows<GroupSums>(`
      WITH claw AS (
        SELECT *, day_of((day_no(date_from) + day_no(date_to)) // 2) AS middle FROM results.growth_interval WHERE ${MODELLED}
      ), grouped AS (
        SELECT c.*, g.group_kind, g.group_value FROM claw c
          JOIN exposure.animal_day_group g ON g.flock = c.flock AND g.animal = c.animal AND g.day = c.middle
        UNION ALL SELECT *, 'foot', foot FROM claw WHERE foot <> ''
        UNION ALL SELECT *, 'claw', claw FROM claw WHERE claw <> ''
      ), visit AS (
        SELECT flock, animal, group_kind, group_value, date_from, date_to, middle, any_value(days) AS days, avg(growth_mm) AS growth
        FROM grouped GROUP BY ALL
      ), animal AS (
        SELECT v.flock, s.season, v.group_kind, v.group_value, v.animal, count(*) AS intervals, sum(v.growth) AS growth, sum(v.days) / 30 AS months
        FROM visit v JOIN exposure.season s ON s.flock = v.flock AND v.middle >= s.from_day AND v.middle < s.to_day GROUP BY ALL
      ), ratio AS (
        SELECT *, sum(growth) OVER g / sum(months) OVER g AS rate, sum(months) OVER g AS all_months, count(*) OVER g AS animals
        FROM animal WINDOW g AS (PARTITION BY flock, season, group_kind, group_value)
      )
      SELECT flock, season, group_kind, group_value, CAST(any_value(animals) AS INTEGER) AS animals, CAST(sum(intervals) AS INTEGER) AS intervals,
        CAST(any_value(rate) AS DOUBLE) AS rate,
        CAST(any_value(animals) / nullif(any_value(animals) - 1, 0) * sum((growth - rate * months) ** 2) / any_value(all_months) ** 2 AS DOUBLE) AS variance
      FROM ratio GROUP BY ALL ORDER BY flock, season, group_kind, group_value`);
    await insertRows(
      book,
      growthSummaryTable,
      rows.map(({ rate, variance, ...row }) => {
        if (row.animals < LEAST_ANIMALS) {
          const caution = joinCodes([code("too_few_animals", row.animals, LEAST_ANIMALS)]);
          return { ...row, rate_mm_30d: null, lo: null, hi: null, caution };
        }
        const half = tUpperQuantile(0.025, row.animals - 1) * Math.sqrt(variance);
        return { ...row, rate_mm_30d: rate, lo: rate - half, hi: rate + half, caution: null };
      }),
    );
  },
};
