import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  calendarDay,
  dayNumber,
  dayOfYear,
  daysInMonth,
  isoDay,
  parseIsoDay,
} from "../../src/records/days.ts";

describe("day numbers", () => {
  // By the calendar: 1970-01-01 is day 0; 2000 and 2024 are leap years, 1900 and 2100 are not.
  test.each([
    ["1970-01-01", 0],
    ["1969-12-31", -1],
    ["1970-02-01", 31],
    ["2000-03-01", 11_017],
    ["2024-02-29", 19_782],
  ])("%s is day %i", (iso, day) => {
    expect(parseIsoDay(iso)).toBe(day);
    expect(isoDay(day)).toBe(iso);
  });

  test.each([
    [1900, 2, 29],
    [2100, 2, 29],
    [2023, 2, 29],
    [2024, 4, 31],
    [2024, 0, 1],
    [2024, 13, 1],
    [2024, 1, 0],
    [2024, 1, Number.NaN],
    [2024.5, 1, 1],
  ])("there is no %i-%i-%i", (year, month, day) => {
    expect(dayNumber(year, month, day)).toBeNull();
  });

  test("February has 29 days in leap years alone", () => {
    expect([1900, 2000, 2023, 2024].map((year) => daysInMonth(year, 2))).toEqual([28, 29, 28, 29]);
  });

  test("the last day of a leap year is day 366", () => {
    expect(dayOfYear(parseIsoDay("2024-12-31")!)).toBe(366);
    expect(dayOfYear(parseIsoDay("2023-12-31")!)).toBe(365);
  });

  test("a day number and its calendar day go back and forth", () => {
    fc.assert(
      fc.property(fc.integer({ min: -100_000, max: 100_000 }), (day) => {
        const { year, month, day: date } = calendarDay(day);
        expect(dayNumber(year, month, date)).toBe(day);
      }),
    );
  });
});
