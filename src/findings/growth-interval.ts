import { day, defineTable, flag, integer, number, text } from "../records/table.ts";
import type { Finding } from "./finding.ts";

const growthIntervalTable = defineTable({
  schema: "results",
  name: "growth_interval",
  grain: ["flock", "animal", "foot", "claw", "date_from"],
  columns: {
    flock: text.always("flock"),
    animal: text.always("animal's tag"),
    foot: text.always("foot; empty where one record speaks of the whole animal"),
    claw: text.always("claw; empty where one record speaks of the whole foot"),
    date_from: day.always("day of the first reading"),
    date_to: day.always("day of the second reading"),
    days: integer.always("days between the two"),
    growth_mm: number.always("change of length, mm; net of wear unless basis is mark"),
    rate_mm_30d: number.always("growth in mm per 30 days"),
    basis: text.always("mark (true growth), toe (toe length), overhang (weaker: the pad is pared too)"),
    starts_untrimmed: flag.always(
      "the claw was not trimmed at the first reading: the same reading may end the interval before",
    ),
    pen: text("the pen of most of the days"),
    crude_protein_pct_dm: number("mean over the interval's days"),
    copper_mg_per_kg_dm: number("mean over the interval's days, whole diet"),
    wetness: number("mean over the interval's days"),
    caution: text("codes"),
  },
  reads: ["herd.claw_record", "results.measurement_error", "exposure.animal_pen", "exposure.pen_day_sum"],
  identities: [
    { says: "an interval ends after it starts", holds: "date_to > date_from AND days = date_to - date_from" },
    {
      says: "the rate is growth over days",
      holds: "abs(rate_mm_30d * days / 30 - growth_mm) < 1e-9 * (1 + abs(growth_mm))",
    },
  ],
});

/** Below this many days an interval says more about the ruler than the horn: listed, not modelled. Project default. */
export const LEAST_DAYS = 7;
/** No horn grows faster than this, mm per 30 days, beyond what the reading's error can do. Project default. */
const MOST_RATE = 20;
/** Standard deviation of one reading, mm, where too few repeat measures tell: half of 1/16 inch. Project default. */
export const READING_SD = 0.8;
/** Repeat measures from which the flock's own error of a reading counts. Project default. */
export const LEAST_PAIRS = 10;
/** No length is read better than this, mm, whatever a few repeats say: a ruler in whole millimetres. Project default. */
export const LEAST_READING_SD = 1 / Math.sqrt(12);
/** Beyond this an end of an interval is no error of reading: four standard deviations of a difference of two, mm. */
const BAND = `${4 * Math.SQRT2} * coalesce(r.sd, ${READING_SD})`;

/**
 * The exposures whose mean over an interval or a window of days is taken from `exposure.pen_day_sum`; a mean
 * stands only where at least half of the days have a value.
 */
const meanOver = (name: string): string =>
  `CASE WHEN sum(z.${name}_days - a.${name}_days) * 2 >= any_value(i.days) THEN sum(z.${name}_sum - a.${name}_sum) / sum(z.${name}_days - a.${name}_days) END AS ${name}`;

export const growthInterval: Finding = {
  tables: [growthIntervalTable],
  async fill({ book }) {
    await book.run(`
      INSERT INTO results.growth_interval
      WITH reading AS (
        SELECT flock, animal, coalesce(foot, '') AS foot, coalesce(claw, '') AS claw, "date" AS day,
          avg(toe_before_mm) AS toe_before, avg(toe_after_mm) AS toe_after, avg(overhang_before_mm) AS overhang_before,
          avg(overhang_after_mm) AS overhang_after, avg(mark_mm) AS mark,
          -- unknown unless said, or shown by a length after
          bool_or(coalesce(trimmed, CASE WHEN toe_after_mm IS NOT NULL OR overhang_after_mm IS NOT NULL THEN TRUE END)) AS trimmed,
          bool_or(stage IS NOT NULL) AS staged
        FROM herd.claw_record GROUP BY ALL
      ), pair AS (
        SELECT *, lead(day) OVER claw_days AS next_day, lead(toe_before) OVER claw_days AS next_toe,
          lead(overhang_before) OVER claw_days AS next_overhang, lead(mark) OVER claw_days AS next_mark
        FROM reading WINDOW claw_days AS (PARTITION BY flock, animal, foot, claw ORDER BY day)
      ), grown AS (
        SELECT flock, animal, foot, claw, day AS date_from, next_day AS date_to, CAST(next_day - day AS INTEGER) AS days,
          trimmed, CASE WHEN next_mark >= mark THEN next_mark - mark END AS by_mark,
          next_toe - CASE WHEN trimmed THEN toe_after WHEN trimmed = FALSE THEN toe_before END AS by_toe,
          next_overhang - CASE WHEN trimmed THEN overhang_after WHEN trimmed = FALSE THEN overhang_before END AS by_overhang
        FROM pair WHERE next_day IS NOT NULL
      ), based AS (
        SELECT flock, animal, foot, claw, date_from, date_to, days, coalesce(by_mark, by_toe, by_overhang) AS growth_mm,
          CASE WHEN by_mark IS NOT NULL THEN 'mark' WHEN by_toe IS NOT NULL THEN 'toe' ELSE 'overhang' END AS basis,
          by_mark IS NOT NULL OR NOT trimmed AS starts_untrimmed
        FROM grown g WHERE coalesce(by_mark, by_toe, by_overhang) IS NOT NULL
          -- The animal was trimmed in between and this claw's row of that day is missing: whether it was cut is not
          -- known. A stage is cut on the claws it names alone.
          AND NOT EXISTS (SELECT 1 FROM reading r WHERE r.flock = g.flock AND r.animal = g.animal AND r.trimmed
            AND r.day > g.date_from AND r.day < g.date_to AND (NOT r.staged OR r.foot = '' OR (r.foot = g.foot AND r.claw = '')) AND g.by_mark IS NULL)
      ), reading_error AS (
        SELECT flock, measure AS basis, greatest(technical_error_mm, ${LEAST_READING_SD}) AS sd
        FROM results.measurement_error WHERE measurer = 'all' AND pairs >= ${LEAST_PAIRS}
      ), span AS (SELECT DISTINCT flock, animal, date_from, date_to, days FROM based),
      housed AS (
        SELECT i.flock, i.animal, i.date_from, i.date_to,
          arg_max(p.pen, least(p.to_day, i.date_to) - greatest(p.from_day, i.date_from)) AS pen,
          ${["crude_protein_pct_dm", "copper_mg_per_kg_dm", "wetness"].map(meanOver).join(", ")}
        FROM span i JOIN exposure.animal_pen p ON p.flock = i.flock AND p.animal = i.animal AND p.from_day < i.date_to AND p.to_day > i.date_from
        LEFT JOIN exposure.pen_day_sum a ON a.flock = p.flock AND a.pen = p.pen AND a.day = greatest(p.from_day, i.date_from)
        LEFT JOIN exposure.pen_day_sum z ON z.flock = p.flock AND z.pen = p.pen AND z.day = least(p.to_day, i.date_to)
        GROUP BY i.flock, i.animal, i.date_from, i.date_to
      )
      SELECT b.flock, b.animal, b.foot, b.claw, b.date_from, b.date_to, b.days, b.growth_mm, b.growth_mm * 30 / b.days,
        b.basis, b.starts_untrimmed, h.pen, h.crude_protein_pct_dm, h.copper_mg_per_kg_dm, h.wetness,
        nullif(concat_ws(';',
          CASE WHEN b.days < ${LEAST_DAYS} THEN 'short_interval(' || b.days || ')' END,
          CASE WHEN b.growth_mm < -${BAND} OR b.growth_mm > ${MOST_RATE}::DOUBLE * b.days / 30 + ${BAND} THEN 'not_horn' END,
          CASE WHEN b.basis = 'overhang' THEN 'overhang_basis' END,
          CASE WHEN h.pen IS NULL THEN 'pen_unknown' END), '')
      FROM based b LEFT JOIN housed h USING (flock, animal, date_from, date_to) LEFT JOIN reading_error r USING (flock, basis)`);
  },
};

/** The condition under which an interval enters a model. */
export const MODELLED = `days >= ${LEAST_DAYS} AND (caution IS NULL OR caution NOT LIKE '%not_horn%')`;
