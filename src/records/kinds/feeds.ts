import {
  copperOfDryMatter,
  crudeProtein,
  fromDate,
  meaning,
  molybdenumOfDryMatter,
  pen,
  required,
  to,
  words,
  zincOfDryMatter,
} from "../columns.ts";
import type { Kind } from "../kind.ts";

export const feeds: Kind = {
  id: "feeds",
  table: "feed",
  grain: ["pen", "from", "feed"],
  meaning: meaning(
    "One row for each feed given to a pen, as fed",
    "Una fila por cada alimento dado a un corral, tal como se da",
  ),
  columns: [
    pen,
    required(fromDate),
    to,
    {
      name: "feed",
      type: "name",
      names: "feed",
      required: true,
      headers: words("feed name,feedstuff,ingredient,forage", "alimento,ingrediente,forraje"),
      meaning: meaning("The feed's name", "El nombre del alimento"),
    },
    {
      name: "kg_per_head_day",
      type: "number",
      quantity: "kilogramsPerDay",
      bounds: { least: 0, most: 30, source: "project default" },
      headers: words("amount,amount fed,fed,kg,kg fed,per head", "cantidad,ración,kg por cabeza"),
      meaning: meaning("As fed, kg per head and day", "Tal como se da, kg por cabeza y día"),
    },
    {
      name: "dry_matter_pct",
      type: "number",
      quantity: "plainPercent",
      bounds: { least: 1, most: 100, source: "a share of the feed" },
      headers: words("dry matter,dm,dm pct", "materia seca,ms"),
      meaning: meaning(
        "Dry matter, per cent of the feed as fed",
        "Materia seca, por ciento del alimento tal como se da",
      ),
    },
    crudeProtein,
    copperOfDryMatter,
    zincOfDryMatter,
    molybdenumOfDryMatter,
  ],
};
