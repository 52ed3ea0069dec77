import { defineTable, integer, type RowOf, text } from "../records/table.ts";
import type { Finding } from "./finding.ts";
import { LEAST_DAYS } from "./growth-interval.ts";

/** Steps from records to analysis, in order: what came in, what was left out on the way, what is counted. */
export const flowSteps = [
  "claw_records",
  "claw_lengths",
  "growth_intervals",
  "intervals_short",
  "intervals_not_horn",
  "intervals_used",
  "gait_scores",
  "gait_days",
  "gait_assumed",
  "gait_for_cause",
  "foot_examinations",
  "lesions_suspected",
  "treatments",
] as const;

export type FlowStep = (typeof flowSteps)[number];

export const recordFlowTable = defineTable({
  schema: "results",
  name: "record_flow",
  grain: ["flock", "season", "step"],
  columns: {
    flock: text.always("flock"),
    season: text.always("season, or all"),
    step: text.always("which count: records as taken, left out on the way, or used"),
    rows: integer.always("rows at this step"),
    animals: integer.always("animals with such a row"),
  },
  reads: [
    "herd.claw_record",
    "herd.gait",
    "herd.lesion",
    "herd.treatment",
    "results.growth_interval",
    "exposure.gait_day",
    "exposure.season",
  ],
  identities: [{ says: "no more animals than rows", holds: "animals <= rows" }],
});

export type RecordFlowRow = RowOf<typeof recordFlowTable>;

/** How many records stand at each step from the sheets to the analyses, by season. */
export const recordFlow: Finding = {
  tables: [recordFlowTable],
  async fill({ book }) {
    await book.run(`
      INSERT INTO results.record_flow
      WITH claw AS (
        SELECT flock, animal, "date" AS day,
          coalesce(toe_before_mm, toe_after_mm, overhang_before_mm, overhang_after_mm, mark_mm) IS NOT NULL AS measured FROM herd.claw_record
      ), grown AS (
        SELECT flock, animal, day_of((day_no(date_from) + day_no(date_to)) // 2) AS day,
          days < ${LEAST_DAYS} AS is_short, coalesce(caution LIKE '%not_horn%', FALSE) AS not_horn
        FROM results.growth_interval
      ), counted AS (
        SELECT 'claw_records' AS step, flock, animal, day FROM claw
        UNION ALL SELECT 'claw_lengths', flock, animal, day FROM claw WHERE measured
        UNION ALL SELECT 'growth_intervals', flock, animal, day FROM grown
        UNION ALL SELECT 'intervals_short', flock, animal, day FROM grown WHERE is_short
        UNION ALL SELECT 'intervals_not_horn', flock, animal, day FROM grown WHERE not_horn AND NOT is_short
        UNION ALL SELECT 'intervals_used', flock, animal, day FROM grown WHERE NOT is_short AND NOT not_horn
        UNION ALL SELECT 'gait_scores', flock, animal, "date" FROM herd.gait
        UNION ALL SELECT 'gait_days', flock, animal, day FROM exposure.gait_day WHERE NOT assumed
        UNION ALL SELECT 'gait_assumed', flock, animal, day FROM exposure.gait_day WHERE assumed
        UNION ALL SELECT 'gait_for_cause', flock, animal, day FROM exposure.gait_day WHERE for_cause
        UNION ALL SELECT 'foot_examinations', flock, animal, "date" FROM herd.lesion
        UNION ALL SELECT 'lesions_suspected', flock, animal, "date" FROM herd.lesion WHERE suspected
        UNION ALL SELECT 'treatments', flock, animal, "date" FROM herd.treatment
      ), step AS (SELECT unnest([${flowSteps.map((step) => `'${step}'`).join(", ")}]) AS step)
      SELECT s.flock, s.season, t.step, CAST(count(c.animal) AS INTEGER), CAST(count(DISTINCT c.animal) AS INTEGER)
      FROM exposure.season s CROSS JOIN step t
      LEFT JOIN counted c ON c.flock = s.flock AND c.step = t.step AND c.day >= s.from_day AND c.day < s.to_day
      GROUP BY s.flock, s.season, t.step ORDER BY ALL`);
  },
};
