import { quoteName } from "../../book/book.ts";
import { kinds } from "../../records/kinds.ts";
import { codeInSql } from "../code-in-sql.ts";
import { find, rowLabel, soundSoFar } from "../derive/find.ts";
import { animalKindIds, columnNames, type HerdKindId } from "../staging.ts";

/** What does not make two records differ: remarks, words as they came, and where a record came from. */
const besideTheValue = ["note", "lesion_text", "origin"];

/**
 * Records of one grain (same animal, day, place and observer, say): equal in every value they are exact
 * repeats, of which the first is taken; otherwise they disagree and all of them are set aside.
 */
export function twinChecks(kind: HerdKindId): readonly string[] {
  const who = animalKindIds.includes(kind) ? "coalesce(animal, as_written)" : "animal";
  const grain = kinds[kind].grain.map((name) => (name === "animal" ? who : quoteName(name)));
  const values = columnNames(kind)
    .filter(
      (name) => !(kinds[kind].grain as readonly string[]).includes(name) && !besideTheValue.includes(name),
    )
    .map(quoteName);
  const note = columnNames(kind).includes("note") ? "note IS NULL, " : "";
  return [
    `CREATE OR REPLACE TEMP TABLE grain_key AS SELECT rid, hash(flock, ${grain.join(", ")}) AS key FROM ${soundSoFar(kind)}`,
    // the hash only finds candidates; what is equal is decided on the values themselves
    `CREATE OR REPLACE TEMP TABLE twin AS
     SELECT w.rid, w.ord, w.row_no, w.part, row_number() OVER (ORDER BY ${note}ord, row_no, part) AS place,
       dense_rank() OVER (ORDER BY flock, ${grain.join(", ")}) AS grain,
       ${values.length === 0 ? "1" : `dense_rank() OVER (ORDER BY ${values.join(", ")})`} AS says
     FROM work_${kind} w SEMI JOIN (
       SELECT rid FROM grain_key SEMI JOIN (SELECT key FROM grain_key GROUP BY key HAVING count(*) > 1) USING (key)
     ) USING (rid)`,
    `INSERT INTO repeated SELECT '${kind}', rid FROM twin
     WHERE grain IN (SELECT grain FROM twin GROUP BY grain HAVING count(DISTINCT says) = 1)
     QUALIFY row_number() OVER (PARTITION BY grain ORDER BY place) > 1`,
    find(
      kind,
      "twin",
      `WITH voice AS (
         SELECT grain, says, min(place) AS place FROM twin GROUP BY grain, says
         QUALIFY count(*) OVER (PARTITION BY grain) > 1
       ), loudest AS (
         SELECT grain, arg_min(says, place) AS says, min(place) AS first_place FROM voice GROUP BY grain
       ), next AS (
         SELECT v.grain, min(v.place) AS second_place FROM voice v JOIN loudest l USING (grain) WHERE v.says <> l.says GROUP BY v.grain
       )
       SELECT t.rid, NULL AS column_name, NULL AS value, ${codeInSql("rows_disagree", rowLabel("t.ord", "o.row_no", "c"))} AS reason
       FROM twin t JOIN loudest l USING (grain) JOIN next n USING (grain)
       JOIN twin o ON o.place = CASE WHEN t.says = l.says THEN n.second_place ELSE l.first_place END
       JOIN current c ON c.ord = o.ord`,
    ),
  ];
}
