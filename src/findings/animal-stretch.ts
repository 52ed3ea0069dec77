import type { Book } from "../book/book.ts";
import { stateOn } from "./animal-day.ts";

/** Ages in days at which the band changes, and days after a kidding at which milking ends: see `age_band`, `animal_class`. */
const BAND_ENDS = [183, 365, 731, 2192];
const LATE_PREGNANT_DAYS = 50;
const MILKING_DAYS = 305;

/**
 * `exposure.animal_stretch`: each animal's days from its first to its last claw record, cut wherever its pen, the
 * pen's ground, its age band, its class or the calendar month changes. One row is a stretch of days (`to_day` no
 * longer counts) on which all of these stay the same.
 */
export async function fillAnimalStretches(book: Book): Promise<void> {
  await book.run(`
    CREATE OR REPLACE TEMP TABLE stretch AS
    WITH span AS (
      SELECT flock, animal, min("date") AS first_day, max("date") AS last_day FROM herd.claw_record
      GROUP BY ALL HAVING max("date") > min("date")
    ), born AS (
      SELECT flock, animal, min(born_earliest) AS earliest, max(born_latest) AS latest FROM herd.animal
      WHERE born_earliest IS NOT NULL GROUP BY ALL
    ), cut AS (
      SELECT flock, animal, first_day AS day FROM span UNION SELECT flock, animal, last_day FROM span
      UNION SELECT flock, animal, CAST(unnest(generate_series(date_trunc('month', first_day) + INTERVAL 1 MONTH, last_day, INTERVAL 1 MONTH)) AS DATE) FROM span
      UNION SELECT flock, animal, from_day FROM exposure.animal_pen UNION SELECT flock, animal, to_day FROM exposure.animal_pen
      UNION SELECT p.flock, p.animal, g."from" FROM exposure.animal_pen p JOIN herd.pen g USING (flock, pen) WHERE g."from" IS NOT NULL
      UNION SELECT p.flock, p.animal, g."to" FROM exposure.animal_pen p JOIN herd.pen g USING (flock, pen) WHERE g."to" IS NOT NULL
      UNION SELECT flock, animal, earliest + CAST((latest - earliest) / 2 AS INTEGER) + unnest([${BAND_ENDS.join(", ")}]) FROM born
      UNION SELECT flock, animal, "date" + unnest([-${LATE_PREGNANT_DAYS}, 0, ${MILKING_DAYS}]) FROM herd.kidding
      UNION SELECT flock, animal, dried_off FROM herd.kidding WHERE dried_off IS NOT NULL
    )
    SELECT c.flock, c.animal, c.day, lead(c.day) OVER (PARTITION BY c.flock, c.animal ORDER BY c.day) AS to_day
    FROM cut c JOIN span s USING (flock, animal) WHERE c.day BETWEEN s.first_day AND s.last_day;

    CREATE OR REPLACE TABLE exposure.animal_stretch AS
    SELECT s.flock, s.animal, s.day AS from_day, s.to_day, t.pen, t.ground, t.age_band, t.class,
      CAST(date_trunc('month', s.day) AS DATE) AS month
    FROM stretch s JOIN (${stateOn("stretch WHERE to_day IS NOT NULL")}) t USING (flock, animal, day);
    DROP TABLE stretch`);
}
