import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type DayOrder, readDay } from "../../src/intake/read-day.ts";
import { calendarDay, dayNumber, isoDay } from "../../src/records/days.ts";

const iso = (text: string, order: DayOrder | null = null): string => {
  const read = readDay(text, order);
  return "trouble" in read ? read.trouble : isoDay(read.value);
};

describe("readDay", () => {
  it.each([
    ["2024-03-09", "2024-03-09"],
    ["2024/3/9", "2024-03-09"],
    ["20240309", "2024-03-09"],
    ["2024-03-09T14:05:00Z", "2024-03-09"],
    ["2024-03-09 23:59", "2024-03-09"],
    ["2024-03-09T23:30:00.000+01:00", "2024-03-09"],
    ["9 March 2024", "2024-03-09"],
    ["Mar 9th, 2024", "2024-03-09"],
    ["Saturday, March 9, 2024", "2024-03-09"],
    ["9-mar-24", "2024-03-09"],
    ["09MAR2024", "2024-03-09"],
    ["9 de marzo de 2024", "2024-03-09"],
    ["sáb 9 ene. 2024", "2024-01-09"],
    ["9.3.2024", "2024-03-09"],
    ["09.03.24", "2024-03-09"],
    ["25/3/2024", "2024-03-25"],
    ["3/25/2024", "2024-03-25"],
    ["3/25/2024 2:30 PM", "2024-03-25"],
    ["4/4/2024", "2024-04-04"],
    ["29/02/2024", "2024-02-29"],
  ])("reads %s", (text, day) => {
    expect(iso(text)).toBe(day);
  });

  // ECMA-376 part 1, 18.17.4.1: serial 1 is 1900-01-01 in the 1900 system, which also counts 1900-02-29
  it.each([
    ["45360", "2024-03-09"],
    ["45360.604", "2024-03-09"],
    ["36526", "2000-01-01"],
  ])("reads the spreadsheet day number %s", (text, day) => {
    expect(iso(text)).toBe(day);
  });

  it.each([
    ["03/04/2024", "date_reads_both_ways"],
    ["31/02/2024", "no_such_day"],
    ["2024-13-01", "no_such_day"],
    ["29.02.2023", "no_such_day"],
    ["soon", "not_a_date"],
    ["March 2024", "not_a_date"],
    ["12", "not_a_date"],
    ["2024-03-09x", "not_a_date"],
    ["1/2", "not_a_date"],
    ["", "not_a_date"],
  ])("refuses %s", (text, reason) => {
    expect(iso(text)).toBe(reason);
  });

  it("follows the order that the column settled", () => {
    expect(iso("03/04/2024", "day_first")).toBe("2024-04-03");
    expect(iso("03/04/2024", "month_first")).toBe("2024-03-04");
    expect(iso("25/03/2024", "month_first")).toBe("no_such_day");
    expect(iso("03/04/2024", "year_first")).toBe("date_reads_both_ways");
  });

  // POSIX.1 strptime %y: 69-99 are 1969-1999, 00-68 are 2000-2068
  it.each([
    ["25/3/68", "2068-03-25"],
    ["25/3/69", "1969-03-25"],
  ])("reads the two-digit year of %s", (text, day) => {
    expect(iso(text)).toBe(day);
  });

  const anyDay = fc.integer({ min: dayNumber(1970, 1, 1)!, max: dayNumber(2068, 12, 31)! });

  it("reads back every day in every form", () => {
    const months = "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre";
    fc.assert(
      fc.property(anyDay, (day) => {
        const { year, month, day: of } = calendarDay(day);
        const two = (n: number): string => String(n).padStart(2, "0");
        const forms: [string, DayOrder | null][] = [
          [isoDay(day), null],
          [`${isoDay(day)}T00:00:00`, null],
          [`${of}.${month}.${year}`, null],
          [`${two(of)}/${two(month)}/${year}`, "day_first"],
          [`${month}/${of}/${two(year % 100)}`, "month_first"],
          [`${of} de ${months.split(" ")[month - 1]} de ${year}`, null],
          [new Date(day * 86_400_000).toUTCString().slice(5, 16), null],
        ];
        for (const [text, order] of forms) expect(iso(text, order)).toBe(isoDay(day));
      }),
    );
  });

  it("never throws", () => {
    fc.assert(fc.property(fc.string(), (text) => void readDay(text, null)));
  });
});
