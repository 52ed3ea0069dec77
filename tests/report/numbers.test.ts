import { describe, expect, test } from "vitest";
import {
  chanceInWords,
  decimal,
  decimalsFor,
  percentWithLimits,
  ratioWithLimits,
  whole,
  withLimits,
} from "../../src/report/numbers.ts";

// Expected texts are written by hand; a no-break space stands between a number and its percent sign.
const nb = "\u00a0";

describe("numbers as a reader sees them", () => {
  test("thousands are grouped and zero has no sign", () => {
    expect(whole(1412, "en")).toBe("1,412");
    expect(decimal(-0.04, 1, "en")).toBe("0.0");
    expect(decimal(2.5, 0, "en")).toBe("3");
  });

  test("decimals follow the half width of the interval", () => {
    expect(decimalsFor({ value: 12, lo: 2, hi: 22 })).toBe(0);
    expect(decimalsFor({ value: 3.45, lo: 3.1, hi: 3.8 })).toBe(1);
    expect(decimalsFor({ value: 3.456, lo: 3.44, hi: 3.47 })).toBe(3);
    expect(decimalsFor({ value: 0, lo: 0, hi: 0 })).toBe(1);
  });

  test("limits follow the figure in brackets, in both languages", () => {
    const estimate = { value: 3.46, lo: 3.31, hi: 3.64 };
    expect(withLimits(estimate, "en", 1)).toBe("3.5 (3.3 to 3.6)");
    expect(withLimits(estimate, "es", 1)).toBe("3.5 (3.3 a 3.6)");
    expect(withLimits({ value: 4, lo: null, hi: null }, "en", 0)).toBe("4");
  });

  test("shares are percentages, with a decimal only where the limits are close", () => {
    expect(percentWithLimits({ value: 0.087, lo: 0.066, hi: 0.113 }, "en")).toBe(`9${nb}% (7 to 11${nb}%)`);
    expect(percentWithLimits({ value: 0.0873, lo: 0.08, hi: 0.095 }, "en")).toBe(
      `8.7${nb}% (8.0 to 9.5${nb}%)`,
    );
    expect(percentWithLimits({ value: 0, lo: null, hi: null }, "es")).toBe(`0${nb}%`);
  });

  test("ratios keep two decimals below one", () => {
    expect(ratioWithLimits({ value: 1.42, lo: 0.871, hi: 2.26 }, "en")).toBe("1.4 (0.87 to 2.3)");
    expect(ratioWithLimits({ value: 14.6, lo: 2.04, hi: 104 }, "es")).toBe("15 (2.0 a 104)");
  });

  test.each([
    [0.5, "about 1 in 2"],
    [0.2, "about 1 in 5"],
    [0.81, "about 4 in 5"],
    [0.333, "about 1 in 3"],
    [0.05, "about 1 in 20"],
    [0.95, "about 19 in 20"],
    [0.36, "about 1 in 3"],
    [0.86, "about 9 in 10"],
    [0.43, "about 2 in 5"],
    [0.98, "about 49 in 50"],
    [0.004, "less than 1 in 100"],
    [0.996, "more than 99 in 100"],
  ])("a chance of %d is worded '%s'", (chance, words) => {
    expect(chanceInWords(chance, "en")).toBe(words);
  });

  test("chances in Spanish", () => {
    expect(chanceInWords(0.2, "es")).toBe("cerca de 1 de cada 5");
    expect(chanceInWords(0.001, "es")).toBe("menos de 1 de cada 100");
  });
});
