import type { Book } from "../book/book.ts";

/**
 * Where an animal stood and what it was on each day that a record or the middle of an interval speaks of:
 * `exposure.animal_day`, and `exposure.animal_day_group` with one row per day and group it belongs to (flock, pen,
 * ground, line, age_band, class, arm). Scores that a round gave by saying all others walked sound are records too: they
 * stand in `exposure.gait_day` alone.
 */
export async function fillAnimalDays(book: Book): Promise<void> {
  await book.run(`
    CREATE OR REPLACE TEMP TABLE asked AS
    SELECT flock, animal, "date" AS day FROM herd.claw_record UNION SELECT flock, animal, "date" FROM herd.gait
    UNION SELECT flock, animal, day FROM exposure.gait_day UNION SELECT flock, animal, "date" FROM herd.lesion UNION SELECT flock, animal, "date" FROM herd.treatment
    UNION SELECT flock, animal, day_of((day_no(date_from) + day_no(date_to)) // 2) FROM results.growth_interval;

    CREATE OR REPLACE TABLE exposure.animal_day AS ${stateOn("asked")};

    CREATE OR REPLACE TABLE exposure.animal_day_group AS
    SELECT flock, animal, day, g.kind AS group_kind, g.value AS group_value
    FROM exposure.animal_day, LATERAL (VALUES ('flock', flock), ('pen', pen), ('ground', ground), ('line', line),
      ('age_band', age_band), ('class', class), ('arm', arm)) g(kind, value)
    WHERE g.value IS NOT NULL;
    DROP TABLE asked`);
}

/**
 * The query that gives age band, class, pen, ground, line and arm for the rows of a table or subquery with
 * columns flock, animal, day.
 */
export function stateOn(asked: string): string {
  return `
    WITH q AS (SELECT flock, animal, day FROM ${asked}),
    animal AS (
      SELECT flock, animal, any_value(sex) AS sex, min(born_earliest) AS born_earliest, max(born_latest) AS born_latest FROM herd.animal GROUP BY ALL
    ), kidded AS (SELECT flock, animal, "date" AS kidding, dried_off FROM herd.kidding),
    before AS (
      SELECT q.flock, q.animal, q.day, k.kidding, k.dried_off FROM q ASOF JOIN kidded k ON k.flock = q.flock AND k.animal = q.animal AND k.kidding <= q.day
    ), after AS (
      SELECT q.flock, q.animal, q.day, k.kidding FROM q ASOF JOIN kidded k ON k.flock = q.flock AND k.animal = q.animal AND k.kidding > q.day
    ), housed AS (
      SELECT q.flock, q.animal, q.day, any_value(p.pen) AS pen FROM q
      JOIN exposure.animal_pen p ON p.flock = q.flock AND p.animal = q.animal AND p.from_day <= q.day AND q.day < p.to_day GROUP BY ALL
    ), banded AS (
      SELECT q.*, a.sex, age_band(a.born_earliest, a.born_latest, q.day) AS age_band FROM q LEFT JOIN animal a USING (flock, animal)
    )
    SELECT b.flock, b.animal, b.day, b.age_band,
      animal_class(b.sex, b.age_band, before.kidding, before.dried_off, after.kidding, b.day) AS class,
      CAST(b.day - before.kidding AS INTEGER) AS days_since_kidding,
      h.pen, coalesce(d.ground, 'unknown') AS ground, coalesce(l.line, 'unknown') AS line,
      (SELECT first(t.arm ORDER BY t.animal IS NULL, t."from" DESC, t.arm) FROM herd.trial t WHERE t.flock = b.flock AND (t.animal = b.animal OR (t.animal IS NULL AND t.pen = h.pen))
         AND t."from" <= b.day AND (t."to" IS NULL OR t."to" > b.day)) AS arm
    FROM banded b
    LEFT JOIN before USING (flock, animal, day) LEFT JOIN after USING (flock, animal, day) LEFT JOIN housed h USING (flock, animal, day)
    LEFT JOIN exposure.pen_day d ON d.flock = b.flock AND d.pen = h.pen AND d.day = b.day
    LEFT JOIN exposure.animal_line l ON l.flock = b.flock AND l.animal = b.animal`;
}
