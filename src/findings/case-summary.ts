import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import type { Finding } from "./finding.ts";

export const caseSummaryTable = defineTable({
  schema: "results",
  name: "case_summary",
  grain: ["flock", "season", "group_kind", "group_value"],
  columns: {
    flock: text.always("flock"),
    season: text.always("season in which the first sign fell, or all"),
    group_kind: text.always("flock, pen (where the animal stood on the day of the first sign)"),
    group_value: text.always("which of them"),
    cases: integer.always("cases that began"),
    animals: integer.always("animals with a case"),
    open: integer.always("cases still open on the flock's day"),
    treated: integer.always("cases with a treatment on record from the first sign on"),
    median_days_to_treatment: number("median of days from first sign to first treatment, over treated cases"),
    waited_lame: integer.always(
      "cases with a lame score first treated more than 3 days after the first sign, or untreated and open for longer",
    ),
    repeats: integer.always("cases that came within 180 days of an earlier one of the same animal"),
  },
  reads: ["results.case", "exposure.season", "exposure.animal_pen", "exposure.flock"],
  identities: [
    {
      says: "no more open, treated or repeated than cases",
      holds: "open <= cases AND treated <= cases AND repeats <= cases AND waited_lame <= cases",
    },
    { says: "no more animals than cases", holds: "animals <= cases" },
    { says: "a median needs a treated case", holds: "(treated = 0) = (median_days_to_treatment IS NULL)" },
  ],
});

export type CaseSummaryRow = RowOf<typeof caseSummaryTable>;

/** Days lame within which a goat should be treated (Warwick, sheep lameness advice: within 3 days of seeing it). */
const SOON_DAYS = 3;

/** Cases counted by season and pen: how many, how soon treated, how many came back, how many are open. */
export const caseSummary: Finding = {
  tables: [caseSummaryTable],
  async fill({ book }) {
    await book.run(`
      INSERT INTO results.case_summary
      WITH begun AS (
        SELECT c.*, s.season, f.today, h.pen
        FROM results."case" c JOIN exposure.flock f USING (flock)
        JOIN exposure.season s ON s.flock = c.flock AND c.first_sign >= s.from_day AND c.first_sign < s.to_day
        LEFT JOIN exposure.animal_pen h ON h.flock = c.flock AND h.animal = c.animal AND h.from_day <= c.first_sign AND c.first_sign < h.to_day
      ), grouped AS (
        SELECT *, 'flock' AS group_kind, flock AS group_value FROM begun
        UNION ALL SELECT *, 'pen', pen FROM begun WHERE pen IS NOT NULL
      )
      SELECT flock, season, group_kind, group_value, CAST(count(*) AS INTEGER), CAST(count(DISTINCT animal) AS INTEGER),
        CAST(count(*) FILTER (closed IS NULL) AS INTEGER), CAST(count(*) FILTER (first_treatment IS NOT NULL) AS INTEGER),
        CAST(median(days_to_treatment) AS DOUBLE),
        CAST(count(*) FILTER (kind LIKE 'lame%' AND (days_to_treatment > ${SOON_DAYS}
          OR (first_treatment IS NULL AND coalesce(closed, today) - first_sign > ${SOON_DAYS}))) AS INTEGER),
        CAST(count(*) FILTER (repeat_of IS NOT NULL) AS INTEGER)
      FROM grouped GROUP BY flock, season, group_kind, group_value ORDER BY ALL`);
  },
};
