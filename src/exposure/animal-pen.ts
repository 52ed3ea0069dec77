/**
 * Which pen an animal stood in, by spells that do not overlap. `basis` says how it is known:
 * `stay` (the stays sheet), `record` (the pen on the animal's own records, carried to the next that names
 * another, 120 days at most), `dam` (kids under 90 days follow their dam), `only` (the flock has one pen).
 * Days in no spell have an unknown pen. `to_day` is the first day that no longer counts.
 */
const CARRIED_DAYS = 120;
const WITH_DAM_DAYS = 90;

export const animalPenStatements: readonly string[] = [
  `CREATE OR REPLACE TEMP TABLE pen_said AS
   SELECT flock, animal, pen, "date" AS day FROM herd.claw_record WHERE pen IS NOT NULL
   UNION SELECT flock, animal, pen, "date" FROM herd.gait WHERE pen IS NOT NULL`,
  `CREATE OR REPLACE TABLE exposure.animal_pen AS
   WITH stays AS (
     SELECT s.flock, s.animal, s.pen, s."from" AS from_day,
       least(coalesce(s."to", DATE '9999-12-31'), coalesce(lead(s."from") OVER (PARTITION BY s.flock, s.animal ORDER BY s."from"), DATE '9999-12-31')) AS to_day
     FROM herd.stay s
   ), named AS (
     SELECT flock, animal, day, min(pen) AS pen FROM pen_said GROUP BY ALL HAVING count(DISTINCT pen) = 1
   ), carried AS (
     SELECT n.flock, n.animal, n.pen, n.day AS from_day,
       least(coalesce(lead(n.day) OVER (PARTITION BY n.flock, n.animal ORDER BY n.day), DATE '9999-12-31'), n.day + ${CARRIED_DAYS}) AS to_day
     FROM named n
     WHERE NOT EXISTS (SELECT 1 FROM stays s WHERE s.flock = n.flock AND s.animal = n.animal)
   ), known AS (
     SELECT *, 'stay' AS basis FROM stays WHERE to_day > from_day
     UNION ALL SELECT *, 'record' FROM carried WHERE to_day > from_day
   ), with_dam AS (
     SELECT p.flock, p.animal, k.pen, greatest(k.from_day, a.born_earliest) AS from_day,
       least(k.to_day, a.born_earliest + ${WITH_DAM_DAYS}) AS to_day, 'dam' AS basis
     FROM herd.parent p JOIN herd.animal a USING (flock, animal) JOIN known k ON k.flock = p.flock AND k.animal = p.parent
     WHERE p.role = 'dam' AND p.share = 1 AND a.born_earliest IS NOT NULL AND NOT EXISTS (SELECT 1 FROM known o WHERE o.flock = p.flock AND o.animal = p.animal)
   ), only_pen AS (
     SELECT flock, min(pen) AS pen FROM (SELECT flock, pen FROM herd.pen UNION SELECT flock, pen FROM known) GROUP BY flock HAVING count(DISTINCT pen) = 1
   ), in_only AS (
     SELECT p.flock, p.animal, o.pen, p.from_day, p.to_day, 'only' AS basis
     FROM exposure.presence p JOIN only_pen o USING (flock)
     WHERE NOT EXISTS (SELECT 1 FROM known k WHERE k.flock = p.flock AND k.animal = p.animal)
   )
   SELECT * FROM known
   UNION ALL SELECT * FROM with_dam WHERE to_day > from_day AND flock NOT IN (SELECT flock FROM only_pen)
   UNION ALL SELECT * FROM in_only`,
  "DROP TABLE pen_said",
];
