import { quoteName } from "../../book/book.ts";
import { codeInSql } from "../code-in-sql.ts";
import { find, workTable } from "../derive/find.ts";
import { columnNames, dayColumn, type HerdKindId } from "../staging.ts";

/** Days on which each animal was not in the flock, from the animals sheets: `away`, ends left out. */
export const awayStatement = `CREATE OR REPLACE TEMP TABLE away AS
  SELECT DISTINCT flock, animal, DATE '-infinity' AS from_day, born_earliest AS to_day,
    ${codeInSql("before_birth", "born_earliest")} AS reason
  FROM animal_now WHERE born_earliest IS NOT NULL
  UNION ALL
  SELECT flock, animal, coalesce(min(born_earliest), DATE '-infinity'), min(entered),
    ${codeInSql("before_entering", "min(entered)")}
  FROM animal_now GROUP BY flock, animal HAVING count(entered) = count(*)
  UNION ALL
  SELECT flock, animal, CAST("left" + 1 AS DATE), coalesce(back, DATE 'infinity'), ${codeInSql("after_leaving", '"left"')}
  FROM (SELECT *, lead(entered) OVER (PARTITION BY flock, animal ORDER BY entered) AS back FROM animal_now)
  WHERE "left" IS NOT NULL`;

/** Records of animals that were not born, had not come, or had left; a period counts when all of it is so. */
export function presenceChecks(kind: HerdKindId): readonly string[] {
  const column = dayColumn(kind);
  if (column === null) return [];
  const day = `w.${quoteName(column)}`;
  const last = columnNames(kind).includes("to") ? `coalesce(w."to", DATE 'infinity')` : `${day} + 1`;
  return [
    find(
      kind,
      "presence",
      `SELECT w.rid, '${column}' AS column_name, ${day} AS value, min(a.reason) AS reason
       FROM ${workTable(kind)} w JOIN away a ON a.flock = w.flock AND a.animal = w.animal
         AND ${day} >= a.from_day AND ${last} <= a.to_day AND ${day} < a.to_day
       GROUP BY w.rid, ${day}`,
    ),
  ];
}
