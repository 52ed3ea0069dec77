import { code } from "../records/codes.ts";
import { type DayNumber, dayNumber } from "../records/days.ts";
import { languages } from "../records/language.ts";
import { monthNames, weekdayNames } from "../records/month-names.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";
import { fold } from "./fold.ts";

export type DayOrder = "day_first" | "month_first" | "year_first";

/**
 * Reads a day: `2024-03-09`, `9.3.2024`, `3/9/24`, `9 mar 2024`, `March 9th, 2024`, `9 de marzo de 2024`,
 * a spreadsheet's day number, each with a time of day or not (dropped). `order` settles what reads both
 * ways; without it such a cell is refused with `date_reads_both_ways`, never guessed. Else `not_a_date` or
 * `no_such_day`. `serialShift` is added to a spreadsheet's day number.
 */
export function readDay(text: string, order: DayOrder | null, serialShift = 0): CellRead<DayNumber> {
  const parts = dayParts(text);
  if (parts === null) return refused(code("not_a_date"));
  if (parts.form === "known") return dayOf(parts.year, parts.month, parts.day);
  if (parts.form === "serial") return taken(parts.day + serialShift);
  const dayFirst = parts.dots && order !== "month_first" ? "day_first" : order;
  const year = wholeYear(parts.last, parts.digits);
  const asDayFirst = dayNumber(year, parts.second, parts.first);
  const asMonthFirst = dayNumber(year, parts.first, parts.second);
  if (dayFirst === "day_first") return asDayFirst === null ? refused(code("no_such_day")) : taken(asDayFirst);
  if (dayFirst === "month_first") {
    return asMonthFirst === null ? refused(code("no_such_day")) : taken(asMonthFirst);
  }
  if (asDayFirst !== null && asMonthFirst !== null && asDayFirst !== asMonthFirst) {
    return refused(code("date_reads_both_ways"));
  }
  const only = asDayFirst ?? asMonthFirst;
  return only === null ? refused(code("no_such_day")) : taken(only);
}

/** A date as its text gives it, before it is decided which number is the day. */
export type DayParts =
  | { readonly form: "known"; readonly year: number; readonly month: number; readonly day: number }
  | { readonly form: "serial"; readonly day: DayNumber }
  | {
      readonly form: "numbers";
      readonly first: number;
      readonly second: number;
      readonly last: number;
      /** How many digits the year was written with. */
      readonly digits: number;
      /** Dots are written between day, month and year in that order (common practice, no source). */
      readonly dots: boolean;
    };

/** Takes a date's text apart; null when it is none. */
export function dayParts(text: string): DayParts | null {
  const trimmed = text.trim();
  const iso = /^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?:$|[T ])/.exec(trimmed);
  if (iso) return endsAsDay(trimmed.slice(iso[0].length)) ? known(iso[1]!, iso[3]!, iso[4]!) : null;
  const numbers = /^(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})(?=$|[T ,])/.exec(trimmed);
  if (numbers && endsAsDay(trimmed.slice(numbers[0].length))) {
    return {
      form: "numbers",
      first: Number(numbers[1]),
      second: Number(numbers[3]),
      last: Number(numbers[4]),
      digits: numbers[4]!.length,
      dots: numbers[2] === ".",
    };
  }
  if (/^\d+(?:[.,]\d+)?$/.test(trimmed)) return digitsOnly(trimmed);
  return withMonthName(trimmed);
}

/** Two-digit years: 69-99 are 1969-1999 and 00-68 are 2000-2068 (POSIX.1, strptime). */
export function wholeYear(year: number, digits: number): number {
  if (digits > 2) return year;
  return year >= 69 ? 1900 + year : 2000 + year;
}

/** Month 1-12 of a folded name in any language, or null. */
export function monthOf(name: string): number | null {
  return months.get(name) ?? null;
}

function dayOf(year: number, month: number, day: number): CellRead<DayNumber> {
  const number = dayNumber(year, month, day);
  return number === null ? refused(code("no_such_day")) : taken(number);
}

function known(year: string, month: string, day: string): DayParts {
  return { form: "known", year: Number(year), month: Number(month), day: Number(day) };
}

/** What may follow a date: nothing, or a time of day with or without a zone. */
function endsAsDay(rest: string): boolean {
  return /^[\sT,]*(?:\d{1,2}(?::\d{2}){1,2}(?:[.,]\d+)?\s*(?:[ap]\.?\s?m\.?)?\s*(?:Z|UTC|GMT|[+-]\d{2}:?\d{2})?)?$/i.test(
    rest,
  );
}

/** Days of a spreadsheet that counts from 1900: 25569 is 1970-01-01. From 1954 to 2119. */
const SERIAL_OF_1970 = 25_569;
const SERIAL_LEAST = 20_000;
const SERIAL_MOST = 80_000;

function digitsOnly(digits: string): DayParts | null {
  if (/^\d{8}$/.test(digits)) {
    const year = Number(digits.slice(0, 4));
    return year >= 1900 && year < 2200
      ? known(digits.slice(0, 4), digits.slice(4, 6), digits.slice(6))
      : null;
  }
  const serial = Math.floor(Number(digits.replace(",", ".")));
  return serial >= SERIAL_LEAST && serial <= SERIAL_MOST
    ? { form: "serial", day: serial - SERIAL_OF_1970 }
    : null;
}

const months = new Map<string, number>(
  languages.flatMap((language) =>
    monthNames[language].flatMap((names, i) => names.map((name) => [name, i + 1] as const)),
  ),
);
const weekdays = new Set<string>(languages.flatMap((language) => weekdayNames[language]));
const between = new Set(["de", "del", "of", "the"]);

function withMonthName(text: string): DayParts | null {
  const words = fold(text.replace(/[\sT,]\d{1,2}:\d{2}(?::\d{2})?.*$/, ""))
    .replace(/(\d)(\p{L})/gu, "$1 $2")
    .replace(/(\p{L})(\d)/gu, "$1 $2")
    .split(" ")
    .filter((word) => !between.has(word) && !weekdays.has(word) && !/^(?:st|nd|rd|th|o|a)$/.test(word));
  if (words.length !== 3) return null;
  const at = words.findIndex((word) => months.has(word));
  const numbers = words.filter((_, i) => i !== at);
  if (at < 0 || !numbers.every((word) => /^\d+$/.test(word))) return null;
  const [first, second] = numbers as [string, string];
  const yearFirst = first.length === 4;
  const [day, year] = yearFirst ? [second, first] : [first, second];
  if (day.length > 2 || (year.length !== 4 && year.length !== 2)) return null;
  return {
    form: "known",
    year: wholeYear(Number(year), year.length),
    month: months.get(words[at]!)!,
    day: Number(day),
  };
}
