import { code, joinCodes } from "../records/codes.ts";
import { defineTable, flag, integer, number, type RowOf, text } from "../records/table.ts";
import { binomialTest } from "../statistics/proportions/binomial-test.ts";
import { clopperPearsonInterval } from "../statistics/proportions/proportion-interval.ts";
import { type Finding, insertRows } from "./finding.ts";

export const trimQualityTable = defineTable({
  schema: "results",
  name: "trim_quality",
  grain: ["flock", "season", "group_kind", "group_value"],
  columns: {
    flock: text.always("flock"),
    season: text.always("season, or all"),
    group_kind: text.always("flock, trimmer, pen"),
    group_value: text.always("which of them"),
    trims: integer.always("trims of one claw (or of the smallest part that was recorded)"),
    bled: integer.always("of these, bled"),
    bled_rate: number("bled over trims"),
    lo: number("lower 95 % limit, exact binomial"),
    hi: number("upper 95 % limit, exact binomial"),
    over_trimmed: integer.always("bled, or cut below the pad"),
    left_long: integer.always("left more than 3 mm past the mark, no stage noted"),
    staged: integer.always("trims that were a stage"),
    staged_followed_up: integer.always("stages, the last apart, whose next stage came 3 to 21 days later"),
    outside_limits: flag(
      "over-trimmed more or less often than the flock, by exact binomial limits of 99.8 %",
    ),
    caution: text("codes"),
  },
  reads: ["herd.claw_record", "exposure.season", "exposure.animal_day"],
  identities: [{ says: "no more bled than trimmed", holds: "bled <= trims AND over_trimmed <= trims" }],
});

export type TrimQualityRow = RowOf<typeof trimQualityTable>;

const LEAST_TRIMS = 20;
/** Control limits of the funnel: 99.8 %, as is usual for funnel plots of institutions (Spiegelhalter 2005, Stat Med 24:1185). */
const FUNNEL_TAIL = 0.002;

/** How trims went: bleeding, over-trimming, claws left long, staged trims followed up, by trimmer and pen. */
export const trimQuality: Finding = {
  tables: [trimQualityTable],
  async fill({ book }) {
    const rows = await book.rows<
      Omit<TrimQualityRow, "bled_rate" | "lo" | "hi" | "outside_limits" | "caution">
    >(`
      WITH read AS (
        -- a claw that two people measured after one trim was trimmed once
        SELECT flock, animal, "date" AS day, min(trimmer) AS trimmer, max(stage) AS stage, coalesce(bool_or(bled), FALSE) AS bled, avg(overhang_after_mm) AS left_mm
        FROM herd.claw_record GROUP BY flock, animal, "date", foot, claw
        HAVING bool_or(coalesce(trimmed, toe_after_mm IS NOT NULL OR overhang_after_mm IS NOT NULL))
      ), trim AS (
        SELECT r.flock, r.animal, r.day, r.trimmer, d.pen, r.bled, r.bled OR coalesce(r.left_mm < 0, FALSE) AS over_trimmed,
          coalesce(r.left_mm > f.trim_to_mm + 3 AND r.stage IS NULL, FALSE) AS left_long,
          r.stage IS NOT NULL AS staged,
          r.stage IS NOT NULL AND r.stage <> 'done' AND split_part(r.stage, ' of ', 1) IS DISTINCT FROM split_part(r.stage, ' of ', 2) AS wants_next
        FROM read r JOIN exposure.flock f USING (flock) LEFT JOIN exposure.animal_day d USING (flock, animal, day)
      ), followed AS (
        SELECT t.*, t.wants_next AND EXISTS (SELECT 1 FROM trim n WHERE n.flock = t.flock AND n.animal = t.animal AND n.staged
          AND n.day - t.day BETWEEN 3 AND 21) AS followed_up FROM trim t
      ), grouped AS (
        SELECT *, 'flock' AS group_kind, flock AS group_value FROM followed
        UNION ALL SELECT *, 'trimmer', trimmer FROM followed WHERE trimmer IS NOT NULL
        UNION ALL SELECT *, 'pen', pen FROM followed WHERE pen IS NOT NULL
      )
      SELECT g.flock, s.season, g.group_kind, g.group_value, CAST(count(*) AS INTEGER) AS trims, CAST(count(*) FILTER (bled) AS INTEGER) AS bled,
        CAST(count(*) FILTER (over_trimmed) AS INTEGER) AS over_trimmed, CAST(count(*) FILTER (left_long) AS INTEGER) AS left_long,
        CAST(count(*) FILTER (wants_next) AS INTEGER) AS staged, CAST(count(*) FILTER (followed_up) AS INTEGER) AS staged_followed_up
      FROM grouped g JOIN exposure.season s ON s.flock = g.flock AND g.day >= s.from_day AND g.day < s.to_day
      GROUP BY g.flock, s.season, g.group_kind, g.group_value ORDER BY ALL`);
    const whole = new Map(
      rows.filter((row) => row.group_kind === "flock").map((row) => [`${row.flock}\n${row.season}`, row]),
    );
    await insertRows(
      book,
      trimQualityTable,
      rows.map((row) => {
        const flock = whole.get(`${row.flock}\n${row.season}`)!;
        const enough = row.trims >= LEAST_TRIMS;
        const interval = enough ? clopperPearsonInterval(row.bled, row.trims) : undefined;
        const chance = binomialTest(row.over_trimmed, row.trims, flock.over_trimmed / flock.trims);
        return {
          ...row,
          bled_rate: interval?.estimate ?? null,
          lo: interval?.lo ?? null,
          hi: interval?.hi ?? null,
          outside_limits:
            row.group_kind === "flock" || !enough || chance === undefined ? null : chance < FUNNEL_TAIL,
          caution: joinCodes([enough ? null : code("too_few_events", row.trims, LEAST_TRIMS)]),
        };
      }),
    );
  },
};
