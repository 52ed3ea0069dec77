import type { Book } from "../../book/book.ts";
import { quoteText } from "../../book/book.ts";
import { code } from "../../records/codes.ts";
import { codeInSql } from "../code-in-sql.ts";
import { chainOf, loopsOf } from "../pedigree-loops.ts";
import { animalOf, datedTags, joinTags, tagReadingStatements } from "./tag-reading.ts";

/** A doe kids at eight months at the earliest: some three to grow ripe and five to carry (common practice, no source). */
export const YOUNGEST_PARENT_DAYS = 240;

/**
 * Parents of `animal_now`: candidates with their shares in `parent_now`. A parent that no animals sheet lists
 * is a pedigree-only ancestor under the tag as written, never matched to a near one. Parents of the wrong
 * sex, too young, of unsure tag, or in a loop are left out of the pedigree, each noted in `parent_wrong`; the
 * animal itself stays.
 */
export async function readPedigree(book: Book): Promise<void> {
  const [any] = await book.rows(
    "SELECT animal FROM animal_now WHERE sire IS NOT NULL OR dam IS NOT NULL LIMIT 1",
  );
  if (any === undefined) {
    await book.run(NO_PARENTS);
    return;
  }
  await book.run([PARENTS_WRITTEN, ...parentStatements].join(";\n"));
  await leaveOutLoops(book);
  await book.run(
    "DELETE FROM parent_now USING parent_wrong w WHERE w.flock = parent_now.flock AND w.animal = parent_now.animal AND w.role = parent_now.role",
  );
}

const NO_PARENTS = `CREATE OR REPLACE TEMP TABLE parent_now (flock VARCHAR, animal VARCHAR, parent VARCHAR, role VARCHAR, share DOUBLE,
    source_id INTEGER, row_no INTEGER);
  CREATE OR REPLACE TEMP TABLE parent_wrong (flock VARCHAR, animal VARCHAR, role VARCHAR, written VARCHAR, reason VARCHAR)`;

const PARENTS_WRITTEN = `CREATE OR REPLACE TEMP TABLE parent_written AS
   WITH listed AS (
     SELECT flock, animal, role, arg_min(written, (source_id, row_no)) AS written, arg_min(source_id, (source_id, row_no)) AS source_id,
       min(row_no) AS row_no, max(born_earliest) AS born_earliest, max(born_latest) AS born_latest
     FROM (
       SELECT flock, animal, 'sire' AS role, sire AS written, source_id, row_no, born_earliest, born_latest FROM animal_now WHERE sire IS NOT NULL
       UNION ALL SELECT flock, animal, 'dam', dam, source_id, row_no, born_earliest, born_latest FROM animal_now WHERE dam IS NOT NULL
     ) GROUP BY flock, animal, role
   ), piece AS (
     SELECT *, unnest(string_split(written, ' / ')) AS piece, len(string_split(written, ' / ')) AS pieces FROM listed
   ), share AS (
     SELECT *, pieces > 1 AND regexp_full_match(piece, '.+ [0-9]+(\\.[0-9]+)?%') AS shared FROM piece
   )
   SELECT * EXCLUDE (piece, pieces, shared),
     CASE WHEN shared THEN regexp_replace(piece, ' [0-9.]+%$', '') ELSE trim(piece) END AS tag,
     CASE WHEN shared THEN CAST(regexp_extract(piece, '([0-9.]+)%$', 1) AS DOUBLE) / 100 ELSE CAST(1 AS DOUBLE) / pieces END AS share
   FROM share`;

const parentStatements: readonly string[] = [
  datedTags,
  `CREATE OR REPLACE TEMP TABLE tag_day AS
   SELECT DISTINCT flock, tag, born_earliest AS day FROM parent_written SEMI JOIN tag_owner USING (flock, tag)`,
  ...tagReadingStatements,
  // a parent whose tag nobody had on the day of birth may have left or lost it since: then any day counts
  `CREATE OR REPLACE TEMP TABLE parent_now AS
   SELECT p.flock, p.animal, coalesce(${animalOf}, CASE WHEN coalesce(d.tag, r.tag) IS NULL THEN coalesce(o.animal, p.tag) END) AS parent, p.role,
     sum(p.share) / sum(sum(p.share)) OVER (PARTITION BY p.flock, p.animal, p.role) AS share,
     any_value(p.source_id) AS source_id, any_value(p.row_no) AS row_no, any_value(p.written) AS written,
     any_value(p.born_latest) AS born_latest, any_value(coalesce(d.first_owner, r.first_owner)) AS first_owner, any_value(coalesce(d.second_owner, r.second_owner)) AS second_owner
   FROM parent_written p
   ${joinTags("p.flock", "p.tag", "p.born_earliest")}
   LEFT JOIN (SELECT flock, tag, min(animal) AS animal FROM tag_owner GROUP BY flock, tag HAVING count(DISTINCT animal) = 1) o
     ON o.flock = p.flock AND o.tag = p.tag
   GROUP BY p.flock, p.animal, p.role, 3`,
  `CREATE OR REPLACE TEMP TABLE parent_wrong AS
   SELECT flock, animal, role, written, any_value(${codeInSql("tag_of_two", "first_owner", "second_owner")}) AS reason
   FROM parent_now WHERE parent IS NULL GROUP BY ALL`,
  `INSERT INTO parent_wrong
   WITH sex AS (SELECT flock, animal AS parent, any_value(sex) AS sex FROM animal_now WHERE sex IS NOT NULL GROUP BY ALL),
   in_both_roles AS (SELECT flock, parent FROM parent_now GROUP BY flock, parent HAVING count(DISTINCT role) > 1)
   SELECT p.flock, p.animal, p.role, p.written, min(${codeInSql("parent_of_wrong_sex", "p.parent", "p.role")}) AS reason
   FROM parent_now p LEFT JOIN sex s USING (flock, parent) LEFT JOIN in_both_roles b ON b.flock = p.flock AND b.parent = p.parent
   ANTI JOIN parent_wrong w ON w.flock = p.flock AND w.animal = p.animal AND w.role = p.role
   WHERE p.parent <> p.animal
     AND ((p.role = 'sire' AND s.sex = 'female') OR (p.role = 'dam' AND s.sex IN ('male', 'wether')) OR (s.sex IS NULL AND b.parent IS NOT NULL))
   GROUP BY p.flock, p.animal, p.role, p.written`,
  `INSERT INTO parent_wrong
   WITH born AS (SELECT flock, animal AS parent, max(born_earliest) AS born_earliest FROM animal_now GROUP BY ALL)
   SELECT p.flock, p.animal, p.role, p.written, min(${codeInSql("parent_too_young", "p.parent")}) AS reason
   FROM parent_now p JOIN born b USING (flock, parent)
   ANTI JOIN parent_wrong w ON w.flock = p.flock AND w.animal = p.animal AND w.role = p.role
   WHERE p.parent <> p.animal AND b.born_earliest + ${YOUNGEST_PARENT_DAYS} > p.born_latest
   GROUP BY p.flock, p.animal, p.role, p.written`,
];

/**
 * Leaves out every link that lies on a loop. Animals without parents, and those that are nobody's parent,
 * lie on none: taking their links away again and again leaves the loops and little else, which is then
 * looked through link by link.
 */
async function leaveOutLoops(book: Book): Promise<void> {
  await book.run(`CREATE OR REPLACE TEMP TABLE link AS SELECT DISTINCT p.flock, p.animal, p.parent FROM parent_now p
    ANTI JOIN parent_wrong w ON w.flock = p.flock AND w.animal = p.animal AND w.role = p.role`);
  for (let before = Number.POSITIVE_INFINITY; ; ) {
    const [count] = await book.rows<{ n: number }>("SELECT CAST(count(*) AS INTEGER) AS n FROM link");
    if (count!.n === 0 || count!.n === before) break;
    before = count!.n;
    await book.run(`DELETE FROM link WHERE (flock, parent) NOT IN (SELECT (flock, animal) FROM link)
      OR (flock, animal) NOT IN (SELECT (flock, parent) FROM link)`);
  }
  const links = await book.rows<{ flock: string; animal: string; parent: string }>(
    "SELECT flock, animal, parent FROM link ORDER BY ALL",
  );
  const wrong = loopsOf(links).map(({ flock, animal, parent, loop }) => {
    const reason = quoteText(code("pedigree_loop", chainOf(loop)));
    return `(${quoteText(flock)}, ${quoteText(animal)}, ${quoteText(parent)}, ${reason})`;
  });
  if (wrong.length === 0) return;
  await book.run(`INSERT INTO parent_wrong
    SELECT p.flock, p.animal, p.role, p.written, min(v.reason) FROM (VALUES ${wrong.join(", ")}) AS v (flock, animal, parent, reason)
    JOIN parent_now p USING (flock, animal, parent)
    ANTI JOIN parent_wrong w ON w.flock = p.flock AND w.animal = p.animal AND w.role = p.role
    GROUP BY p.flock, p.animal, p.role, p.written`);
}
