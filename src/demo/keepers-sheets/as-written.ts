import { calendarDay, parseIsoDay } from "../../records/days.ts";
import type { SheetCell } from "../sheet-row.ts";

/** Ways in which keepers write days and lengths down; empty cells stay empty. */

/** `2024-03-09` as `3/9/2024`. */
export function monthDayYear(iso: SheetCell): string | null {
  const date = calendarOf(iso);
  return date && `${date.month}/${date.day}/${date.year}`;
}

/** `2024-03-09` as `9.3.2024`. */
export function dayMonthYear(iso: SheetCell): string | null {
  const date = calendarOf(iso);
  return date && `${date.day}.${date.month}.${date.year}`;
}

const SIXTEENTH_INCH_MM = 25.4 / 16;

/** Millimetres as inches to the nearest sixteenth, in lowest terms: `1 7/16`, `1/2`, `2`. */
export function inchFraction(mm: SheetCell): string | null {
  if (typeof mm !== "number") return null;
  const sixteenths = Math.round(Math.abs(mm) / SIXTEENTH_INCH_MM);
  const whole = Math.floor(sixteenths / 16);
  let top = sixteenths % 16;
  let bottom = 16;
  while (top > 0 && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  const size = top === 0 ? String(whole) : whole === 0 ? `${top}/${bottom}` : `${whole} ${top}/${bottom}`;
  return mm < 0 && sixteenths > 0 ? `-${size}` : size;
}

function calendarOf(iso: SheetCell) {
  const day = typeof iso === "string" ? parseIsoDay(iso) : null;
  return day === null ? null : calendarDay(day);
}
