import { quoteName } from "../../book/book.ts";
import { find, workTable } from "../derive/find.ts";
import type { HerdKindId } from "../staging.ts";

/** Counts that cannot be (more lame than looked at, more alive than born), and rows that record nothing. */
export function countChecks(kind: HerdKindId): readonly string[] {
  return [...(wrongCounts[kind] ?? []), ...emptyChecks(kind)];
}

const wrongCounts: Partial<Record<HerdKindId, readonly string[]>> = {
  rounds: [
    find(
      "rounds",
      "value",
      `SELECT rid, 'lame' AS column_name, lame AS value, 'more_lame_than_seen' AS reason FROM work_rounds
       WHERE lame > looked_at OR severely_lame > looked_at OR severely_lame > lame`,
    ),
  ],
  kiddings: [
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
