import type { Book } from "../../book/book.ts";
import { codeInSql } from "../code-in-sql.ts";
import { find, soundSoFar } from "../derive/find.ts";

/** Growth above this is no horn's (mm in 30 days; project default, six times what sheep's horn grows). */
const MOST_MM_30D = 20;

/** A record is borne out by a neighbour only if the horn between them grew no faster than this (project default). */
const LIKELY_MM_30D = 10;

/** Reading error of one length (mm, project default); a difference of two readings is √2 times that. */
const READING_ERROR_MM = 1;
const SLACK_MM = 4 * Math.SQRT2 * READING_ERROR_MM;

/** Names a claw by a number; only for finding which ones to look at. */
const CLAW = "hash(flock, animal, foot, claw)";

const claws = "WINDOW w AS (PARTITION BY flock, animal, foot, claw ORDER BY day)";

/**
 * Lengths that no growth since the record before can explain. Only the upper side is found: a claw can get
 * shorter by wear, breaking or a trim nobody wrote down, and that record is right all the same.
 *
 * Which of the two records is wrong: the one whose length its other neighbours do not bear out; both when
 * that does not tell. Beside a trim the lengths before and after are two readings, of which the neighbours on
 * one side know only one.
 */
export async function checkGrowth(book: Book): Promise<void> {
  await book.run(DOUBTFUL_CLAWS);
  const [any] = await book.rows("SELECT true AS any_claw FROM doubtful_claw LIMIT 1");
  if (any !== undefined) await book.run([growthCheck("toe"), growthCheck("overhang")].join(";\n"));
}

/**
 * Growth is asked of neighbouring rows first. Claws read twice on a day, or without one of the lengths that
 * they had before, are looked at in any case.
 */
const DOUBTFUL_CLAWS = `CREATE OR REPLACE TEMP TABLE doubtful_claw AS
   WITH claw_day AS (
     SELECT ${CLAW} AS claw_key, "date" AS day, toe_before_mm AS toe, ${startOf("toe")} AS toe_start,
       overhang_before_mm AS overhang, ${startOf("overhang")} AS overhang_start
     FROM ${soundSoFar("trims")} WHERE ${given("toe")} OR ${given("overhang")}
   ), beside AS (
     SELECT claw_key, toe, overhang, lag(toe_start) OVER w AS toe_start, lag(overhang_start) OVER w AS overhang_start,
       day - lag(day) OVER w AS days
     FROM claw_day WINDOW w AS (PARTITION BY claw_key ORDER BY day)
   )
   SELECT DISTINCT claw_key FROM beside
   WHERE days = 0 OR (days > 0 AND ((toe IS NULL) <> (toe_start IS NULL) OR (overhang IS NULL) <> (overhang_start IS NULL)
     OR toe - toe_start > ${most("days")} OR overhang - overhang_start > ${most("days")}))`;

function growthCheck(length: "toe" | "overhang"): string {
  return find(
    "trims",
    "growth",
    `WITH reading AS (
       SELECT flock, animal, foot, claw, "date" AS day, avg(${length}_before_mm) AS ends, avg(${startOf(length)}) AS starts,
         bool_or(coalesce(trimmed, true)) AS cut
       FROM ${soundSoFar("trims")} WHERE ${given(length)} AND ${CLAW} IN (FROM doubtful_claw)
       GROUP BY flock, animal, foot, claw, "date"
     ), beside AS (
       SELECT r.*, lag(day) OVER w AS day_1, lag(starts) OVER w AS starts_1, lag(ends) OVER w AS ends_1, lag(cut) OVER w AS cut_1,
         lag(day, 2) OVER w AS day_2, lag(starts, 2) OVER w AS starts_2,
         lead(day) OVER w AS next_day, lead(ends) OVER w AS next_ends
       FROM reading r ${claws}
     ), wrong AS (
       SELECT *, (ends - starts_1) * 30 / (day - day_1) AS rate,
         coalesce(NOT cut AND ${fits("starts", "day", "next_ends", "next_day", "false")}, false)
           OR coalesce(${fits("starts_2", "day_2", "ends", "day", "cut_1")}, false) AS borne_out,
         coalesce(NOT cut_1 AND ${fits("starts_2", "day_2", "ends_1", "day_1", "false")}, false)
           OR coalesce(${fits("starts_1", "day_1", "next_ends", "next_day", "cut")}, false) AS borne_out_1
       FROM beside WHERE ends - starts_1 > ${most("day - day_1")}
     ), named AS (
       SELECT flock, animal, foot, claw, day, ${codeInSql("growth_no_horn_can_do", "round(rate, 1)")} AS reason
       FROM wrong WHERE borne_out_1 OR NOT borne_out
       UNION ALL
       SELECT flock, animal, foot, claw, day_1, ${codeInSql("growth_after_no_horn_can_do", "round(rate, 1)")}
       FROM wrong WHERE borne_out OR NOT borne_out_1
     )
     SELECT w.rid, '${length}_before_mm' AS column_name, any_value(w.${length}_before_mm) AS value, min(n.reason) AS reason
     FROM named n JOIN work_trims w ON w.flock = n.flock AND w.animal = n.animal AND w.foot IS NOT DISTINCT FROM n.foot
       AND w.claw IS NOT DISTINCT FROM n.claw AND w."date" = n.day
     SEMI JOIN ${soundSoFar("trims")} s ON s.rid = w.rid
     GROUP BY w.rid`,
  );
}

function given(length: "toe" | "overhang"): string {
  return `(animal IS NOT NULL AND (${length}_before_mm IS NOT NULL OR ${length}_after_mm IS NOT NULL))`;
}

/** The length from which an interval starts; none where it is not known whether the claw was trimmed. */
function startOf(length: "toe" | "overhang"): string {
  return `CASE WHEN trimmed THEN ${length}_after_mm WHEN trimmed IS FALSE THEN ${length}_before_mm END`;
}

function most(days: string, rate = MOST_MM_30D): string {
  return `${rate} * (${days}) / 30.0 + ${SLACK_MM}`;
}

/** Whether one reading bears out the other; a trim between them makes any shortening possible. */
function fits(starts: string, day: string, ends: string, nextDay: string, cutBetween: string): string {
  return `(${ends} - ${starts} <= ${most(`${nextDay} - ${day}`, LIKELY_MM_30D)} AND (${cutBetween} OR ${ends} - ${starts} >= -${SLACK_MM}))`;
}
