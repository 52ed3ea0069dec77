import { type Book, quoteText } from "../book/book.ts";
import { day, defineTable, integer, text } from "../records/table.ts";
import type { Finding } from "./finding.ts";
import { LEAST_PAIRS, LEAST_READING_SD, READING_SD } from "./growth-interval.ts";
import { rulerStep } from "./ruler-step.ts";

const trimSpellTable = defineTable({
  schema: "results",
  name: "trim_spell",
  grain: ["flock", "animal", "foot", "claw", "trimmed_on"],
  columns: {
    flock: text.always("flock"),
    animal: text.always("animal's tag"),
    foot: text.always("foot, for the spells of one claw; empty for the animal's"),
    claw: text.always("claw, for the spells of one claw; empty for the animal's"),
    trimmed_on: day.always("day of the trim that starts the spell"),
    claws: integer.always("claws read at the checks"),
    checks: integer.always("checks after the trim, up to the next trim"),
    not_over_until: integer.always(
      "days after the trim of the last check that found no claw over the limit; 0: none",
    ),
    over_by: integer(
      "days after the trim of the first check that found a claw over the limit; missing: never seen",
    ),
    left_out: text("why the spell enters no curve: started over, staged"),
  },
  reads: ["herd.claw_record", "results.measurement_error", "results.variance", "exposure.flock"],
  identities: [{ says: "over after not over", holds: "over_by IS NULL OR over_by > not_over_until" }],
});

/**
 * Trim spells: from a trim of an animal until a check finds any of its claws past the retrim limit. When that
 * happened is never seen, only between which two checks. How far a wall stands past the pad is taken as
 * recorded, else from the change of toe length since the trim.
 *
 * The longest of eight readings errs upward, and a ruler's steps put lengths on one side of a limit that lie on both.
 * So the readings of a visit are first spread evenly over the ruler's step, then drawn toward their mean until they
 * vary as much as the claws truly do.
 */
export const trimSpell: Finding = {
  tables: [trimSpellTable],
  async fill({ book }) {
    const steps = await rulerSteps(book);
    await book.run(`
      INSERT INTO results.trim_spell
      WITH reading AS (
        SELECT r.flock, r.animal, coalesce(r.foot, '') AS foot, coalesce(r.claw, '') AS claw, r."date" AS day,
          avg(r.toe_before_mm) AS toe_before, avg(r.toe_after_mm) AS toe_after, avg(r.overhang_before_mm) AS over_before,
          avg(r.overhang_after_mm) AS over_after, bool_or(r.stage IS NOT NULL AND split_part(r.stage, ' of ', 1) IS DISTINCT FROM split_part(r.stage, ' of ', 2) AND r.stage <> 'done') AS staged,
          bool_or(coalesce(r.trimmed, r.toe_after_mm IS NOT NULL OR r.overhang_after_mm IS NOT NULL, FALSE)) AS cut
        FROM herd.claw_record r GROUP BY ALL
      ), reading_error AS (
        -- from repeats, else from the growth model's residual of two readings
        SELECT f.flock, -- greatest() passes over what is missing
          CASE WHEN m.flock IS NOT NULL THEN greatest(m.technical_error_mm, ${LEAST_READING_SD}) ** 2
            WHEN v.flock IS NOT NULL THEN greatest(v.variance / 2, ${LEAST_READING_SD ** 2}) ELSE ${READING_SD ** 2} END AS variance
        FROM exposure.flock f
        LEFT JOIN results.measurement_error m ON m.flock = f.flock AND m.measurer = 'all' AND m.measure = 'overhang' AND m.pairs >= ${LEAST_PAIRS}
        LEFT JOIN results.variance v ON v.flock = f.flock AND v.model = 'growth' AND v.component = 'residual'
      ), trim AS (
        SELECT flock, animal, day, lead(day) OVER (PARTITION BY flock, animal ORDER BY day) AS next_trim
        FROM (SELECT flock, animal, day FROM reading WHERE cut GROUP BY ALL)
      ), claw_start AS (
        SELECT t.flock, t.animal, t.day AS trimmed_on, t.next_trim, r.foot, r.claw, r.staged, r.toe_after, f.retrim_at_mm,
          CASE WHEN r.cut THEN coalesce(r.over_after, f.trim_to_mm) ELSE r.over_before END AS start_over
        FROM trim t JOIN reading r ON r.flock = t.flock AND r.animal = t.animal AND r.day = t.day JOIN exposure.flock f ON f.flock = t.flock
      ), look AS (
        SELECT s.flock, s.animal, s.foot, s.claw, s.trimmed_on, CAST(r.day - s.trimmed_on AS INTEGER) AS after_days, s.retrim_at_mm,
          coalesce(r.over_before, s.start_over + r.toe_before - s.toe_after) AS over_mm
        FROM claw_start s JOIN reading r ON r.flock = s.flock AND r.animal = s.animal AND r.foot = s.foot AND r.claw = s.claw
          AND r.day > s.trimmed_on AND (s.next_trim IS NULL OR r.day <= s.next_trim)
      ), ruler(flock, step) AS (VALUES ${steps.join(", ")}
      ), spread AS (
        -- within: how far the claws of one visit truly lie apart, what readings vary beyond their own error
        SELECT v.flock, any_value(e.variance) AS error, greatest(0, sum(v.squares) / nullif(sum(v.claws - 1), 0) - any_value(e.variance)) AS within
        FROM (SELECT flock, animal, trimmed_on, after_days, count(*) AS claws, var_pop(over_mm) * count(*) AS squares FROM look
              WHERE over_mm IS NOT NULL GROUP BY ALL HAVING count(*) > 1) v
        JOIN reading_error e ON e.flock = v.flock GROUP BY v.flock
      ), placed AS (
        SELECT l.*, r.step, (row_number() OVER (PARTITION BY l.flock, l.animal, l.trimmed_on, l.after_days ORDER BY l.foot, l.claw) + l.after_days) % claws AS place, claws
        FROM (SELECT *, count(*) OVER (PARTITION BY flock, animal, trimmed_on, after_days) AS claws FROM look WHERE over_mm IS NOT NULL) l
        LEFT JOIN ruler r USING (flock)
      ), drawn AS (
        SELECT p.* EXCLUDE (step, place, claws) REPLACE (avg(p.over_mm) OVER visit
          + sqrt(coalesce(s.within / nullif(s.within + s.error + coalesce(p.step, 0) ** 2 / 12, 0), 1))
            * (p.over_mm + coalesce(p.step, 0) * ((p.place + 0.5) / p.claws - 0.5) - avg(p.over_mm) OVER visit) AS over_mm)
        FROM placed p LEFT JOIN spread s USING (flock)
        WINDOW visit AS (PARTITION BY p.flock, p.animal, p.trimmed_on, p.after_days)
      ), seen AS (
        SELECT flock, animal, foot, claw, trimmed_on, after_days, over_mm >= retrim_at_mm AS past FROM drawn
        UNION ALL
        SELECT flock, animal, '', '', trimmed_on, after_days, bool_or(over_mm >= retrim_at_mm) FROM drawn
        WHERE foot <> '' GROUP BY flock, animal, trimmed_on, after_days
      ), first_past AS (
        SELECT *, min(CASE WHEN past THEN after_days END) OVER (PARTITION BY flock, animal, foot, claw, trimmed_on) AS over_by FROM seen
      ), spell AS (
        SELECT flock, animal, foot, claw, trimmed_on, any_value(over_by) AS over_by, count(DISTINCT after_days) AS checks,
          coalesce(max(CASE WHEN NOT past AND (over_by IS NULL OR after_days < over_by) THEN after_days END), 0) AS not_over_until
        FROM first_past GROUP BY ALL
      ), start AS (
        SELECT flock, animal, foot, claw, trimmed_on, bool_or(start_over >= retrim_at_mm) AS started_over, bool_or(staged) AS staged, count(*) AS claws
        FROM (SELECT * FROM claw_start UNION ALL SELECT * REPLACE ('' AS foot, '' AS claw) FROM claw_start WHERE foot <> '') GROUP BY ALL
      )
      SELECT s.flock, s.animal, s.foot, s.claw, s.trimmed_on, CAST(t.claws AS INTEGER), CAST(s.checks AS INTEGER), CAST(s.not_over_until AS INTEGER),
        CAST(s.over_by AS INTEGER), CASE WHEN t.staged THEN 'staged' WHEN t.started_over THEN 'started over' END
      FROM spell s JOIN start t USING (flock, animal, foot, claw, trimmed_on)
      WHERE s.not_over_until > 0 OR s.over_by IS NOT NULL
      ORDER BY ALL`);
  },
};

/** Readings of a flock that its ruler is told from: more would tell the same. */
const READINGS_OF_RULER = 20_000;

/** Each flock with the step of its ruler, as rows of SQL values. */
async function rulerSteps(book: Book): Promise<readonly string[]> {
  const readings = await book.columns(`
    SELECT flock, overhang_before_mm AS length FROM herd.claw_record WHERE overhang_before_mm IS NOT NULL
    QUALIFY row_number() OVER (PARTITION BY flock ORDER BY source_id, row_no) <= ${READINGS_OF_RULER}
    ORDER BY flock`);
  const lengths = readings.number("length");
  const ofFlock = new Map<string, number[]>();
  readings.text("flock").forEach((flock, i) => {
    const own = ofFlock.get(flock!);
    if (own) own.push(lengths[i]!);
    else ofFlock.set(flock!, [lengths[i]!]);
  });
  const steps = [...ofFlock].map(
    ([flock, own]) => `(${quoteText(flock)}, CAST(${rulerStep(own) ?? "NULL"} AS DOUBLE))`,
  );
  return steps.length > 0 ? steps : ["(CAST(NULL AS VARCHAR), CAST(NULL AS DOUBLE))"];
}
