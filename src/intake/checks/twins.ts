import { type Book, quoteName } from "../../book/book.ts";
import { kinds } from "../../records/kinds.ts";
import { codeInSql } from "../code-in-sql.ts";
import { find, rowLabel, soundSoFar } from "../derive/find.ts";
import { animalKindIds, columnNames, type HerdKindId } from "../staging.ts";

/** What does not make two records differ: remarks, words as they came, and where a record came from. */
const besideTheValue = ["note", "lesion_text", "origin"];

/**
 * Records of one grain (same animal, day, place and observer, say). Equal in every value they are exact
 * repeats, of which the first is taken, and so is one that only leaves cells blank which another fills.
 * Otherwise they disagree and all of them are set aside.
 */
export async function checkTwins(book: Book, kind: HerdKindId): Promise<void> {
  const who = animalKindIds.includes(kind) ? "coalesce(animal, as_written)" : "animal";
  const grain = kinds[kind].grain.map((name) => (name === "animal" ? who : quoteName(name)));
  const values = columnNames(kind)
    .filter(
      (name) => !(kinds[kind].grain as readonly string[]).includes(name) && !besideTheValue.includes(name),
    )
    .map(quoteName);
  const note = columnNames(kind).includes("note") ? "note IS NULL, " : "";
  const sum = (terms: readonly string[]): string => (terms.length === 0 ? "0" : terms.join(" + "));
  const any = (terms: readonly string[]): string => (terms.length === 0 ? "false" : terms.join(" OR "));
  // the hash only finds candidates; what is equal is decided on the values themselves
  await book.run(`CREATE OR REPLACE TEMP TABLE grain_key AS SELECT rid, hash(flock, ${grain.join(", ")}) AS key FROM ${soundSoFar(kind)};
    CREATE OR REPLACE TEMP TABLE grain_twice AS SELECT key FROM grain_key GROUP BY key HAVING count(*) > 1`);
  const [twice] = await book.rows("SELECT true AS any_key FROM grain_twice LIMIT 1");
  if (twice === undefined) return;
  const statements = [
    `CREATE OR REPLACE TEMP TABLE twin AS
     SELECT rid, ord, row_no, ${values.map((value) => `${value}, `).join("")}dense_rank() OVER (ORDER BY flock, ${grain.join(", ")}) AS grain,
       ${values.length === 0 ? "1" : `dense_rank() OVER (ORDER BY ${values.join(", ")})`} AS says,
       ${sum(values.map((value) => `CAST(${value} IS NOT NULL AS INTEGER)`))} AS filled,
       row_number() OVER (ORDER BY filled DESC, ${note}ord, row_no, part) AS place
     FROM work_${kind} w SEMI JOIN (
       SELECT rid FROM grain_key SEMI JOIN grain_twice USING (key)
     ) USING (rid)`,
    `CREATE OR REPLACE TEMP TABLE twins AS
     SELECT t.grain, coalesce(${any(values.map((value) => `min(${value}) <> max(${value})`))}, false)
       OR max(t.filled) < ${sum(values.map((value) => `CAST(count(${value}) > 0 AS INTEGER)`))} AS differ
     FROM twin t GROUP BY t.grain HAVING count(*) > 1`,
    `INSERT INTO repeated SELECT '${kind}', rid FROM twin SEMI JOIN (SELECT grain FROM twins WHERE NOT differ) USING (grain)
     QUALIFY row_number() OVER (PARTITION BY grain ORDER BY place) > 1`,
    find(
      kind,
      "twin",
      `WITH voice AS (
         SELECT grain, says, min(place) AS place FROM twin SEMI JOIN (SELECT grain FROM twins WHERE differ) USING (grain)
         GROUP BY grain, says
       ), first AS (
         SELECT grain, arg_min(says, place) AS says, min(place) AS first_place FROM voice GROUP BY grain
       ), next AS (
         SELECT v.grain, min(v.place) AS second_place FROM voice v JOIN first f USING (grain) WHERE v.says <> f.says GROUP BY v.grain
       )
       SELECT t.rid, NULL AS column_name, NULL AS value, ${codeInSql("rows_disagree", rowLabel("t.ord", "o.row_no", "c"))} AS reason
       FROM twin t JOIN first f USING (grain) JOIN next n USING (grain)
       JOIN twin o ON o.place = CASE WHEN t.says = f.says THEN n.second_place ELSE f.first_place END
       JOIN current c ON c.ord = o.ord`,
    ),
  ];
  await book.run(statements.join(";\n"));
}
