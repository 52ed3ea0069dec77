import { concentration, fromDate, meaning, pen, product, required, to, words } from "../columns.ts";
import type { Column, Kind } from "../kind.ts";

const gramsPerDay = (name: string, en: string, es: string, enHeaders: string, esHeaders: string): Column => ({
  name,
  type: "number",
  quantity: "gramsPerDay",
  bounds: { least: 0, most: 500, source: "project default: far above any mineral allowance" },
  headers: words(enHeaders, esHeaders),
  meaning: meaning(en, es),
});

const PURE = 1_000_000;

export const minerals: Kind = {
  id: "minerals",
  table: "mineral",
  grain: ["pen", "from", "product"],
  meaning: meaning(
    "Which mineral a pen was offered, and how much",
    "Qué mineral se ofreció a un corral y cuánto",
  ),
  columns: [
    pen,
    required(fromDate),
    to,
    product,
    concentration(
      "copper_mg_per_kg",
      "Copper in the mineral, mg per kg",
      "Cobre en el mineral, mg por kg",
      words("copper,cu", "cobre"),
      PURE,
    ),
    concentration(
      "zinc_mg_per_kg",
      "Zinc in the mineral, mg per kg",
      "Zinc en el mineral, mg por kg",
      words("zinc,zn", "cinc"),
      PURE,
    ),
    gramsPerDay(
      "offered_g_per_head_day",
      "Offered, g per head and day",
      "Ofrecido, g por cabeza y día",
      "offered,given,amount offered,amount",
      "ofrecido,dado",
    ),
    gramsPerDay(
      "refused_g_per_head_day",
      "Left over, g per head and day",
      "Sobrante, g por cabeza y día",
      "refused,left over,leftover,not eaten",
      "sobrante,rechazado",
    ),
  ],
};
