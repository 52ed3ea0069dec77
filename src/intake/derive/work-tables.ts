import { gaitScaleIds, gaitScales } from "../../records/gait-scales.ts";
import { animalKindIds, dayColumn, type HerdKindId, stagedTable } from "../staging.ts";
import { workTable } from "./find.ts";
import { animalOf, datedTags, GROUP_MARK, joinTags, ownersOf, tagReadingStatements } from "./tag-reading.ts";

/** Reads the tags of all records of animals, each as of its record's day. */
export function readTagsOfRecords(ofAnimals: readonly HerdKindId[]): readonly string[] {
  const days = ofAnimals.map(
    (
      kind,
    ) => `UNION SELECT t.flock, t.animal AS tag, CASE WHEN o.tag IS NOT NULL THEN t."${dayColumn(kind)}" END AS day
      FROM ${stagedTable(kind)} t JOIN current c USING (source_id)
      LEFT JOIN dated_tag o ON o.flock = t.flock AND o.tag = t.animal
      WHERE t.animal IS NOT NULL AND NOT starts_with(t.animal, '${GROUP_MARK}')`,
  );
  return [
    datedTags,
    `CREATE OR REPLACE TEMP TABLE tag_day AS
     SELECT CAST(NULL AS VARCHAR) AS flock, CAST(NULL AS VARCHAR) AS tag, CAST(NULL AS DATE) AS day WHERE false ${days.join(" ")}`,
    ...tagReadingStatements,
  ];
}

/** The current records of a kind, with the animal that each is about and what the sheet leaves to be understood. */
export function workTableStatement(kind: HerdKindId): string {
  const ofAnimals = animalKindIds.includes(kind);
  const understood = understoodColumns[kind];
  return `CREATE OR REPLACE TEMP TABLE ${workTable(kind)} AS
    SELECT t.rowid AS rid, c.ord,
      ${ofAnimals ? `t.animal AS as_written, ${animalOf} AS animal, ${ownersOf},` : ""}
      t.* ${ofAnimals ? "EXCLUDE (animal)" : ""} ${understood ? `REPLACE (${understood})` : ""}
    FROM ${stagedTable(kind)} t JOIN current c USING (source_id)
    ${kind === "gaits" || kind === "rounds" ? "LEFT JOIN flock_now f ON f.flock = t.flock" : ""}
    ${kind === "gaits" ? "LEFT JOIN scale_of_source i ON i.source_id = t.source_id AND i.flock = t.flock" : ""}
    ${ofAnimals ? joinTags("t.flock", "t.animal", `t."${dayColumn(kind)}"`) : ""}`;
}

const understoodColumns: Partial<Record<HerdKindId, string>> = {
  // a blank 'trimmed' means yes beside a length after, or in a sheet without lengths; else it stays unknown
  trims: `CASE WHEN t.trimmed IS NULL
    AND (t.toe_after_mm IS NOT NULL OR t.overhang_after_mm IS NOT NULL OR NOT c.has_lengths)
    THEN true ELSE t.trimmed END AS trimmed`,
  gaits: "coalesce(t.gait_scale, f.gait_scale, i.gait_scale) AS gait_scale",
  rounds: "coalesce(t.gait_scale, f.gait_scale) AS gait_scale",
};

/**
 * The gait scale of a sheet that names none: the only scale that its scores fit, in `scale_of_source`. A
 * scale also does not fit when none of 30 scores or more is its sound one (project default). Scores that no
 * scale knows are left out here; they are found later. Where the sheet does not tell, the only scale that the
 * flock's other rows name.
 */
export const scaleOfSource = `CREATE OR REPLACE TEMP TABLE scale_of_source AS
  WITH scale (gait_scale, least, most) AS (VALUES ${gaitScaleIds
    .map((id) => `('${id}', ${gaitScales[id].least}, ${gaitScales[id].most})`)
    .join(", ")}),
  score AS (
    SELECT t.flock, t.source_id, min(gait) AS low, max(gait) AS high, count(*) AS scores
    FROM intake.staged_gaits t JOIN current c USING (source_id)
    WHERE gait_scale IS NULL AND gait BETWEEN 0 AND 6 GROUP BY t.flock, t.source_id
  ),
  fitting AS (
    SELECT flock, source_id, CASE WHEN count(*) = 1 THEN any_value(gait_scale) END AS gait_scale
    FROM score JOIN scale ON low >= least AND high <= most AND (scores < 30 OR low = least)
    GROUP BY flock, source_id
  ),
  named AS (
    SELECT t.flock, any_value(gait_scale) AS gait_scale FROM intake.staged_gaits t JOIN current c USING (source_id)
    WHERE gait_scale IS NOT NULL GROUP BY t.flock HAVING count(DISTINCT gait_scale) = 1
  )
  SELECT s.flock, s.source_id, coalesce(f.gait_scale, n.gait_scale) AS gait_scale
  FROM score s LEFT JOIN fitting f ON f.flock = s.flock AND f.source_id = s.source_id LEFT JOIN named n ON n.flock = s.flock`;

/** Where unlisted animals are taken: one animal for each tag that records alone name, by its first record. */
export function animalsFromRecords(ofAnimals: readonly HerdKindId[]): string {
  const records = ofAnimals.map(
    (
      kind,
    ) => `SELECT flock, animal, coalesce("${dayColumn(kind)}", DATE 'infinity') AS day, ord, source_id, row_no
      FROM ${workTable(kind)} ANTI JOIN animal_now USING (flock, animal)
      ANTI JOIN (SELECT rid FROM found WHERE kind = '${kind}') USING (rid) WHERE animal IS NOT NULL`,
  );
  return `INSERT INTO animal_now (flock, source_id, row_no, made, animal)
    SELECT flock, arg_min(source_id, (day, ord, row_no)), arg_min(row_no, (day, ord, row_no)), true, animal
    FROM (${records.join(" UNION ALL ")}) GROUP BY flock, animal`;
}
