import type { Book } from "../../book/book.ts";
import { quoteName } from "../../book/book.ts";
import { kinds } from "../../records/kinds.ts";
import { type HerdKindId, herdKindIds } from "../staging.ts";
import { soundSoFar, workTable } from "./find.ts";
import { GROUP_MARK } from "./tag-reading.ts";

/** Fills `intake.set_aside`, `remark`, `unmapped_word` and `unlisted_animal` anew. */
export const asideStatements: readonly string[] = [
  "DELETE FROM intake.set_aside",
  `INSERT INTO intake.set_aside BY NAME
   SELECT source_id, row_no, part, kind, min(column_name) AS column_name, arg_min(value, (column_name, value)) AS value,
     string_agg(DISTINCT reason, ';' ORDER BY reason) AS reason, string_agg(DISTINCT reason, ';' ORDER BY reason) AS advice,
     t.flock, loses
   FROM intake.read_trouble t JOIN current c USING (source_id)
   GROUP BY source_id, c.ord, t.flock, row_no, part, kind, loses, CASE WHEN loses = 'record' THEN NULL ELSE column_name END
   ORDER BY c.ord, row_no, kind, part, column_name`,
  ...herdKindIds.map(
    (kind) => `INSERT INTO intake.set_aside BY NAME
      SELECT w.source_id, w.row_no, w.part, '${kind}' AS kind, f.column_name, f.value, f.reason, f.reason AS advice, w.flock, f.loses
      FROM (
        SELECT rid, loses, arg_min(column_name, (step, reason)) AS column_name, arg_min(value, (step, reason)) AS value,
          string_agg(DISTINCT reason, ';' ORDER BY reason) AS reason
        FROM found WHERE kind = '${kind}' GROUP BY rid, loses, CASE WHEN loses = 'cell' THEN column_name END
      ) f JOIN ${workTable(kind)} w USING (rid) ORDER BY w.ord, w.row_no, w.part, f.column_name`,
  ),
  // a correction is taken when it fitted the sheet that it speaks of
  `UPDATE intake.correction SET applied = EXISTS (
     SELECT 1 FROM intake.correction_outcome o JOIN current t ON t.source_id = o.source_id
       JOIN current c ON c.source_id = intake.correction.source_id
     WHERE o.flock = c.source_flock AND o.file = c.file AND o.worksheet IS NOT DISTINCT FROM c.worksheet
       AND o.row_no = intake.correction.row_no AND o.reason IS NULL)`,
  `INSERT INTO intake.set_aside BY NAME
   SELECT k.source_id, k.row_no, 0 AS part, 'corrections' AS kind, 'was' AS column_name, k.was AS value,
     coalesce(min(o.reason), 'correction_without_cell') AS reason, coalesce(min(o.reason), 'correction_without_cell') AS advice,
     c.source_flock AS flock, 'record' AS loses
   FROM intake.correction k JOIN current c USING (source_id)
   LEFT JOIN (SELECT o.* FROM intake.correction_outcome o SEMI JOIN current USING (source_id)) o
     ON o.flock = c.source_flock AND o.file = c.file AND o.worksheet IS NOT DISTINCT FROM c.worksheet AND o.row_no = k.row_no
   WHERE NOT k.applied GROUP BY k.source_id, k.row_no, k.was, c.source_flock, c.ord ORDER BY c.ord, k.row_no`,
  "DELETE FROM intake.unmapped_word",
  `INSERT INTO intake.unmapped_word BY NAME
   SELECT w.source_id, w.row_no, w.flock, w.column_name, w.word FROM intake.read_word w JOIN current c USING (source_id)
   ORDER BY c.ord, w.row_no, w.word`,
  "DELETE FROM intake.remark",
  `INSERT INTO intake.remark BY NAME
   WITH about AS (${herdKindIds
     .flatMap((kind) => {
       const names: readonly string[] = kinds[kind].columns.map((column) => column.name);
       if (!names.includes("date") || !names.includes("note")) return [];
       const animal = names.includes("animal") ? "coalesce(w.animal, w.as_written)" : "CAST(NULL AS VARCHAR)";
       return [
         `SELECT w.source_id, w.row_no, ${animal} AS animal, w."date" AS day FROM ${workTable(kind)} w
          SEMI JOIN intake.read_remark r ON r.source_id = w.source_id AND r.row_no = w.row_no`,
       ];
     })
     .join(" UNION ALL ")}),
   first AS (SELECT source_id, row_no, min(animal) AS animal, min(day) AS day FROM about GROUP BY ALL)
   SELECT r.source_id, r.row_no, r.flock, f.animal, f.day AS "date", r.remark, r.would_be, r.notifiable
   FROM intake.read_remark r JOIN current c USING (source_id) LEFT JOIN first f USING (source_id, row_no)
   ORDER BY c.ord, r.row_no, r.would_be, r.remark`,
  "DELETE FROM intake.unlisted_animal",
  `INSERT INTO intake.unlisted_animal BY NAME
   SELECT u.flock, u.tag, u.records, u.first_day, u.last_day, n.nearest
   FROM unlisted u LEFT JOIN near_tag n USING (flock, tag) ORDER BY u.flock, u.tag`,
];

/**
 * Fills `intake.record_sum` anew and holds it against the identity: every record that a reader counted is
 * taken (stands in the herd), or set aside, or an exact repeat. Throws when that does not hold for any source
 * and kind: it would be a fault of the program.
 */
export async function writeSums(book: Book): Promise<void> {
  for (const statement of sumStatements) await book.run(statement);
  const broken = await book.rows<Record<string, unknown>>(
    `SELECT c.file, s.kind, s."read", s.taken, s.set_aside, s.repeats FROM intake.record_sum s JOIN current c USING (source_id)
     WHERE s."read" <> s.taken + s.set_aside + s.repeats OR s.taken < 0 LIMIT 5`,
  );
  if (broken.length > 0) throw new Error(`records do not add up: ${JSON.stringify(broken)}`);
}

const sumStatements: readonly string[] = [
  `CREATE OR REPLACE TEMP TABLE in_herd AS ${herdKindIds.map(taken).join(" UNION ALL ")}
   UNION ALL SELECT source_id, 'corrections', count(*) FROM intake.correction WHERE applied GROUP BY source_id`,
  `CREATE OR REPLACE TEMP TABLE row_lost AS
   SELECT source_id, kind, row_no, count(*) FILTER (loses = 'record') AS lost, bool_or(loses = 'cell') AS in_part
   FROM intake.set_aside WHERE kind IS NOT NULL AND loses <> 'sheet' GROUP BY source_id, kind, row_no`,
  `CREATE OR REPLACE TEMP TABLE row_all AS ${herdKindIds
    .map(
      (kind) => `SELECT source_id, '${kind}' AS kind, row_no, count(*) AS readable FROM ${workTable(kind)}
        SEMI JOIN row_lost l ON l.source_id = ${workTable(kind)}.source_id AND l.kind = '${kind}' AND l.row_no = ${workTable(kind)}.row_no
        GROUP BY source_id, row_no`,
    )
    .join(" UNION ALL ")}
   UNION ALL SELECT source_id, 'corrections', row_no, 0 FROM intake.correction`,
  "DELETE FROM intake.record_sum",
  `INSERT INTO intake.record_sum BY NAME
   WITH aside AS (
     SELECT source_id, kind, sum(lost) AS n FROM row_lost GROUP BY ALL
   ), repeats AS (${herdKindIds
     .map(
       (kind) => `SELECT source_id, '${kind}' AS kind, count(*) AS n FROM ${workTable(kind)}
         SEMI JOIN (SELECT rid FROM repeated WHERE kind = '${kind}') USING (rid) GROUP BY source_id`,
     )
     .join(" UNION ALL ")}),
   -- of a row's records those found wrong by the checks were readable, those lost at reading were not
   unreadable AS (
     SELECT source_id, kind, row_no, count(*) FILTER (loses = 'record') AS n FROM intake.read_trouble GROUP BY ALL
   ), damaged AS (
     SELECT l.source_id, l.kind,
       count(*) FILTER (l.lost > 0 AND l.lost >= coalesce(a.readable, 0) + coalesce(u.n, 0)) AS rows_none,
       count(*) FILTER (NOT (l.lost > 0 AND l.lost >= coalesce(a.readable, 0) + coalesce(u.n, 0))) AS rows_in_part
     FROM row_lost l LEFT JOIN row_all a USING (source_id, kind, row_no) LEFT JOIN unreadable u USING (source_id, kind, row_no)
     GROUP BY ALL
   ), counted AS (${herdKindIds
     .map(
       (kind) =>
         `SELECT source_id, '${kind}' AS kind, count(DISTINCT row_no) AS n FROM ${workTable(kind)} GROUP BY source_id`,
     )
     .join(" UNION ALL ")}
     UNION ALL SELECT source_id, 'corrections', count(DISTINCT row_no) FROM intake.correction GROUP BY source_id),
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
