import type { Language } from "../records/language.ts";
import { decimal, type Estimate, withLimits } from "./numbers.ts";

/**
 * Lengths and rates as the flock's settings say. Lengths held against a claw go to the nearest 1/16 inch,
 * rates and differences in inches to two decimals; a month is 30 days, and the page's foot says so.
 */
export type LengthUnit = "mm" | "in";

const MM_PER_INCH = 25.4;

export function toLengthUnit(mm: number, unit: LengthUnit): number {
  return unit === "in" ? mm / MM_PER_INCH : mm;
}

/** A length held against a claw: `9.5 mm`, `3/8 in`, `1 3/8 in`. */
export function length(mm: number, unit: LengthUnit, language: Language): string {
  if (unit === "mm") return `${decimal(mm, 1, language)} mm`;
  const sixteenths = Math.round((mm / MM_PER_INCH) * 16);
  const sign = sixteenths < 0 ? "−" : "";
  const whole = Math.floor(Math.abs(sixteenths) / 16);
  const rest = Math.abs(sixteenths) % 16;
  if (rest === 0) return `${sign}${whole} in`;
  const divisor = greatestCommonDivisor(rest, 16);
  return `${sign}${whole > 0 ? `${whole} ` : ""}${rest / divisor}/${16 / divisor} in`;
}

/** A rate with its limits: `3.5 (3.3 to 3.6) mm a month`. */
export function ratePerMonth(rate: Estimate, unit: LengthUnit, language: Language): string {
  const each = { en: "a month", es: "al mes" }[language];
  const scaled: Estimate = {
    value: toLengthUnit(rate.value, unit),
    lo: rate.lo === null ? null : toLengthUnit(rate.lo, unit),
    hi: rate.hi === null ? null : toLengthUnit(rate.hi, unit),
  };
  return `${withLimits(scaled, language, unit === "in" ? 2 : 1)} ${unit} ${each}`;
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}
