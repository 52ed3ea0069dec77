import type { Book } from "../book/book.ts";
import { quoteText } from "../book/book.ts";
import type { Flock } from "../records/flock.ts";
import { gaitScaleIds, gaitScales } from "../records/gait-scales.ts";

/**
 * `exposure.gait_day`: one score per animal, day and scale, with whether it counts as lame.
 *
 * Two scorers on one day: the first of the flock's list of scorers, else the worse score. A goat that a round
 * did not name among the lame counts as sound only where the round says that all others walked sound
 * (`assumed`). `for_cause`: scored because it limped, when the sheet says so, or when all three hold: it comes
 * sooner after the animal's last score than half the flock's median gap, fewer than a third of the pen and
 * fewer than 3 animals were scored within 7 days around it, and the flock does score in rounds (half of its
 * scores fall in windows where more were). Project defaults.
 */
export async function fillGaitDays(book: Book, flocks: readonly Flock[]): Promise<void> {
  const scales = gaitScaleIds
    .map((id) => `('${id}', ${gaitScales[id].lameFrom}, ${gaitScales[id].severeFrom})`)
    .join(", ");
  const marks = flocks
    .filter((flock) => flock.settings.lame_from !== undefined)
    .map(
      (flock) =>
        `WHEN r.flock = ${quoteText(flock.id)} AND s.scale = ${quoteText(flock.settings.gait_scale ?? "")} THEN ${flock.settings.lame_from}`,
    );
  const orders = flocks.flatMap((flock) =>
    (flock.settings.scorers ?? []).map(
      (scorer, i) => `WHEN flock = ${quoteText(flock.id)} AND scorer = ${quoteText(scorer)} THEN ${i}`,
    ),
  );
  await book.run(`
    CREATE OR REPLACE TEMP TABLE scale AS SELECT * FROM (VALUES ${scales}) s(scale, lame_from, severe_from);

    CREATE OR REPLACE TEMP TABLE chosen AS
    WITH worst_foot AS (
      SELECT flock, animal, "date" AS day, gait_scale, scorer, max(gait) AS gait, coalesce(bool_or(for_cause), FALSE) AS said_for_cause
      FROM herd.gait GROUP BY ALL
    )
    SELECT *, count(*) OVER (PARTITION BY flock, animal, day, gait_scale) AS scorers
    FROM worst_foot
    QUALIFY row_number() OVER (PARTITION BY flock, animal, day, gait_scale
      ORDER BY ${orders.length > 0 ? `CASE ${orders.join(" ")} ELSE 1000 END,` : ""} gait DESC, scorer) = 1;

    CREATE OR REPLACE TEMP TABLE assumed AS
    SELECT r.flock, p.animal, r."date" AS day, r.gait_scale, any_value(r.scorer) AS scorer
    FROM herd.round r
    JOIN exposure.presence p ON p.flock = r.flock AND p.from_day <= r."date" AND r."date" < p.to_day
    LEFT JOIN exposure.animal_pen h ON h.flock = p.flock AND h.animal = p.animal AND h.from_day <= r."date" AND r."date" < h.to_day
    WHERE r.others_sound AND r.gait_scale IS NOT NULL AND (r.pen IS NULL OR r.pen = h.pen)
      AND NOT EXISTS (SELECT 1 FROM herd.gait g WHERE g.flock = p.flock AND g.animal = p.animal AND g."date" = r."date")
    GROUP BY ALL;

    CREATE OR REPLACE TABLE exposure.gait_day AS
    WITH scored AS (
      SELECT c.flock, c.animal, c.day, c.gait_scale, c.scorer, c.gait, c.scorers, c.said_for_cause, FALSE AS assumed FROM chosen c
      UNION ALL SELECT flock, animal, day, gait_scale, scorer, NULL, 1, FALSE, TRUE FROM assumed
    ), marked AS (
      SELECT r.*, s.severe_from, CAST(${marks.length > 0 ? `CASE ${marks.join(" ")} ELSE s.lame_from END` : "s.lame_from"} AS DOUBLE) AS lame_from
      FROM scored r JOIN scale s ON s.scale = r.gait_scale
    ), gapped AS (
      SELECT *, day - lag(day) OVER (PARTITION BY flock, animal, gait_scale ORDER BY day) AS gap FROM marked
    ), housed AS (
      SELECT g.*, p.pen FROM gapped g LEFT JOIN exposure.animal_pen p ON p.flock = g.flock AND p.animal = g.animal AND p.from_day <= g.day AND g.day < p.to_day
    ), pen_days AS (
      SELECT flock, pen, day, count(DISTINCT animal) AS scored FROM housed GROUP BY ALL
    ), around AS (
      SELECT a.flock, a.pen, a.day,
        (SELECT count(DISTINCT h.animal) FROM housed h WHERE h.flock = a.flock AND h.pen IS NOT DISTINCT FROM a.pen AND h.day BETWEEN a.day - 7 AND a.day + 7) AS scored,
        (SELECT count(DISTINCT p.animal) FROM exposure.animal_pen p JOIN exposure.presence q USING (flock, animal)
          WHERE p.flock = a.flock AND p.pen = a.pen AND p.from_day <= a.day AND a.day < p.to_day AND q.from_day <= a.day AND a.day < q.to_day) AS housed
      FROM pen_days a
    ), windowed AS (
      SELECT h.*, a.scored < 3 AND a.scored * 3 < coalesce(nullif(a.housed, 0), 9) AS alone FROM housed h JOIN around a USING (flock, day) WHERE a.pen IS NOT DISTINCT FROM h.pen
    ), paced AS (
      SELECT flock, median(gap) AS median_gap, avg(CASE WHEN alone THEN 0 ELSE 1 END) >= 0.5 AS in_rounds FROM windowed GROUP BY flock
    )
    SELECT w.flock, w.animal, w.day, w.gait_scale, w.lame_from, w.gait, coalesce(w.gait >= w.lame_from, FALSE) AS lame,
      coalesce(w.gait >= w.severe_from, FALSE) AS severe, w.scorer, w.scorers, w.assumed, w.pen, CAST(w.gap AS INTEGER) AS gap,
      w.said_for_cause OR coalesce(w.alone AND w.gap * 2 < p.median_gap AND p.in_rounds, FALSE) AS for_cause,
      p.in_rounds
    FROM windowed w JOIN paced p USING (flock);
    DROP TABLE chosen; DROP TABLE assumed; DROP TABLE scale`);
}
