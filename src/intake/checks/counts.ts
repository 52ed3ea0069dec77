import { quoteName } from "../../book/book.ts";
import { codeInSql } from "../code-in-sql.ts";
import { find, workTable } from "../derive/find.ts";
import { YOUNGEST_PARENT_DAYS } from "../derive/pedigree.ts";
import type { HerdKindId } from "../staging.ts";
import { othersSoundInWords } from "./others-sound.ts";

/** Values of one row that cannot be together (more lame than looked at, a buck that kids), and rows that record nothing. */
export function countChecks(kind: HerdKindId): readonly string[] {
  return [...(wrongCounts[kind] ?? []), ...emptyChecks(kind)];
}

const wrongCounts: Partial<Record<HerdKindId, readonly string[]>> = {
  rounds: [
    ...othersSoundInWords("rounds"),
    find(
      "rounds",
      "value",
      `SELECT rid, 'lame' AS column_name, lame AS value, 'more_lame_than_seen' AS reason FROM work_rounds
       WHERE lame > looked_at OR severely_lame > looked_at OR severely_lame > lame`,
    ),
  ],
  weather: [
    find(
      "weather",
      "value",
      `SELECT rid, 'tmin_c' AS column_name, tmin_c AS value, 'coldest_above_warmest' AS reason FROM work_weather
       WHERE tmin_c > tmax_c`,
    ),
  ],
  treatments: ["withdrawal_milk_until", "withdrawal_meat_until"].map((name) =>
    find(
      "treatments",
      "value",
      `SELECT rid, '${name}' AS column_name, ${name} AS value, 'ends_before_it_starts' AS reason FROM work_treatments
       WHERE ${name} < "date"`,
    ),
  ),
  kiddings: [
    find(
      "kiddings",
      "value",
      `SELECT DISTINCT w.rid, 'animal' AS column_name, w.as_written AS value, ${codeInSql("parent_of_wrong_sex", "w.as_written", "'dam'")} AS reason
       FROM work_kiddings w JOIN animal_now a ON a.flock = w.flock AND a.animal = w.animal WHERE a.sex IN ('male', 'wether')`,
    ),
    find(
      "kiddings",
      "value",
      `SELECT DISTINCT w.rid, 'animal' AS column_name, w.as_written AS value, ${codeInSql("parent_too_young", "w.as_written")} AS reason
       FROM work_kiddings w JOIN animal_now a ON a.flock = w.flock AND a.animal = w.animal
       WHERE w."date" >= a.born_earliest AND w."date" < a.born_earliest + ${YOUNGEST_PARENT_DAYS}`,
    ),
    find(
      "kiddings",
      "value",
      `SELECT rid, 'alive' AS column_name, alive AS value, 'more_alive_than_born' AS reason FROM work_kiddings
       WHERE alive > kids`,
    ),
  ],
};

const valueColumns: Partial<Record<HerdKindId, readonly string[]>> = {
  rounds: ["looked_at", "lame", "severely_lame", "others_sound", "note"],
  weather: ["rain_mm", "tmin_c", "tmax_c", "humidity_pct", "wind_m_s", "solar_mj_m2"],
  rations: [
    "crude_protein_pct_dm",
    "copper_mg_per_kg_dm",
    "zinc_mg_per_kg_dm",
    "molybdenum_mg_per_kg_dm",
    "sulphur_pct_dm",
    "intake_kg_dm_per_head_day",
  ],
};

/** Rows that name a day and record nothing. */
function emptyChecks(kind: HerdKindId): readonly string[] {
  const columns = valueColumns[kind];
  if (columns === undefined) return [];
  return [
    find(
      kind,
      "value",
      `SELECT rid, NULL AS column_name, NULL AS value, 'nothing_recorded' AS reason FROM ${workTable(kind)}
       WHERE ${columns.map((name) => `${quoteName(name)} IS NULL`).join(" AND ")}`,
    ),
  ];
}
