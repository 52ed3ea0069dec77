import { clawIds, footIds } from "../../records/feet.ts";
import type { SheetCell, SheetRow, Sheets } from "../sheet-row.ts";
import { inchFraction, monthDayYear } from "./as-written.ts";

/** One row a visit: every claw's toe before and after in its own columns, inches in fractions, American dates. */
export function wideVisits(sheets: Sheets): readonly (readonly SheetCell[])[] {
  const places = footIds.flatMap((foot) => clawIds.map((claw) => ({ foot, claw })));
  const visits = new Map<string, SheetRow[]>();
  for (const row of sheets.trims) {
    const key = `${row.date}|${row.animal}`;
    visits.set(key, [...(visits.get(key) ?? []), row]);
  }
  const header = [
    "Tag",
    "Date",
    ...places.flatMap(({ foot, claw }) => [`${foot} ${claw} before (in)`, `${foot} ${claw} after (in)`]),
    "Trimmed by",
  ];
  const rows = [...visits.values()].map((looks) => {
    const lengths = places.flatMap(({ foot, claw }) => {
      const look = looks.find((row) => row.foot === foot && row.claw === claw);
      return [inchFraction(look?.toe_before_mm ?? null), inchFraction(look?.toe_after_mm ?? null)];
    });
    const trimmer = looks.find((row) => row.trimmer !== null)?.trimmer ?? null;
    return [looks[0].animal, monthDayYear(looks[0].date), ...lengths, trimmer];
  });
  return [header, ...rows];
}

/** The goats that go with it, in the keeper's own words. */
export function goatsInAmericanDates(sheets: Sheets): readonly (readonly SheetCell[])[] {
  const sexes: Record<string, string> = { female: "doe", male: "buck", wether: "wether" };
  const rows = sheets.animals.map((goat) => [
    goat.animal,
    goat.name,
    sexes[String(goat.sex)],
    monthDayYear(goat.born) ?? goat.born,
    goat.sire,
    goat.dam,
    goat.breed,
  ]);
  return [["Tag", "Name", "Sex", "DOB", "Sire", "Dam", "Breed"], ...rows];
}
