import { code } from "../records/codes.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";
import { fold } from "./fold.ts";
import { type DecimalMark, readNumber } from "./read-number.ts";

export type AgeUnit = keyof typeof daysOf;

/** Mean lengths in the Gregorian calendar (365.2425 days a year). */
const daysOf = { year: 365.2425, month: 30.436_875, week: 7, day: 1 } as const;

/**
 * Reads an age in days: `2 years`, `8 meses`, `2y 3m`, `1 1/2 yr`. A bare number takes the unit that the
 * column's header names; without one it is refused with `unit_not_named`. Else `not_an_age`.
 */
export function readAge(text: string, unit: AgeUnit | null, mark: DecimalMark | null): CellRead<number> {
  const pieces = text
    .trim()
    .split(/(?<=\p{L})[\s,.]*(?:and|y|&|,)?\s*(?=\d)/u)
    .filter((piece) => piece !== "");
  let days = 0;
  for (const piece of pieces) {
    const number = readNumber(piece, mark);
    if ("trouble" in number || number.value.value < 0) return refused(code("not_an_age"));
    const named = fold(number.value.unit);
    const of = named === "" ? unit : ageUnitOf(named);
    if (of === null) return refused(code(named === "" ? "unit_not_named" : "not_an_age"));
    days += number.value.value * daysOf[of];
  }
  return pieces.length === 0 ? refused(code("not_an_age")) : taken(days);
}

/** The unit of age that a folded word names, or null. */
export function ageUnitOf(word: string): AgeUnit | null {
  return units.get(word.replace(/ (old|de edad)$/, "")) ?? null;
}

const units = new Map<string, AgeUnit>([
  ...["year", "years", "yr", "yrs", "y", "yo", "ano", "anos", "a"].map((word) => [word, "year"] as const),
  ...["month", "months", "mo", "mos", "mth", "mths", "m", "mes", "meses"].map(
    (word) => [word, "month"] as const,
  ),
  ...["week", "weeks", "wk", "wks", "w", "semana", "semanas", "sem"].map((word) => [word, "week"] as const),
  ...["day", "days", "d", "dia", "dias"].map((word) => [word, "day"] as const),
]);
