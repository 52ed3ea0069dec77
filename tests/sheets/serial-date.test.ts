import { describe, expect, test } from "vitest";
import { durationText, serialDateText, serialOfDay } from "../../src/sheets/serial-date.ts";

describe("the 1900 system", () => {
  test.each([
    // ECMA-376 part 1, 18.17.4.1: serial 1 is 1900-01-01, 60 the false leap day (from memory).
    [1, "1900-01-01"],
    [59, "1900-02-28"],
    [60, "1900-02-29"],
    [61, "1900-03-01"],
    // Microsoft's help on DATEVALUE and on date systems: 2008-01-01 is 39448, 2011-07-05 is 40729 (from memory).
    [39_448, "2008-01-01"],
    [40_729, "2011-07-05"],
    [2_958_465, "9999-12-31"],
  ])("serial %d is %s", (serial, day) => {
    expect(serialDateText(serial, 1900, false)).toBe(day);
  });

  test("every day from 1900-03-01 to 2100 follows the calendar", () => {
    for (let serial = 61; serial < 73_051; serial++) {
      const calendar = new Date(Date.UTC(1900, 2, serial - 60)).toISOString().slice(0, 10);
      expect(serialDateText(serial, 1900, false)).toBe(calendar);
    }
  });
});

test("the 1904 system runs 1462 days behind (Microsoft's help on date systems, from memory)", () => {
  expect(serialDateText(39_267, 1904, false)).toBe("2011-07-05");
  expect(serialDateText(0, 1904, false)).toBe("1904-01-01");
  for (const day of [40_729, 61 + 1462, 2_958_465]) {
    expect(serialDateText(day - 1462, 1904, false)).toBe(serialDateText(day, 1900, false));
  }
});

test("times of day", () => {
  expect(serialDateText(39_448.5, 1900, false)).toBe("2008-01-01T12:00:00");
  expect(serialDateText(39_448 + 86_399 / 86_400, 1900, false)).toBe("2008-01-01T23:59:59");
  expect(serialDateText(39_448.25 + 0.125 / 86_400, 1900, false)).toBe("2008-01-01T06:00:00.125");
  expect(serialDateText(39_448 - 1e-10, 1900, false)).toBe("2008-01-01");
  expect(serialDateText(0.25, 1900, true)).toBe("06:00");
  expect(serialDateText(0, 1900, true)).toBe("00:00");
  expect(serialDateText(0.25, 1904, true)).toBe("06:00");
  expect(serialDateText(0.25, 1904, false)).toBe("1904-01-01T06:00:00");
  expect(durationText(1.5)).toBe("36:00");
  expect(durationText(100 + 1 / 86_400)).toBe("2400:00:01");
});

test("what spreadsheets show as no date is none", () => {
  for (const serial of [-1, -0.5, 2_958_466, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(serialDateText(serial, 1900, false)).toBeNull();
  }
  expect(serialDateText(2_957_003, 1904, false)).toBe("9999-12-31");
  expect(serialDateText(2_957_004, 1904, false)).toBeNull();
  expect(durationText(-0.1)).toBeNull();
});

test("a day's serial reads back as that day", () => {
  for (let day = -25_508; day < 60_000; day += 17) {
    const text = new Date(day * 86_400_000).toISOString().slice(0, 10);
    expect(serialDateText(serialOfDay(day), 1900, false)).toBe(text);
  }
});
