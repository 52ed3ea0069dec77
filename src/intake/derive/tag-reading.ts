/** How the readers mark the animal of a row that names a group; the words follow. */
export const GROUP_MARK = "expand:";

/** Tags of `tag_owner` that mean an animal on some days only, or several animals: `dated_tag`. */
export const datedTags = `CREATE OR REPLACE TEMP TABLE dated_tag AS
   SELECT flock, tag FROM tag_owner GROUP BY flock, tag
   HAVING count(DISTINCT animal) > 1 OR count(from_day) > 0 OR count(to_day) > 0`;

/**
 * Statements that read every tag of `tag_day` (flock, tag, day; day may be null) as of its day, by
 * `tag_owner` and `dated_tag`. `tag_read` then holds the animal, or, where two could own the tag that day, both of them and
 * no animal. Of several owners one counts alone when only it was in the flock that day. A tag without any
 * owner has no row, unless its flock takes unlisted animals: then it is its own animal.
 *
 * Most tags mean one animal on any day: these have one row in `tag_read`, which holds for every day.
 */
export const tagReadingStatements: readonly string[] = [
  `CREATE OR REPLACE TEMP TABLE tag_asked AS
   SELECT DISTINCT d.flock, d.tag, CASE WHEN t.tag IS NOT NULL THEN d.day END AS day, t.tag IS NOT NULL AS dated
   FROM tag_day d LEFT JOIN dated_tag t ON t.flock = d.flock AND t.tag = d.tag`,
  `CREATE OR REPLACE TEMP TABLE tag_candidate AS
   SELECT DISTINCT d.flock, d.tag, d.day, d.dated, o.animal
   FROM tag_asked d JOIN tag_owner o ON o.flock = d.flock AND o.tag = d.tag
     AND (d.day IS NULL OR ((o.from_day IS NULL OR d.day >= o.from_day) AND (o.to_day IS NULL OR d.day < o.to_day)))`,
  `CREATE OR REPLACE TEMP TABLE tag_read AS
   WITH owners AS (
     SELECT flock, tag, day, dated, count(*) AS n, min(animal) AS first_owner, max(animal) AS second_owner
     FROM tag_candidate GROUP BY flock, tag, day, dated
   ), there AS (
     SELECT c.flock, c.tag, c.day, count(DISTINCT c.animal) AS n, min(c.animal) AS animal
     FROM tag_candidate c JOIN owners o ON o.flock = c.flock AND o.tag = c.tag AND o.day IS NOT DISTINCT FROM c.day AND o.n > 1
     JOIN animal_now a ON a.flock = c.flock AND a.animal = c.animal
     WHERE c.day IS NULL OR (c.day >= coalesce(greatest(a.born_earliest, a.entered), c.day) AND c.day <= coalesce(a."left", c.day))
     GROUP BY c.flock, c.tag, c.day
   )
   SELECT o.flock, o.tag, o.day, o.dated, CASE WHEN o.n = 1 THEN o.first_owner WHEN t.n = 1 THEN t.animal END AS animal,
     o.first_owner, o.second_owner
   FROM owners o LEFT JOIN there t ON t.flock = o.flock AND t.tag = o.tag AND t.day IS NOT DISTINCT FROM o.day
   UNION ALL
   SELECT d.flock, d.tag, d.day, d.dated, d.tag, NULL, NULL
   FROM tag_asked d JOIN flock_now f ON f.flock = d.flock AND f.takes_unlisted
   ANTI JOIN tag_owner o ON o.flock = d.flock AND o.tag = d.tag`,
];

/**
 * Joins that give a row its tag's animal and owners, by its flock, tag and day: `animalOf` and `ownersOf` name
 * what they give. Two joins by equality, since one with a choice in its condition is far slower.
 */
export function joinTags(flock: string, tag: string, day: string): string {
  return `LEFT JOIN (FROM tag_read WHERE NOT dated) r ON r.flock = ${flock} AND r.tag = ${tag}
    LEFT JOIN (FROM tag_read WHERE dated) d ON d.flock = ${flock} AND d.tag = ${tag} AND d.day IS NOT DISTINCT FROM ${day}`;
}

export const animalOf = "coalesce(d.animal, r.animal)";

export const ownersOf =
  "coalesce(d.first_owner, r.first_owner) AS first_owner, coalesce(d.second_owner, r.second_owner) AS second_owner";
