import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type DecimalMark, readNumber } from "../../src/intake/read-number.ts";

const numberOf = (text: string, mark: DecimalMark | null = null): number | string => {
  const read = readNumber(text, mark);
  return "trouble" in read ? read.trouble : read.value.value;
};

describe("readNumber", () => {
  it.each([
    ["32", 32],
    ["-1.5", -1.5],
    ["−1,5", -1.5],
    ["1.5", 1.5],
    ["1,5", 1.5],
    [".5", 0.5],
    ["1,234.5", 1234.5],
    ["1.234,5", 1234.5],
    ["1 234,5", 1234.5],
    ["1'234.5", 1234.5],
    ["1,234,567", 1_234_567],
    ["1.234.567", 1_234_567],
    ["0,125", 0.125],
    ["1.375", 1.375],
    ["1 3/8", 1.375],
    ["1-3/8", 1.375],
    ["1 - 3/8", 1.375],
    ["1⅜", 1.375],
    ["½", 0.5],
    ["3/8", 0.375],
    ["1 and 1/2", 1.5],
    ["1.5E+02", 150],
    ["32.", 32],
  ])("reads %s", (text, value) => {
    expect(numberOf(text)).toBe(value);
  });

  it.each([
    ['1 3/8"', 1.375, '"'],
    ["1-3/8 in.", 1.375, "in."],
    ["32mm", 32, "mm"],
    ["3,2 cm", 3.2, "cm"],
    ["12 %", 12, "%"],
  ])("reads %s with its unit", (text, value, unit) => {
    expect(readNumber(text, null)).toMatchObject({ value: { value, unit } });
  });

  it.each([
    ["1,234", "number_reads_both_ways"],
    ["long", "not_a_number"],
    ["~32", "not_a_number"],
    ["", "not_a_number"],
    ["1,23,4", "not_a_number"],
    ["12 34", "not_a_number"],
    ["3/4/2024", "not_a_number"],
    ["32-34", "not_a_number_of_its_own"],
  ])("refuses %s", (text, reason) => {
    if (reason === "not_a_number_of_its_own") {
      // what follows is left as its unit, which no quantity has
      expect(readNumber(text, null)).toMatchObject({ value: { unit: "-34" } });
    } else {
      expect(numberOf(text)).toBe(reason);
    }
  });

  it("takes a doubtful mark as the column has it", () => {
    expect(numberOf("1,234", ",")).toBe(1.234);
    expect(numberOf("1,234", ".")).toBe(1234);
    expect(numberOf("1.234", ",")).toBe(1234);
    expect(numberOf("1.234", ".")).toBe(1.234);
  });

  it("reads back what each locale writes", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -10_000_000, max: 10_000_000 }),
        fc.constantFrom(...(["en-US", "de-DE", "es-ES", "fr-FR", "de-CH"] as const)),
        (cents, locale) => {
          const value = cents / 100;
          const text = value.toLocaleString(locale, { minimumFractionDigits: 2, maximumFractionDigits: 2 });
          expect(numberOf(text)).toBe(value);
        },
      ),
    );
  });

  it("reads back sixteenths of an inch", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 16 * 9 }), fc.constantFrom(" ", "-"), (sixteenths, gap) => {
        const whole = Math.floor(sixteenths / 16);
        let top = sixteenths % 16;
        let bottom = 16;
        while (top > 0 && top % 2 === 0) {
          top /= 2;
          bottom /= 2;
        }
        const text =
          top === 0 ? `${whole}"` : whole === 0 ? `${top}/${bottom}"` : `${whole}${gap}${top}/${bottom}"`;
        expect(numberOf(text)).toBe(sixteenths / 16);
      }),
    );
  });

  it("refuses what no double holds", () => {
    expect(readNumber("1e999", null)).toEqual({ trouble: "not_a_number" });
    expect(readNumber("9".repeat(400), null)).toEqual({ trouble: "not_a_number" });
  });

  it("never throws", () => {
    fc.assert(fc.property(fc.string(), (text) => void readNumber(text, null)));
  });
});
