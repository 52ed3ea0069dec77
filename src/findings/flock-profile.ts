import { defineTable, integer, type RowOf, text } from "../records/table.ts";
import type { Finding } from "./finding.ts";

export const flockProfileTable = defineTable({
  schema: "results",
  name: "flock_profile",
  grain: ["flock", "season", "trait", "value"],
  columns: {
    flock: text.always("flock"),
    season: text.always("season"),
    trait: text.always("sex, age_band, breed, purpose, origin, line, pen, ground"),
    value: text.always("which of them; unknown where no sheet says"),
    animals: integer.always("animals present on the season's last day, or on the flock's day within it"),
  },
  reads: [
    "herd.animal",
    "exposure.presence",
    "exposure.animal_pen",
    "exposure.animal_line",
    "exposure.pen_day",
    "exposure.season",
    "exposure.flock",
  ],
  identities: [{ says: "a group has an animal", holds: "animals > 0" }],
});

export type FlockProfileRow = RowOf<typeof flockProfileTable>;

/** Who the flock is at a season's end: animals by sex, age, breed, purpose, origin, line, pen and ground. */
export const flockProfile: Finding = {
  tables: [flockProfileTable],
  async fill({ book }) {
    await book.run(`
      INSERT INTO results.flock_profile
      WITH span AS (
        SELECT s.flock, s.season, least(s.to_day - 1, f.today) AS day FROM exposure.season s JOIN exposure.flock f USING (flock) WHERE s.season <> 'all'
      ), member AS (
        SELECT s.flock, s.season, s.day, p.animal FROM span s
        JOIN exposure.presence p ON p.flock = s.flock AND p.from_day <= s.day AND s.day < p.to_day GROUP BY ALL
      ), known AS (
        SELECT flock, animal, any_value(sex) AS sex, any_value(breed) AS breed, any_value(purpose) AS purpose, any_value(origin) AS origin,
          min(born_earliest) AS born_earliest, max(born_latest) AS born_latest FROM herd.animal GROUP BY ALL
      ), housed AS (
        SELECT m.flock, m.season, m.animal, any_value(h.pen) AS pen, any_value(d.ground) AS ground FROM member m
        JOIN exposure.animal_pen h ON h.flock = m.flock AND h.animal = m.animal AND h.from_day <= m.day AND m.day < h.to_day
        LEFT JOIN exposure.pen_day d ON d.flock = m.flock AND d.pen = h.pen AND d.day = m.day GROUP BY ALL
      ), described AS (
        SELECT m.flock, m.season, k.sex, age_band(k.born_earliest, k.born_latest, m.day) AS age_band, k.breed, k.purpose, k.origin, l.line, h.pen, h.ground
        FROM member m LEFT JOIN known k USING (flock, animal) LEFT JOIN exposure.animal_line l USING (flock, animal)
        LEFT JOIN housed h USING (flock, season, animal)
      )
      SELECT d.flock, d.season, t.trait, coalesce(t.value, 'unknown') AS value, CAST(count(*) AS INTEGER)
      FROM described d, LATERAL (VALUES ('sex', sex), ('age_band', age_band), ('breed', breed), ('purpose', purpose), ('origin', origin),
        ('line', line), ('pen', pen), ('ground', ground)) t(trait, value)
      GROUP BY d.flock, d.season, t.trait, coalesce(t.value, 'unknown') ORDER BY ALL`);
  },
};
