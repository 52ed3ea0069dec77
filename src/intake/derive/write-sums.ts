import type { Book } from "../../book/book.ts";
import { quoteName } from "../../book/book.ts";
import { kinds } from "../../records/kinds.ts";
import type { HerdKindId } from "../staging.ts";
import { soundSoFar, workTable } from "./find.ts";
import { GROUP_MARK } from "./tag-reading.ts";

/**
 * Fills `intake.record_sum` anew and holds it against the identity: every record that a reader counted is
 * taken (stands in the herd), or set aside, or an exact repeat. Throws when that does not hold for any source
 * and kind: it would be a fault of the program.
 */
export async function writeSums(book: Book, present: ReadonlySet<HerdKindId>): Promise<void> {
  await book.run(sumStatements([...present]).join(";\n"));
  const broken = await book.rows<Record<string, unknown>>(
    `SELECT c.file, s.kind, s."read", s.taken, s.set_aside, s.repeats FROM intake.record_sum s JOIN current c USING (source_id)
     WHERE s."read" <> s.taken + s.set_aside + s.repeats OR s.taken < 0 LIMIT 5`,
  );
  if (broken.length > 0) throw new Error(`records do not add up: ${JSON.stringify(broken)}`);
}

const sumStatements = (present: readonly HerdKindId[]): readonly string[] => [
  `CREATE OR REPLACE TEMP TABLE in_herd AS ${present.map((kind) => `${taken(kind)} UNION ALL `).join("")}
   SELECT source_id, 'corrections' AS kind, count(*) AS n FROM intake.correction WHERE applied GROUP BY source_id`,
  `CREATE OR REPLACE TEMP TABLE row_lost AS
   SELECT source_id, kind, row_no, count(*) FILTER (loses = 'record') AS lost, bool_or(loses = 'cell') AS in_part
   FROM intake.set_aside WHERE kind IS NOT NULL AND loses <> 'sheet' GROUP BY source_id, kind, row_no`,
  `CREATE OR REPLACE TEMP TABLE row_all AS ${present
    .map(
      (kind) => `SELECT source_id, '${kind}' AS kind, row_no, count(*) AS readable FROM ${workTable(kind)}
        SEMI JOIN (SELECT source_id, row_no FROM row_lost WHERE kind = '${kind}') USING (source_id, row_no)
        GROUP BY source_id, row_no UNION ALL `,
    )
    .join("")}
   SELECT source_id, 'corrections' AS kind, row_no, 0 AS readable FROM intake.correction`,
  "DELETE FROM intake.record_sum",
  `INSERT INTO intake.record_sum BY NAME
   WITH aside AS (
     SELECT source_id, kind, sum(lost) AS n FROM row_lost GROUP BY ALL
   ), repeats AS (${present
     .map(
       (kind) => `SELECT source_id, '${kind}' AS kind, count(*) AS n FROM ${workTable(kind)}
         SEMI JOIN (SELECT rid FROM repeated WHERE kind = '${kind}') USING (rid) GROUP BY source_id UNION ALL `,
     )
     .join("")} SELECT 0 AS source_id, '' AS kind, 0 AS n WHERE false),
   -- of a row's records those found wrong by the checks were readable, those lost at reading were not
   unreadable AS (
     SELECT source_id, kind, row_no, count(*) FILTER (loses = 'record') AS n FROM intake.read_trouble GROUP BY ALL
   ), damaged AS (
     SELECT l.source_id, l.kind,
       count(*) FILTER (l.lost > 0 AND l.lost >= coalesce(a.readable, 0) + coalesce(u.n, 0)) AS rows_none,
       count(*) FILTER (NOT (l.lost > 0 AND l.lost >= coalesce(a.readable, 0) + coalesce(u.n, 0))) AS rows_in_part
     FROM row_lost l LEFT JOIN row_all a USING (source_id, kind, row_no) LEFT JOIN unreadable u USING (source_id, kind, row_no)
     GROUP BY ALL
   ), counted AS (${present
     .map(
       (kind) =>
         `SELECT source_id, '${kind}' AS kind, count(DISTINCT row_no) AS n FROM ${workTable(kind)} GROUP BY source_id UNION ALL `,
     )
     .join("")}
     SELECT source_id, 'corrections' AS kind, count(DISTINCT row_no) AS n FROM intake.correction GROUP BY source_id),
   -- rows all of whose records were lost at reading stand in no staged table
   only_lost AS (
     SELECT l.source_id, l.kind, count(*) AS n FROM row_lost l ANTI JOIN row_all a USING (source_id, kind, row_no) GROUP BY ALL
   )
   SELECT r.source_id, r.kind, r.records AS "read", coalesce(h.n, 0) AS taken, coalesce(a.n, 0) AS set_aside,
     coalesce(p.n, 0) AS repeats, coalesce(d.rows_none, 0) AS rows_none, coalesce(d.rows_in_part, 0) AS rows_in_part,
     coalesce(n.n, 0) + coalesce(o.n, 0) - coalesce(d.rows_none, 0) - coalesce(d.rows_in_part, 0) AS rows_whole
   FROM intake.read_count r JOIN current c USING (source_id)
   LEFT JOIN (SELECT source_id, kind, sum(n) AS n FROM in_herd GROUP BY ALL) h USING (source_id, kind)
   LEFT JOIN aside a USING (source_id, kind) LEFT JOIN repeats p USING (source_id, kind)
   LEFT JOIN damaged d USING (source_id, kind) LEFT JOIN counted n USING (source_id, kind)
   LEFT JOIN only_lost o USING (source_id, kind)
   ORDER BY c.ord, r.kind`,
];

/** Records of a kind that stand in the herd, by source. */
function taken(kind: HerdKindId): string {
  // rows of one animal make one row of the herd for each spell, and group rows one for each animal: these are
  // counted as the records that they come from
  if (kind === "animals") {
    return `SELECT source_id, 'animals' AS kind, count(*) AS n FROM ${soundSoFar("animals")} s
      SEMI JOIN herd.animal h ON h.flock = s.flock AND h.animal = s.animal GROUP BY source_id`;
  }
  const table = `herd.${quoteName(kinds[kind].table)}`;
  if (kind === "trims") {
    return `SELECT source_id, 'trims' AS kind, count(*) AS n FROM ${table} WHERE origin IS DISTINCT FROM 'group' GROUP BY source_id
      UNION ALL SELECT source_id, 'trims', count(*) FROM ${soundSoFar("trims")} WHERE starts_with(as_written, '${GROUP_MARK}') GROUP BY source_id`;
  }
  return `SELECT source_id, '${kind}' AS kind, count(*) AS n FROM ${table} GROUP BY source_id`;
}
