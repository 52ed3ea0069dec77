import { herdKindIds, stagedTable } from "../staging.ts";

/**
 * The sources that hold now, in an order that does not depend on when they came, and the settings of each
 * flock: temporary tables `current`, `flock_now`, `same_now`, and an empty `found` for what the checks find.
 */
export const currentStatements: readonly string[] = [
  `CREATE OR REPLACE TEMP TABLE current AS
   SELECT s.source_id, s.flock AS source_flock, s.file, s.worksheet, coalesce(r.has_lengths, false) AS has_lengths,
     CAST(row_number() OVER (ORDER BY s.file, s.worksheet NULLS FIRST, s.flock) AS INTEGER) AS ord
   FROM intake.current_source s LEFT JOIN intake.source_reading r USING (source_id)`,
  `CREATE OR REPLACE TEMP TABLE same_now AS
   SELECT flock, tag, same_flock, same_tag FROM intake.same_tag
   SEMI JOIN (SELECT flock, max(ingest_id) AS ingest_id FROM intake.flock_setting GROUP BY flock) USING (flock, ingest_id)`,
  `CREATE OR REPLACE TEMP TABLE flock_now AS
   WITH latest AS (
     SELECT * FROM intake.flock_setting QUALIFY row_number() OVER (PARTITION BY flock ORDER BY ingest_id DESC) = 1
   ), listed AS (
     SELECT a.flock FROM intake.staged_animals a SEMI JOIN current c USING (source_id)
     UNION SELECT t.flock FROM intake.read_trouble t SEMI JOIN current c USING (source_id) WHERE t.kind = 'animals'
   ), used AS (${herdKindIds
     .map((kind) => `SELECT DISTINCT flock FROM ${stagedTable(kind)} SEMI JOIN current USING (source_id)`)
     .join(" UNION ")})
   SELECT l.* EXCLUDE (ingest_id), l.flock IN (FROM listed) AS has_animals_sheet,
     l.unlisted_animals = 'take' OR NOT l.flock IN (FROM listed) AS takes_unlisted
   FROM latest l SEMI JOIN used u USING (flock)`,
  // the day of the latest ingest: nothing was done after it
  `CREATE OR REPLACE TEMP TABLE today AS
   SELECT CAST(max(taken_at) AS DATE) AS day FROM intake.ingest`,
  `CREATE OR REPLACE TEMP TABLE found (kind VARCHAR, rid INTEGER, step INTEGER, loses VARCHAR, column_name VARCHAR,
     value VARCHAR, reason VARCHAR)`,
  "CREATE OR REPLACE TEMP TABLE repeated (kind VARCHAR, rid INTEGER)",
];
