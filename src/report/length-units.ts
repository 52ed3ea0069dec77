import type { InEveryLanguage, Language } from "../records/language.ts";
import { decimal, type Estimate, NO_BREAK, withLimits } from "./numbers.ts";

/**
 * Lengths and rates as the flock's settings say. Lengths held against a claw go to the nearest 1/16 inch,
 * rates and differences in inches to two decimals, to three where limits are close; a month is 30 days, and the page's foot says so.
 */
export type LengthUnit = "mm" | "in";

const MM_PER_INCH = 25.4;

/** The unit after a number. */
const unitWords: Readonly<Record<LengthUnit, InEveryLanguage>> = {
  mm: { en: "mm", es: "mm" },
  in: { en: "inch", es: "pulg." },
};

/** `mm`, `inch`: the unit in words, as axes and heads of columns name it. */
export function unitName(unit: LengthUnit, language: Language): string {
  return unitWords[unit][language];
}

export function toLengthUnit(mm: number, unit: LengthUnit): number {
  return unit === "in" ? mm / MM_PER_INCH : mm;
}

export function fromLengthUnit(value: number, unit: LengthUnit): number {
  return unit === "in" ? value * MM_PER_INCH : value;
}

/** A length held against a claw: `9.5 mm`, `3/8 inch`, `1 3/8 inch`. */
export function length(mm: number, unit: LengthUnit, language: Language): string {
  const after = `${NO_BREAK}${unitName(unit, language)}`;
  if (unit === "mm") return `${decimal(mm, 1, language)}${after}`;
  const sixteenths = Math.round((mm / MM_PER_INCH) * 16);
  const sign = sixteenths < 0 ? "−" : "";
  const whole = Math.floor(Math.abs(sixteenths) / 16);
  const rest = Math.abs(sixteenths) % 16;
  if (rest === 0) return `${sign}${whole}${after}`;
  const divisor = greatestCommonDivisor(rest, 16);
  return `${sign}${whole > 0 ? `${whole}${NO_BREAK}` : ""}${rest / divisor}/${16 / divisor}${after}`;
}

/** Decimals of rates and differences. */
const RATE_DECIMALS: Readonly<Record<LengthUnit, number>> = { mm: 1, in: 2 };

/** One more decimal where the limits lie closer than two of the last: they would all read the same. */
function rateDecimals({ lo, hi }: Estimate, unit: LengthUnit): number {
  const isClose = lo !== null && hi !== null && toLengthUnit(hi - lo, unit) < 2 * 10 ** -RATE_DECIMALS[unit];
  return RATE_DECIMALS[unit] + (isClose ? 1 : 0);
}

/** A rate with its limits: `3.5 mm a month (3.3 to 3.6)`. */
export function ratePerMonth(rate: Estimate, unit: LengthUnit, language: Language): string {
  const each = { en: "a month", es: "al mes" }[language];
  const decimals = rateDecimals(rate, unit);
  const shown = (mm: number): string => decimal(toLengthUnit(mm, unit), decimals, language);
  const main = `${shown(rate.value)}${NO_BREAK}${unitName(unit, language)} ${each}`;
  return rate.lo === null || rate.hi === null
    ? main
    : `${main} (${shown(rate.lo)} ${{ en: "to", es: "a" }[language]} ${shown(rate.hi)})`;
}

/** A difference of rates with its limits: `0.3 mm a month (0.1 to 0.5)`; inches take a third decimal where two would hide the limits. */
export function differencePerMonth(difference: Estimate, unit: LengthUnit, language: Language): string {
  const each = { en: "a month", es: "al mes" }[language];
  const { value, lo, hi } = difference;
  const width = lo === null || hi === null ? Math.abs(value) : hi - lo;
  const decimals = RATE_DECIMALS[unit] + (toLengthUnit(width, unit) < 5 * 10 ** -RATE_DECIMALS[unit] ? 1 : 0);
  const shown = (mm: number): string => decimal(toLengthUnit(mm, unit), decimals, language);
  const main = `${shown(value)}${NO_BREAK}${unitName(unit, language)} ${each}`;
  return lo === null || hi === null
    ? main
    : `${main} (${shown(lo)} ${{ en: "to", es: "a" }[language]} ${shown(hi)})`;
}

/** A difference of lengths, such as the error of a reading: one decimal more than a rate. */
export function differenceLength(mm: number, unit: LengthUnit, language: Language): string {
  return decimal(toLengthUnit(mm, unit), RATE_DECIMALS[unit] + 1, language);
}

/** A rate with its limits without its unit, for a column that names it; empty where there is none. */
export function limitsPerMonth(
  mm: number | null,
  lo: number | null,
  hi: number | null,
  unit: LengthUnit,
  language: Language,
): string {
  if (mm === null) return "";
  const scaled = (one: number | null): number | null => (one === null ? null : toLengthUnit(one, unit));
  return withLimits(
    { value: toLengthUnit(mm, unit), lo: scaled(lo), hi: scaled(hi) },
    language,
    rateDecimals({ value: mm, lo, hi }, unit),
  );
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}
