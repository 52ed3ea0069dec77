import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  depletionAfterDay,
  evaporationReduction,
  surfaceSoils,
  surfaceWetness,
  totalEvaporableWater,
} from "../../src/exposure/surface-water-balance.ts";

/*
 * FAO Irrigation and Drainage Paper 56. Example 37 (p. 168) is of a root zone with total water 160 mm of which 64 mm
 * are readily lost, coefficient 1.2 and 5 mm of reference evapotranspiration a day without rain: the equations of the
 * evaporating layer are the same ones, so its table is theirs too.
 */
const example37 = { readilyEvaporable: 64, totalEvaporable: 160 };
const printedRows: readonly [start: number, coefficient: number, end: number][] = [
  [55.0, 1.0, 61.0],
  [61.0, 1.0, 67.0],
  [67.0, 0.97, 72.8],
  [72.8, 0.91, 78.3],
  [78.3, 0.85, 83.4],
  [83.4, 0.8, 88.2],
  [88.2, 0.75, 92.6],
  [92.6, 0.7, 96.9],
  [96.9, 0.66, 100.8],
  [100.8, 0.62, 104.5],
];

describe("water in the evaporating layer", () => {
  test.each(printedRows)("example 37: from %d mm", (start, coefficient, end) => {
    expect(Math.abs(evaporationReduction(example37, start) - coefficient)).toBeLessThan(0.006);
    expect(Math.abs(depletionAfterDay(example37, start, 0, 5) - end)).toBeLessThan(0.11);
  });

  test("example 38, day 1: water comes first, what the layer cannot hold drains, then it dries", () => {
    // 23 mm gone, 40 mm given, 4.5 mm of reference evapotranspiration: printed 5 mm at the day's end, in whole mm
    expect(
      Math.abs(depletionAfterDay({ readilyEvaporable: 23, totalEvaporable: 39 }, 23, 40, 4.5) - 5),
    ).toBeLessThan(1);
  });

  test("total evaporable water of equation 73, by hand: 1000 (0.23 − 0.05) 0.1", () => {
    expect(totalEvaporableWater(0.23, 0.1, 0.1)).toBeCloseTo(18, 10);
  });

  // ranges of total evaporable water printed in table 19 (from memory)
  test.each([
    ["sand", 6, 12],
    ["loamy sand", 9, 14],
    ["sandy loam", 15, 20],
    ["loam", 16, 22],
    ["silt loam", 18, 25],
    ["silt", 22, 26],
    ["silty clay loam", 22, 27],
    ["silty clay", 22, 28],
    ["clay", 22, 29],
  ] as const)("%s can lose %d to %d mm in all", (name, least, most) => {
    expect(surfaceSoils[name].totalEvaporable).toBeGreaterThanOrEqual(least);
    expect(surfaceSoils[name].totalEvaporable).toBeLessThanOrEqual(most);
  });

  test("depletion stays between nothing and all, whatever the weather", () => {
    const weather = fc.array(
      fc.tuple(fc.double({ min: 0, max: 200, noNaN: true }), fc.double({ min: 0, max: 15, noNaN: true })),
      {
        maxLength: 60,
      },
    );
    fc.assert(
      fc.property(weather, (days) => {
        const wetness = surfaceWetness(
          surfaceSoils.loam,
          days.map(([rain]) => rain),
          days.map(([, evapotranspiration]) => evapotranspiration),
        );
        for (const value of wetness) expect(Number.isNaN(value) || (value >= 0 && value <= 1)).toBe(true);
      }),
    );
  });

  test("is not known before rain or drought has settled it, and not across a missing day", () => {
    const soil = { readilyEvaporable: 8, totalEvaporable: 20 };
    const wetness = surfaceWetness(soil, [0, 30, 0, Number.NaN, 0, 25], [4, 5, 5, 5, 0, 0]);
    expect(wetness[0]).toBeNaN();
    // 30 mm fill it from either start, then 6 mm and 6 mm of its 20 go
    expect(wetness[1]).toBeCloseTo(0.7, 12);
    expect(wetness[2]).toBeCloseTo(0.4, 12);
    expect(wetness[3]).toBeNaN();
    expect(wetness[4]).toBeNaN();
    expect(wetness[5]).toBe(1);
  });
});
