import {
  copperOfDryMatter,
  crudeProtein,
  fromDate,
  meaning,
  molybdenumOfDryMatter,
  pen,
  required,
  sulphur,
  to,
  words,
  zincOfDryMatter,
} from "../columns.ts";
import type { Kind } from "../kind.ts";

export const rations: Kind = {
  id: "rations",
  table: "ration",
  grain: ["pen", "from"],
  meaning: meaning(
    "What the whole ration of a pen held, from when to when",
    "Qué contenía la ración completa de un corral, desde cuándo hasta cuándo",
  ),
  columns: [
    pen,
    required(fromDate),
    to,
    // a share or a fraction written for a percentage falls below
    {
      ...crudeProtein,
      bounds: { least: 2, most: 100, source: "project default: below straw alone (3 to 4)" },
    },
    copperOfDryMatter,
    zincOfDryMatter,
    molybdenumOfDryMatter,
    sulphur,
    {
      name: "intake_kg_dm_per_head_day",
      type: "number",
      quantity: "kilogramsPerDay",
      bounds: { least: 0, most: 10, source: "project default: over twice what a large milking doe eats" },
      headers: words(
        "intake,dry matter intake,dmi,dm intake,intake dm",
        "consumo,consumo de materia seca,cms",
      ),
      meaning: meaning(
        "Dry matter eaten, kg per head and day",
        "Materia seca consumida, kg por cabeza y día",
      ),
    },
  ],
};
