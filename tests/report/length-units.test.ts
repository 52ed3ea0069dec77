import { describe, expect, test } from "vitest";
import {
  differencePerMonth,
  length,
  limitsPerMonth,
  ratePerMonth,
  toLengthUnit,
} from "../../src/report/length-units.ts";

// An inch is 25.4 mm exactly (international yard and pound agreement, 1959): 1/16 inch is 1.5875 mm.
const nb = "\u00a0";

describe("lengths held against a claw", () => {
  test.each([
    [0, `0${nb}inch`],
    [1.5875, `1/16${nb}inch`],
    [3.175, `1/8${nb}inch`],
    [9.525, `3/8${nb}inch`],
    [25.4, `1${nb}inch`],
    [34.925, `1${nb}3/8${nb}inch`],
    // half of 1/16 inch below 1/4 inch still reads 1/4
    [6.35 - 0.7, `1/4${nb}inch`],
    [-1.5875, `−1/16${nb}inch`],
  ])("%d mm reads %s", (mm, words) => {
    expect(length(mm, "in", "en")).toBe(words);
  });

  test("millimetres keep one decimal", () => {
    expect(length(9.52, "mm", "en")).toBe(`9.5${nb}mm`);
    expect(length(9.52, "mm", "es")).toBe(`9.5${nb}mm`);
  });

  test("inches have their Spanish name", () => {
    expect(length(9.525, "in", "es")).toBe(`3/8${nb}pulg.`);
  });
});

describe("rates", () => {
  test("a month's growth in millimetres to one decimal, in inches to two", () => {
    const rate = { value: 3.302, lo: 3.048, hi: 3.556 };
    expect(ratePerMonth(rate, "mm", "en")).toBe(`3.3${nb}mm a month (3.0 to 3.6)`);
    // 3.302 / 25.4 = 0.13, 3.048 / 25.4 = 0.12, 3.556 / 25.4 = 0.14
    expect(ratePerMonth(rate, "in", "en")).toBe(`0.13${nb}inch a month (0.12 to 0.14)`);
    expect(ratePerMonth(rate, "in", "es")).toBe(`0.13${nb}pulg. al mes (0.12 a 0.14)`);
  });

  test("without limits the figure stands alone; without a figure there is nothing", () => {
    expect(ratePerMonth({ value: 3.3, lo: null, hi: null }, "mm", "en")).toBe(`3.3${nb}mm a month`);
    expect(limitsPerMonth(null, null, null, "mm", "en")).toBe("");
    expect(limitsPerMonth(2.54, 1.27, 3.81, "in", "en")).toBe("0.10 (0.05 to 0.15)");
  });

  test("a difference takes a third decimal in inches where two would hide its limits", () => {
    const narrow = { value: 0.3048, lo: 0.1016, hi: 0.508 };
    expect(differencePerMonth(narrow, "in", "en")).toBe(`0.012${nb}inch a month (0.004 to 0.020)`);
    const wide = { value: 2.54, lo: -1.27, hi: 6.35 };
    expect(differencePerMonth(wide, "in", "en")).toBe(`0.10${nb}inch a month (−0.05 to 0.25)`);
  });

  test("units convert by the inch's definition", () => {
    expect(toLengthUnit(25.4, "in")).toBe(1);
    expect(toLengthUnit(25.4, "mm")).toBe(25.4);
  });
});
