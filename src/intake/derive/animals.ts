import { quoteName } from "../../book/book.ts";
import { codeInSql } from "../code-in-sql.ts";
import { columnNames } from "../staging.ts";
import { find, rowLabel, soundSoFar } from "./find.ts";

/** What describes the animal whenever it is looked at, in distinction from one stay in the flock. */
const lasting = [
  "name",
  "other_tags",
  "sex",
  "born_earliest",
  "born_latest",
  "sire",
  "dam",
  "line",
  "breed",
  "purpose",
] as const;

/** What belongs to one spell in the flock, named by the day it entered. */
const ofSpell = ["age_at_entry_days", "origin", "from_flock", "left", "left_reason"] as const;

/** The rows of animals sheets as a temporary table. */
export const workAnimals = `CREATE OR REPLACE TEMP TABLE work_animals AS
  SELECT a.rowid AS rid, c.ord, a.animal AS as_written,
    coalesce(s.same_tag, a.animal) AS animal, a.* EXCLUDE (animal)
  FROM intake.staged_animals a JOIN current c USING (source_id)
  LEFT JOIN same_now s ON s.flock = a.flock AND s.tag = a.animal AND s.same_flock = a.flock`;

/**
 * Cells of animals sheets that cannot be so. The cell alone is lost: the animal is still known, so that its
 * records are not lost with it.
 */
export const animalCellChecks: readonly string[] = [
  cell("born", "born_earliest", "in_the_future", "born_earliest > (SELECT day FROM today)"),
  cell("entered", "entered", "in_the_future", "entered > (SELECT day FROM today)"),
  cell("left", '"left"', "in_the_future", '"left" > (SELECT day FROM today)'),
  find(
    "animals",
    "value",
    `SELECT rid, 'entered' AS column_name, entered AS value, ${codeInSql("before_birth", "born_earliest")} AS reason
     FROM work_animals WHERE entered < born_earliest AND born_earliest <= (SELECT day FROM today)`,
    "cell",
  ),
  cell(
    "left",
    '"left"',
    "ends_before_it_starts",
    '"left" < coalesce(greatest(entered, born_earliest), entered, born_earliest) AND "left" <= (SELECT day FROM today)',
  ),
  ...["born_earliest", "born_latest", "entered", "left"].map(
    (column) => `UPDATE work_animals SET ${quoteName(column)} = NULL WHERE rid IN (SELECT rid FROM found
      WHERE kind = 'animals' AND loses = 'cell' AND column_name = '${column.startsWith("born") ? "born" : column}')`,
  ),
];

function cell(
  column: string,
  expression: string,
  reason: "in_the_future" | "ends_before_it_starts",
  wrong: string,
): string {
  return find(
    "animals",
    "value",
    `SELECT rid, '${column}' AS column_name, ${expression} AS value, '${reason}' AS reason
     FROM work_animals WHERE ${wrong}`,
    "cell",
  );
}

/**
 * Rows of one animal: several agree when no two filled cells differ and its spells in the flock do not
 * overlap. Where they do not, all are set aside and the animal is still known by what they agree on.
 * Gives `animal_now`, one row for each animal and spell.
 */
export const animalStatements: readonly string[] = [
  `INSERT INTO repeated SELECT 'animals', rid FROM ${soundSoFar("animals")}
   QUALIFY row_number() OVER (PARTITION BY flock, animal, ${["entered", ...lasting, ...ofSpell].map(quoteName).join(", ")}
     ORDER BY note IS NULL, ord, row_no, part) > 1`,
  `CREATE OR REPLACE TEMP TABLE animal_row AS SELECT * FROM ${soundSoFar("animals")}`,
  `CREATE OR REPLACE TEMP TABLE animal_differs AS
   WITH spell AS (
     SELECT flock, animal, entered, max(coalesce("left", DATE 'infinity')) AS ends,
       ${differ(ofSpell)} AS differs
     FROM animal_row GROUP BY flock, animal, entered
   )
   SELECT flock, animal FROM animal_row GROUP BY flock, animal
   HAVING ${differ(lasting)}
   UNION SELECT flock, animal FROM spell WHERE differs
   UNION (SELECT flock, animal FROM spell WHERE entered IS NOT NULL
     QUALIFY lead(entered) OVER (PARTITION BY flock, animal ORDER BY entered) < ends)
   UNION SELECT flock, animal FROM animal_row GROUP BY flock, animal
   HAVING bool_or(entered IS NULL AND "left" IS NOT NULL) AND count(DISTINCT entered) > 0`,
  find(
    "animals",
    "twin",
    `SELECT r.rid, 'animal' AS column_name, r.animal AS value,
       ${codeInSql("rows_disagree", rowLabel("r.ord", "o.row_no", "c"))} AS reason
     FROM animal_row r SEMI JOIN animal_differs USING (flock, animal)
     JOIN animal_row o ON o.flock = r.flock AND o.animal = r.animal AND o.rid <> r.rid
     JOIN current c ON c.ord = o.ord
     QUALIFY row_number() OVER (PARTITION BY r.rid ORDER BY o.ord, o.row_no, o.part) = 1`,
  ),
  `CREATE OR REPLACE TEMP TABLE animal_now AS
   WITH fact AS (
     SELECT flock, animal, ${lasting.map(agreed).join(", ")}
     FROM animal_row GROUP BY flock, animal
   ), spell AS (
     SELECT flock, animal, CASE WHEN NOT made THEN coalesce(entered, first_entered) END AS entered, made,
       ${ofSpell.map(agreed).join(", ")}, arg_min(note, (ord, row_no, part)) AS note,
       arg_min(source_id, (entered IS NULL, ord, row_no, part)) AS source_id,
       arg_min(row_no, (entered IS NULL, ord, row_no, part)) AS row_no
     FROM (
       SELECT *, min(entered) OVER (PARTITION BY flock, animal) AS first_entered,
         (flock, animal) IN (SELECT (flock, animal) FROM animal_differs) AS made
       FROM animal_row
     )
     GROUP BY ALL
   )
   SELECT flock, source_id, row_no, made, ${columnNames("animals").map(quoteName).join(", ")}
   FROM spell JOIN fact USING (flock, animal)`,
];

/** A value on which all rows that have one agree. */
function agreed(name: string): string {
  const column = quoteName(name);
  return `CASE WHEN min(${column}) = max(${column}) THEN min(${column}) END AS ${column}`;
}

/** Whether any of the columns holds two values within a group. */
function differ(names: readonly string[]): string {
  return `coalesce(${names.map((name) => `min(${quoteName(name)}) <> max(${quoteName(name)})`).join(" OR ")}, false)`;
}
