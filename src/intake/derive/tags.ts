import { codeInSql } from "../code-in-sql.ts";
import { find, soundSoFar } from "./find.ts";
import { animalOf, datedTags, joinTags, ownersOf, tagReadingStatements } from "./tag-reading.ts";

/**
 * Whose tag a tag is: `tag_owner` holds every tag with its animal and the days on which it wore it, from
 * animals sheets (tag, other tags), tags sheets and the settings' tags that mean the same animal. Needs
 * `animal_now`; adds to it animals that only a tags sheet names, where the flock takes unlisted ones.
 */
export const workTags: readonly string[] = [
  `CREATE OR REPLACE TEMP TABLE tag_owner AS
   SELECT DISTINCT flock, animal AS tag, animal, CAST(NULL AS DATE) AS from_day, CAST(NULL AS DATE) AS to_day FROM animal_now
   UNION SELECT flock, tag, animal, NULL, NULL FROM (
     SELECT flock, animal, trim(unnest(string_split(other_tags, ';'))) AS tag FROM animal_now WHERE other_tags IS NOT NULL)
   WHERE tag <> ''
   UNION SELECT s.flock, s.tag, s.same_tag, NULL, NULL FROM same_now s
   JOIN animal_now a ON a.flock = s.same_flock AND a.animal = s.same_tag WHERE s.flock = s.same_flock`,
  datedTags,
  `CREATE OR REPLACE TEMP TABLE tag_day AS
   SELECT DISTINCT t.flock, t.animal AS tag, CAST(NULL AS DATE) AS day
   FROM intake.staged_tags t JOIN current c USING (source_id)`,
  ...tagReadingStatements,
  `CREATE OR REPLACE TEMP TABLE work_tags AS
   SELECT t.rowid AS rid, c.ord, t.animal AS as_written, ${animalOf} AS animal, ${ownersOf},
     t.* EXCLUDE (animal)
   FROM intake.staged_tags t JOIN current c USING (source_id)
   ${joinTags("t.flock", "t.animal", "CAST(NULL AS DATE)")}`,
];

export const tagOwnersFromTags: readonly string[] = [
  `INSERT INTO animal_now (flock, source_id, row_no, made, animal)
   SELECT flock, arg_min(source_id, (ord, row_no)), arg_min(row_no, (ord, row_no)), true, animal
   FROM ${soundSoFar("tags")} ANTI JOIN animal_now USING (flock, animal) GROUP BY flock, animal`,
  `INSERT INTO tag_owner SELECT DISTINCT flock, animal, animal, CAST(NULL AS DATE), CAST(NULL AS DATE) FROM animal_now
   ANTI JOIN tag_owner o ON o.flock = animal_now.flock AND o.tag = animal_now.animal AND o.animal = animal_now.animal`,
  `INSERT INTO tag_owner SELECT DISTINCT flock, tag, animal, "from", "to" FROM ${soundSoFar("tags")}`,
];

/** Two animals that could own a tag on the day of a record. Unknown tags are found with their nearest. */
export function tagOfTwo(kind: Parameters<typeof find>[0]): string {
  return find(
    kind,
    "tag",
    `SELECT rid, 'animal' AS column_name, as_written AS value,
       ${codeInSql("tag_of_two", "first_owner", "second_owner")} AS reason
     FROM work_${kind} WHERE animal IS NULL AND first_owner IS NOT NULL`,
  );
}
