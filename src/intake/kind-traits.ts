import type { KindId } from "../records/kinds.ts";

/** How sheets of a kind are told from others, and which of their cells record something. */
export interface KindTraits {
  /** Columns of which at least one must be there for the sheet to be of this kind; empty: the required ones tell. */
  readonly telling: readonly string[];
  /** Columns of which a row must fill at least one to record anything; empty: its required columns do. */
  readonly records: readonly string[];
  /** Whether a bad cell beside the required ones loses only itself. */
  readonly cellsAlone: boolean;
}

const ration = [
  "crude_protein_pct_dm",
  "copper_mg_per_kg_dm",
  "zinc_mg_per_kg_dm",
  "molybdenum_mg_per_kg_dm",
  "sulphur_pct_dm",
  "intake_kg_dm_per_head_day",
];
const mineral = [
  "product",
  "copper_mg_per_kg",
  "zinc_mg_per_kg",
  "offered_g_per_head_day",
  "refused_g_per_head_day",
];
const weather = ["rain_mm", "tmin_c", "tmax_c", "humidity_pct", "wind_m_s", "solar_mj_m2"];
const round = ["looked_at", "lame", "severely_lame", "others_sound"];
const lengths = ["toe_before_mm", "toe_after_mm", "overhang_before_mm", "overhang_after_mm", "mark_mm"];

/** The columns of a trims sheet that hold lengths. */
export const lengthColumns: readonly string[] = lengths;

const of = (telling: readonly string[], records: readonly string[] = [], cellsAlone = false): KindTraits => ({
  telling,
  records,
  cellsAlone,
});

export const kindTraits: Readonly<Record<KindId, KindTraits>> = {
  animals: of(
    [
      "name",
      "other_tags",
      "sex",
      "born",
      "age_at_entry",
      "sire",
      "dam",
      "line",
      "breed",
      "purpose",
      "origin",
      "from_flock",
      "entered",
      "left",
      "left_reason",
    ],
    [],
    true,
  ),
  tags: of([]),
  pens: of(["ground", "area_m2", "sheep_too", "site"], [], true),
  stays: of([]),
  trims: of(
    [...lengths, "overgrowth", "trimmed", "bled", "stage", "trimmer"],
    [...lengths, "overgrowth", "trimmed", "bled", "stage"],
  ),
  gaits: of(["gait"], ["gait"]),
  rounds: of(round, round),
  lesions: of(["lesion"], ["lesion", "severity", "smell", "status"]),
  treatments: of(["treatment"], ["treatment", "product", "dose", "batch", "reason"]),
  rations: of(ration, ration),
  feeds: of(["feed"]),
  minerals: of(mineral, mineral),
  ground: of(["wetness"], ["wetness"]),
  weather: of(weather, weather),
  kiddings: of(["kids"]),
  events: of(["event"], ["event"]),
  trial: of(["arm"]),
  corrections: of(["was", "now"]),
};
