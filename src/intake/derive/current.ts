import type { Book } from "../../book/book.ts";
import { type HerdKindId, herdKindIds, stagedTable } from "../staging.ts";

/** The sources that hold now, in an order that does not depend on when they came: `current`. */
export const currentSources = `CREATE OR REPLACE TEMP TABLE current AS
  SELECT s.source_id, s.flock AS source_flock, s.file, s.worksheet, coalesce(r.has_lengths, false) AS has_lengths,
    CAST(row_number() OVER (ORDER BY s.file, s.worksheet NULLS FIRST, s.flock) AS INTEGER) AS ord
  FROM intake.current_source s LEFT JOIN intake.source_reading r USING (source_id)`;

/** Kinds that any current source has records of: for the others there is nothing to check. */
export async function kindsPresent(book: Book): Promise<ReadonlySet<HerdKindId>> {
  const rows = await book.rows<{ kind: HerdKindId }>(
    herdKindIds
      .map(
        (kind) =>
          `SELECT '${kind}' AS kind WHERE EXISTS (FROM ${stagedTable(kind)} SEMI JOIN current USING (source_id))`,
      )
      .join(" UNION ALL "),
  );
  return new Set(rows.map(({ kind }) => kind));
}

/**
 * The settings of each flock that has records (`flock_now`, `same_now`), the day of the latest ingest
 * (`today`), and empty tables for what the checks find (`found`, `repeated`).
 */
export function settingStatements(present: ReadonlySet<HerdKindId>): readonly string[] {
  const used = [...present].map(
    (kind) => `UNION SELECT flock FROM ${stagedTable(kind)} SEMI JOIN current USING (source_id)`,
  );
  return [
    `CREATE OR REPLACE TEMP TABLE same_now AS
     SELECT flock, tag, same_flock, same_tag FROM intake.same_tag
     SEMI JOIN (SELECT flock, max(ingest_id) AS ingest_id FROM intake.flock_setting GROUP BY flock) USING (flock, ingest_id)`,
    `CREATE OR REPLACE TEMP TABLE flock_now AS
     WITH latest AS (
       SELECT * FROM intake.flock_setting QUALIFY row_number() OVER (PARTITION BY flock ORDER BY ingest_id DESC) = 1
     ), listed AS (
       SELECT a.flock FROM intake.staged_animals a SEMI JOIN current c USING (source_id)
       UNION SELECT t.flock FROM intake.read_trouble t SEMI JOIN current c USING (source_id) WHERE t.kind = 'animals'
     ), used AS (SELECT flock FROM listed ${used.join(" ")})
     SELECT l.* EXCLUDE (ingest_id), l.flock IN (FROM listed) AS has_animals_sheet,
       l.unlisted_animals = 'take' OR NOT l.flock IN (FROM listed) AS takes_unlisted,
       lower(l.flock) IN ('all', 'pooled') AS reserved,
       -- where folders name the flocks, a row can name only one of those
       l.named_by = 'row' AND EXISTS (FROM latest WHERE named_by = 'folder') AS unknown
     FROM latest l SEMI JOIN used u USING (flock)`,
    "CREATE OR REPLACE TEMP TABLE today AS SELECT CAST(max(taken_at) AS DATE) AS day FROM intake.ingest",
    `CREATE OR REPLACE TEMP TABLE found (kind VARCHAR, rid BIGINT, step INTEGER, loses VARCHAR, column_name VARCHAR,
       value VARCHAR, reason VARCHAR)`,
    "CREATE OR REPLACE TEMP TABLE repeated (kind VARCHAR, rid BIGINT)",
  ];
}
