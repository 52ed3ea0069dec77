import { defineTable, integer, type RowOf, text } from "../records/table.ts";
import type { Finding } from "./finding.ts";

export const coverageTable = defineTable({
  schema: "results",
  name: "coverage",
  grain: ["flock", "season", "group_kind", "group_value"],
  columns: {
    flock: text.always("flock"),
    season: text.always("season, or all"),
    group_kind: text.always("flock, pen, line"),
    group_value: text.always("which of them"),
    present: integer.always("animals present on any day of the season"),
    looked_at: integer.always("animals with any look at feet or gait"),
    trimmed: integer.always("animals trimmed"),
    measured: integer.always("animals with any length measured"),
    scored: integer.always("animals with a gait score of their own"),
    assumed_sound: integer.always("animals known sound only by a round"),
    departed: integer.always("animals that left in the season"),
    departed_lame: integer.always("of these, lame at their last score"),
  },
  reads: ["exposure.presence", "herd.claw_record", "exposure.gait_day", "herd.lesion"],
  identities: [
    { says: "no more looked at than present", holds: "looked_at <= present" },
    { says: "no more measured than looked at", holds: "measured <= looked_at" },
  ],
});

export type CoverageRow = RowOf<typeof coverageTable>;

/** How much of each group was looked at: what every other figure of the season rests on. */
export const coverage: Finding = {
  tables: [coverageTable],
  async fill({ book }) {
    await book.run(`
      INSERT INTO results.coverage
      WITH member AS (
        SELECT p.flock, s.season, p.animal, 'flock' AS group_kind, p.flock AS group_value, s.from_day, s.to_day,
          bool_or(p.departed AND p.to_day >= s.from_day AND p.to_day < s.to_day) AS departed
        FROM exposure.presence p JOIN exposure.season s ON s.flock = p.flock AND p.from_day < s.to_day AND p.to_day > s.from_day GROUP BY ALL
      ), grouped AS (
        SELECT * FROM member
        UNION ALL SELECT m.* REPLACE ('line' AS group_kind, l.line AS group_value) FROM member m JOIN exposure.animal_line l USING (flock, animal)
        UNION ALL
        SELECT m.* REPLACE ('pen' AS group_kind, h.pen AS group_value)
        FROM member m JOIN (SELECT DISTINCT s.flock, s.season, p.animal, p.pen FROM exposure.animal_pen p JOIN exposure.season s
          ON s.flock = p.flock AND p.from_day < s.to_day AND p.to_day > s.from_day) h USING (flock, season, animal)
      ), look AS (
        SELECT flock, animal, "date" AS day, coalesce(trimmed, toe_after_mm IS NOT NULL OR overhang_after_mm IS NOT NULL, FALSE) AS trimmed,
          coalesce(toe_before_mm, toe_after_mm, overhang_before_mm, overhang_after_mm, mark_mm) IS NOT NULL AS measured, FALSE AS scored, FALSE AS assumed
        FROM herd.claw_record
        UNION ALL SELECT flock, animal, day, FALSE, FALSE, NOT assumed, assumed FROM exposure.gait_day
        UNION ALL SELECT flock, animal, "date", FALSE, FALSE, FALSE, FALSE FROM herd.lesion
      ), seen AS (
        SELECT s.flock, s.season, l.animal, bool_or(NOT l.assumed) AS looked_at, bool_or(l.trimmed) AS trimmed, bool_or(l.measured) AS measured,
          bool_or(l.scored) AS scored, bool_or(l.assumed) AND NOT bool_or(l.scored) AS assumed
        FROM look l JOIN exposure.season s ON s.flock = l.flock AND l.day >= s.from_day AND l.day < s.to_day GROUP BY ALL
      ), last_score AS (
        SELECT flock, animal, arg_max(lame, day) AS lame FROM exposure.gait_day GROUP BY ALL
      )
      SELECT g.flock, g.season, g.group_kind, g.group_value, CAST(count(*) AS INTEGER),
        CAST(count(*) FILTER (s.looked_at) AS INTEGER), CAST(count(*) FILTER (s.trimmed) AS INTEGER), CAST(count(*) FILTER (s.measured) AS INTEGER),
        CAST(count(*) FILTER (s.scored) AS INTEGER), CAST(count(*) FILTER (s.assumed) AS INTEGER),
        CAST(count(*) FILTER (g.departed) AS INTEGER), CAST(count(*) FILTER (g.departed AND l.lame) AS INTEGER)
      FROM grouped g LEFT JOIN seen s USING (flock, season, animal) LEFT JOIN last_score l USING (flock, animal)
      GROUP BY g.flock, g.season, g.group_kind, g.group_value ORDER BY ALL`);
  },
};
