import { code, joinCodes } from "../records/codes.ts";
import { day, defineTable, number, type RowOf, text } from "../records/table.ts";
import { stateOn } from "./animal-day.ts";
import { type DietNutrient, type DietRange, dietNutrients, dietRanges } from "./diet-ranges.ts";
import { type Finding, insertRows } from "./finding.ts";

export const dietTable = defineTable({
  schema: "results",
  name: "diet",
  grain: ["flock", "pen", "date_from", "animal_class", "nutrient"],
  columns: {
    flock: text.always("flock"),
    pen: text.always("pen"),
    date_from: day.always("first day on which the diet was so"),
    date_to: day.always("first day on which it no longer was, or the day after the last known"),
    animal_class: text.always("class of the goats that ate it; sheep where they share the pen"),
    nutrient: text.always(
      "crude_protein (% of dry matter), copper (mg/kg of dry matter), copper_to_molybdenum",
    ),
    value: number.always("of the whole diet"),
    value_from: text("stated, weighed, offered (mineral not weighed back), feed (no mineral recorded)"),
    requirement_lo: number("published requirement"),
    requirement_hi: number("upper end of the published range"),
    tolerance: number("published maximum"),
    source: text("where these are published"),
    verdict: text.always("code"),
    caution: text("codes"),
  },
  reads: [
    "exposure.pen_day",
    "exposure.animal_stretch",
    "exposure.animal_day",
    "exposure.animal_pen",
    "exposure.presence",
    "herd.pen",
    "exposure.flock",
  ],
  identities: [
    { says: "a period ends after it starts", holds: "date_to > date_from" },
    { says: "a verdict rests on a source", holds: "source IS NOT NULL OR verdict = 'diet_no_range'" },
  ],
});

export type DietRow = RowOf<typeof dietTable>;

interface Period {
  flock: string;
  pen: string;
  date_from: number;
  date_to: number;
  animal_class: string;
  value: number;
  value_from: string | null;
}

/** Column of `exposure.pen_day` with each nutrient, and the one that says where it came from. */
const columns: Readonly<Record<DietNutrient, readonly [value: string, from: string]>> = {
  crude_protein: ["crude_protein_pct_dm", "crude_protein_from"],
  copper: ["copper_mg_per_kg_dm", "copper_from"],
  copper_to_molybdenum: ["copper_to_molybdenum", "copper_from"],
};

/** What each pen's goats ate, stretch by stretch, against what is published for animals of their class. */
export const diet: Finding = {
  tables: [dietTable],
  async fill({ book }) {
    for (const nutrient of dietNutrients) {
      const [value, from] = columns[nutrient];
      const periods = await book.rows<Period>(`
        WITH known AS (
          SELECT d.flock, d.pen, d.day, d.${value} AS value, d.${from} AS value_from
          FROM exposure.pen_day d JOIN exposure.flock f USING (flock)
          WHERE d.${value} IS NOT NULL AND d.day BETWEEN f.first_day AND f.today
        ), marked AS (
          SELECT *, day_no(day) - row_number() OVER (PARTITION BY flock, pen, value, value_from ORDER BY day) AS island FROM known
        ), period AS (
          SELECT flock, pen, value, value_from, min(day) AS from_day, max(day) + 1 AS to_day FROM marked GROUP BY flock, pen, value, value_from, island
        ), stood AS (
          -- goats that nobody looked at while the diet was so ate it too: as of their first day in the pen
          SELECT DISTINCT p.flock, p.pen, p.from_day, h.animal, greatest(p.from_day, h.from_day, q.from_day) AS day
          FROM period p JOIN exposure.animal_pen h ON h.flock = p.flock AND h.pen = p.pen AND h.from_day < p.to_day AND h.to_day > p.from_day
          JOIN exposure.presence q ON q.flock = h.flock AND q.animal = h.animal AND q.from_day < least(p.to_day, h.to_day) AND q.to_day > greatest(p.from_day, h.from_day)
        ), eaten AS (
          SELECT p.flock, p.pen, p.from_day, s.class AS animal_class FROM period p JOIN exposure.animal_stretch s
            ON s.flock = p.flock AND s.pen = p.pen AND s.from_day < p.to_day AND s.to_day > p.from_day
          UNION SELECT s.flock, s.pen, s.from_day, t.class FROM stood s JOIN (${stateOn("stood")}) t USING (flock, animal, day)
          UNION SELECT p.flock, p.pen, p.from_day, a.class FROM period p JOIN exposure.animal_day a
            ON a.flock = p.flock AND a.pen = p.pen AND a.day >= p.from_day AND a.day < p.to_day
          ${nutrient === "copper" ? "UNION SELECT p.flock, p.pen, p.from_day, 'sheep' FROM period p JOIN herd.pen h ON h.flock = p.flock AND h.pen = p.pen AND h.sheep_too" : ""}
        )
        SELECT p.flock, p.pen, day_no(p.from_day) AS date_from, day_no(p.to_day) AS date_to, e.animal_class, CAST(p.value AS DOUBLE) AS value, p.value_from
        FROM period p JOIN eaten e USING (flock, pen, from_day) WHERE e.animal_class <> 'unknown' ORDER BY ALL`);
      await insertRows(
        book,
        dietTable,
        periods.map((period) => dietRow(period, nutrient)),
      );
    }
  },
};

function dietRow(period: Period, nutrient: DietNutrient): DietRow {
  const range = dietRanges.find(
    (one) => one.nutrient === nutrient && one.animalClass === period.animal_class,
  );
  return {
    ...period,
    nutrient,
    requirement_lo: range?.lo ?? null,
    requirement_hi: range?.hi ?? null,
    tolerance: range?.tolerance ?? null,
    source: range?.source ?? null,
    verdict: range === undefined ? code("diet_no_range") : verdictOf(asWritten(period.value), range),
    caution: joinCodes([
      nutrient !== "crude_protein" && period.value_from === "offered" ? code("offered_not_eaten") : null,
    ]),
  };
}

/** Sums of a ration are right to many digits and not to all: 8 % mixed from feeds is not below 8 %. */
function asWritten(value: number): number {
  return Math.round(value * 1e6) / 1e6;
}

function verdictOf(value: number, { nutrient, animalClass, lo, hi, tolerance }: DietRange): string {
  if (animalClass === "sheep") {
    return tolerance !== null && value > tolerance
      ? code("copper_kills_sheep")
      : code("copper_under_sheep_limit");
  }
  if (nutrient === "copper") {
    if (tolerance !== null && value > tolerance) return code("copper_above_tolerance");
    return lo !== null && value < lo ? code("copper_below") : code("copper_meets");
  }
  if (lo !== null && value < lo)
    return nutrient === "copper_to_molybdenum" ? code("thin_molybdenum") : code("diet_below");
  return hi !== null && value > hi ? code("diet_above_range") : code("diet_meets");
}
