import { kinds } from "../../records/kinds.ts";
import type { HerdKindId } from "../staging.ts";
import { workTable } from "./find.ts";
import { GROUP_MARK } from "./tag-reading.ts";

/** Fills `intake.set_aside`, `remark`, `unmapped_word` and `unlisted_animal` anew. */
export function asideStatements(
  present: ReadonlySet<HerdKindId>,
  found: readonly HerdKindId[],
): readonly string[] {
  return [
    ...emptyAside,
    ...foundByReaders,
    ...found.map(foundByChecks),
    ...besideRecords,
    remarks([...present]),
  ];
}

const emptyAside: readonly string[] = [
  "DELETE FROM intake.set_aside",
  "DELETE FROM intake.unmapped_word",
  "DELETE FROM intake.remark",
  "DELETE FROM intake.unlisted_animal",
];

const foundByReaders: readonly string[] = [
  `INSERT INTO intake.set_aside BY NAME
   SELECT source_id, row_no, part, kind, min(column_name) AS column_name, arg_min(value, (column_name, value)) AS value,
     string_agg(DISTINCT reason, ';' ORDER BY reason) AS reason, string_agg(DISTINCT reason, ';' ORDER BY reason) AS advice,
     t.flock, loses
   FROM intake.read_trouble t JOIN current c USING (source_id)
   GROUP BY source_id, c.ord, t.flock, row_no, part, kind, loses, CASE WHEN loses = 'record' THEN NULL ELSE column_name END
   ORDER BY c.ord, row_no, kind, part, column_name`,
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
];

const besideRecords: readonly string[] = [
  `INSERT INTO intake.unmapped_word BY NAME
   SELECT w.source_id, w.row_no, w.flock, w.column_name, w.word FROM intake.read_word w JOIN current c USING (source_id)
   ORDER BY c.ord, w.row_no, w.word`,
  `INSERT INTO intake.unlisted_animal BY NAME
   SELECT u.flock, u.tag, u.records, u.first_day, u.last_day, n.nearest
   FROM unlisted u LEFT JOIN near_tag n USING (flock, tag) ORDER BY u.flock, u.tag`,
];

/** One row for each record or cell that the checks found wrong, with all their reasons. */
function foundByChecks(kind: HerdKindId): string {
  return `INSERT INTO intake.set_aside BY NAME
    SELECT w.source_id, w.row_no, w.part, '${kind}' AS kind, f.column_name, f.value, f.reason, f.reason AS advice, w.flock, f.loses
    FROM (
      SELECT rid, loses, arg_min(column_name, (step, reason)) AS column_name, arg_min(value, (step, reason)) AS value,
        string_agg(reason, ';' ORDER BY step, reason) AS reason
      FROM (
        SELECT rid, loses, reason, min(step) AS step, min(column_name) AS column_name, arg_min(value, column_name) AS value
        FROM found WHERE kind = '${kind}' GROUP BY rid, loses, reason, CASE WHEN loses = 'cell' THEN column_name END
      ) GROUP BY rid, loses, CASE WHEN loses = 'cell' THEN column_name END
    ) f JOIN ${workTable(kind)} w USING (rid) ORDER BY w.ord, w.row_no, w.part, f.column_name`;
}

/** Remarks with the animal and day of their row. */
function remarks(present: readonly HerdKindId[]): string {
  return `INSERT INTO intake.remark BY NAME
   WITH about AS (${present
     .flatMap((kind) => {
       const names: readonly string[] = kinds[kind].columns.map((column) => column.name);
       if (!names.includes("date") || !names.includes("note")) return [];
       const animal = names.includes("animal")
         ? `coalesce(w.animal, CASE WHEN NOT starts_with(w.as_written, '${GROUP_MARK}') THEN w.as_written END)`
         : "CAST(NULL AS VARCHAR)";
       return [
         `SELECT w.source_id, w.row_no, ${animal} AS animal, w."date" AS day FROM ${workTable(kind)} w
          SEMI JOIN intake.read_remark r ON r.source_id = w.source_id AND r.row_no = w.row_no UNION ALL `,
       ];
     })
     .join("")}
     SELECT 0 AS source_id, 0 AS row_no, CAST(NULL AS VARCHAR) AS animal, CAST(NULL AS DATE) AS day WHERE false),
   -- a row of several animals or days does not say which of them the remark means
   first AS (
     SELECT source_id, row_no, CASE WHEN min(animal) = max(animal) THEN min(animal) END AS animal,
       CASE WHEN min(day) = max(day) THEN min(day) END AS day
     FROM about GROUP BY source_id, row_no
   )
   SELECT r.source_id, r.row_no, r.flock, coalesce(r.animal, f.animal) AS animal, coalesce(r.day, f.day) AS "date", r.remark, r.would_be, r.notifiable
   FROM intake.read_remark r JOIN current c USING (source_id) LEFT JOIN first f USING (source_id, row_no)
   ORDER BY c.ord, r.row_no, r.would_be, r.remark`;
}
