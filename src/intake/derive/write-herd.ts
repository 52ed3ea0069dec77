import { quoteName } from "../../book/book.ts";
import { kinds } from "../../records/kinds.ts";
import { periodKeys } from "../checks/periods.ts";
import { columnNames, type HerdKindId, herdKindIds } from "../staging.ts";
import { soundSoFar } from "./find.ts";
import { GROUP_MARK } from "./tag-reading.ts";

export const emptyHerd: readonly string[] = [
  ...herdKindIds.map((kind) => `DELETE FROM herd.${quoteName(kinds[kind].table)}`),
  "DELETE FROM herd.parent",
  "DELETE FROM herd.flock",
  "DELETE FROM herd.same_animal",
];

/** Fills the emptied tables of the herd with the records of these kinds that no check has found wrong. */
export function herdStatements(present: ReadonlySet<HerdKindId>, groups: boolean): readonly string[] {
  const others = herdKindIds.filter((kind) => kind !== "animals" && present.has(kind));
  return [...animalsAndParents, ...others.map(insert), ...(groups ? [expandedTrims] : []), ...flocks];
}

const animalsAndParents: readonly string[] = [
  `UPDATE animal_now SET sire = NULL FROM parent_wrong w
   WHERE w.role = 'sire' AND w.flock = animal_now.flock AND w.animal = animal_now.animal`,
  `UPDATE animal_now SET dam = NULL FROM parent_wrong w
   WHERE w.role = 'dam' AND w.flock = animal_now.flock AND w.animal = animal_now.animal`,
  `INSERT INTO herd.animal BY NAME SELECT * EXCLUDE (made) FROM animal_now ORDER BY flock, animal, entered`,
  `INSERT INTO herd.parent BY NAME SELECT flock, animal, parent, role, share, source_id, row_no FROM parent_now
   ORDER BY flock, animal, role, parent`,
];

const expandedTrims = `INSERT INTO herd.claw_record BY NAME
   SELECT w.flock, w.source_id, w.row_no, e.animal, 'group' AS origin,
     ${columnNames("trims")
       .filter((name) => name !== "animal" && name !== "origin")
       .map((name) => `w.${quoteName(name)}`)
       .join(", ")}
   FROM expanded e JOIN work_trims w USING (rid) ORDER BY w.ord, w.row_no, w.part, e.animal`;

const flocks: readonly string[] = [
  `INSERT INTO herd.flock BY NAME SELECT flock, name, settings FROM flock_now WHERE NOT reserved AND NOT unknown ORDER BY flock`,
  `INSERT INTO herd.same_animal BY NAME SELECT flock, tag AS animal, same_flock, same_tag AS same_animal FROM same_now
   WHERE flock <> same_flock ORDER BY ALL`,
];

function insert(kind: HerdKindId): string {
  const key = periodKeys[kind];
  const columns = columnNames(kind).map((name) => {
    if (name !== "to" || key === undefined) return quoteName(name);
    // a period without an end lasts until the next of its kind starts
    return `coalesce("to", lead("from") OVER (PARTITION BY ${key.map(quoteName).join(", ")} ORDER BY "from")) AS "to"`;
  });
  const named = kind === "trims" ? `WHERE NOT starts_with(as_written, '${GROUP_MARK}')` : "";
  return `INSERT INTO herd.${quoteName(kinds[kind].table)} BY NAME
    SELECT flock, source_id, row_no, ${columns.join(", ")} FROM ${soundSoFar(kind)} ${named}
    -- what is added up later is added up in this order: the same sheets give the same digits
    ORDER BY ord, row_no, part`;
}
