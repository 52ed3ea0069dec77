import type { Question } from "../explore/question.ts";
import { monthBars } from "../plots/month-bars.ts";

/** What the book holds of each kind of record, and from when to when. */
export const holdings: Question = {
  asks: "What is in the book?",
  sql: ["claw_record", "gait", "lesion", "treatment", "round", "ground"]
    .map(
      (table) => `SELECT flock, '${table.replace("_", " ")}' AS kind, CAST(count(*) AS INTEGER) AS "rows",
  strftime(min("date"), '%Y-%m-%d') AS first, strftime(max("date"), '%Y-%m-%d') AS last
FROM herd.${table} GROUP BY flock`,
    )
    .join("\nUNION ALL\n")
    .concat("\nORDER BY flock, kind"),
  draw: () => null,
  says: "",
  none: "Rows of each kind of record that were taken, from the first day to the last. What was set aside is in intake.set_aside.",
};

/** How many goats were there, looked at, measured and scored, month by month. */
export const coverageByMonth: Question = {
  asks: "Who was looked at, month by month?",
  sql: `WITH seen AS (
  SELECT flock, date_trunc('month', "date") AS month, animal, 'trimmed or looked at' AS what FROM herd.claw_record
  UNION SELECT flock, date_trunc('month', "date"), animal, 'measured' FROM herd.claw_record WHERE toe_before_mm IS NOT NULL
  UNION SELECT flock, date_trunc('month', day), animal, 'scored for gait' FROM exposure.gait_day WHERE NOT coalesce(assumed, false)
)
SELECT flock, strftime(month, '%Y-%m-%d') AS month, what, CAST(count(DISTINCT animal) AS INTEGER) AS animals
FROM seen WHERE month IS NOT NULL
GROUP BY ALL ORDER BY ALL`,
  draw: (rows, width) =>
    monthBars({ rows, width, month: "month", count: "animals", each: "what", measure: "goats" }),
  says: "Goats with at least one such record in the month. Months without a mark have no record, and nothing can be told of them.",
  none: "The book holds no look at any goat.",
};

/** The share of the flock that each season rests on. */
export const coverageBySeason: Question = {
  asks: "What does each season rest on?",
  sql: `SELECT flock, season, present, looked_at, trimmed, measured, scored, assumed_sound, departed, departed_lame
FROM results.coverage
WHERE group_kind = 'flock'
ORDER BY flock, season`,
  draw: () => null,
  says: "",
  none: "Goats present in the season, and how many of them were looked at, trimmed, measured and scored.",
};

/** What was looked for in the records and how often it was found. */
export const quality: Question = {
  asks: "What in the records is doubtful?",
  sql: `SELECT flock, check_name, rows_looked_at, rows_flagged, example, advice
FROM results.quality
ORDER BY flock, rows_flagged = 0, rows_flagged DESC`,
  draw: () => null,
  says: "",
  none: "Each check, the rows it looked at, those it flagged, and what to do about them.",
};
