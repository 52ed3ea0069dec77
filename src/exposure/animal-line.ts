/**
 * The breeding line of every animal: its own; else its sire's; else that of the oldest known ancestor on the
 * sire's side, who founds a line of his own name. Inferred lines are marked. Animals without any are
 * 'unknown', a level that is never dropped.
 */
export const animalLineStatement = `
CREATE OR REPLACE TABLE exposure.animal_line AS
WITH RECURSIVE sire AS (
  SELECT flock, animal, any_value(parent) AS sire FROM herd.parent WHERE role = 'sire' AND share = 1 GROUP BY ALL
), own AS (
  SELECT flock, animal, any_value(line) AS line FROM herd.animal GROUP BY ALL
), climb AS (
  SELECT o.flock, o.animal, o.animal AS ancestor, o.line, 0 AS steps FROM own o
  UNION ALL
  SELECT c.flock, c.animal, s.sire, o.line, c.steps + 1
  FROM climb c JOIN sire s ON s.flock = c.flock AND s.animal = c.ancestor LEFT JOIN own o ON o.flock = s.flock AND o.animal = s.sire
  WHERE c.line IS NULL AND c.steps < 60
), best AS (
  SELECT flock, animal,
    first(line ORDER BY steps) FILTER (line IS NOT NULL) AS line,
    last(ancestor ORDER BY steps) AS eldest, max(steps) AS steps
  FROM climb GROUP BY ALL
)
SELECT b.flock, b.animal, coalesce(b.line, CASE WHEN b.steps > 0 THEN b.eldest END, 'unknown') AS line,
  o.line IS NULL AND (b.line IS NOT NULL OR b.steps > 0) AS inferred
FROM best b JOIN own o USING (flock, animal)
`;
