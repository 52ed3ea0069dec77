/**
 * When an animal was present: from the later of birth and entry (else its first record) until it left (else
 * today). An animal with several rows (it left and came back) has several spells. `to_day` is the first day
 * that no longer counts.
 */
export const presenceStatement = `
CREATE OR REPLACE TABLE exposure.presence AS
WITH seen AS (
  SELECT flock, animal, min("date") AS first_seen FROM (
    SELECT flock, animal, "date" FROM herd.claw_record UNION ALL SELECT flock, animal, "date" FROM herd.gait
    UNION ALL SELECT flock, animal, "date" FROM herd.lesion UNION ALL SELECT flock, animal, "date" FROM herd.treatment
    UNION ALL SELECT flock, animal, "from" FROM herd.stay)
  GROUP BY ALL)
SELECT a.flock, a.animal,
  coalesce(greatest(a.born_earliest, a."entered"), a."entered", a.born_earliest, s.first_seen, f.first_day) AS from_day,
  coalesce(a."left", DATE '9999-12-31') AS to_day,
  a."left" IS NOT NULL AS departed
FROM herd.animal a JOIN exposure.flock f USING (flock) LEFT JOIN seen s USING (flock, animal)
WHERE coalesce(greatest(a.born_earliest, a."entered"), a."entered", a.born_earliest, s.first_seen, f.first_day) < coalesce(a."left", DATE '9999-12-31')
`;
