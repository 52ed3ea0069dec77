import { isoDay } from "../records/days.ts";

/** From which day a workbook counts: serial 1 is 1900-01-01, or serial 0 is 1904-01-01. */
export type DateSystem = 1900 | 1904;

const dayMilliseconds = 86_400_000;

/** Days from 1970-01-01 to the serials' zero: 1899-12-30 (from March 1900 on) and 1904-01-01. */
const zeroDay: Record<DateSystem, number> = { 1900: -25_569, 1904: -24_107 };

/** 9999-12-31, the last day that spreadsheets know. */
const lastSerial: Record<DateSystem, number> = { 1900: 2_958_465, 1904: 2_957_003 };

/**
 * The day a serial stands for as ISO 8601 text: `2024-03-01`, with a time of day `2024-03-01T14:30:00`, and a
 * time alone `14:30` for serials under one day. Rounded to the millisecond. Returns null for serials that
 * spreadsheets show as no date (negative, or after the year 9999).
 *
 * Serial 60 of the 1900 system is 29 February 1900, a day that never was, kept by spreadsheets for the sake
 * of old files (ECMA-376 part 1, 18.17.4.1); it comes out as such, and serial 0 as `1900-01-00`, so that
 * nobody takes them for a real day.
 */
export function serialDateText(serial: number, system: DateSystem, timeOnly: boolean): string | null {
  if (!(serial >= 0) || serial >= lastSerial[system] + 1) return null;
  const milliseconds = Math.round(serial * dayMilliseconds);
  const days = Math.floor(milliseconds / dayMilliseconds);
  const time = milliseconds - days * dayMilliseconds;
  if (days > lastSerial[system]) return null;
  if (days === 0 && (timeOnly || (time > 0 && system === 1900))) return shortTime(time);
  const day = dayText(days, system);
  return time === 0 ? day : `${day}T${clock(time)}`;
}

/** A length of time that a format such as `[h]:mm` counts past a day: `26:30`, `26:30:15`. */
export function durationText(serial: number): string | null {
  if (!(serial >= 0) || serial > lastSerial[1900]) return null;
  return shortTime(Math.round(serial * dayMilliseconds));
}

/** The 1900 system's serial of a day counted from 1970-01-01; for days from 1900-03-01 on. */
export function serialOfDay(daysFrom1970: number): number {
  return daysFrom1970 - zeroDay[1900];
}

function dayText(serial: number, system: DateSystem): string {
  if (system === 1900 && serial === 60) return "1900-02-29";
  if (system === 1900 && serial === 0) return "1900-01-00";
  const beforeFalseLeapDay = system === 1900 && serial < 60 ? 1 : 0;
  return isoDay(serial + beforeFalseLeapDay + zeroDay[system]);
}

function shortTime(milliseconds: number): string {
  const text = clock(milliseconds);
  return text.endsWith(":00") ? text.slice(0, -3) : text;
}

function clock(milliseconds: number): string {
  const two = (value: number) => String(value).padStart(2, "0");
  const fraction = milliseconds % 1000;
  const seconds = Math.floor(milliseconds / 1000);
  const text = `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
  return fraction === 0 ? text : `${text}.${String(fraction).padStart(3, "0")}`;
}
