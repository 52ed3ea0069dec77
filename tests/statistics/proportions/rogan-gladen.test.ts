import { describe, expect, test } from "vitest";
import {
  clopperPearsonInterval,
  wilsonInterval,
} from "../../../src/statistics/proportions/proportion-interval.ts";
import { roganGladen, roganGladenStandardError } from "../../../src/statistics/proportions/rogan-gladen.ts";
import reference from "../../reference/proportions.json" with { type: "json" };

describe("true prevalence", () => {
  test.each([
    ["wilson", wilsonInterval],
    ["clopper_pearson", clopperPearsonInterval],
  ] as const)("epiR, %s", (name, interval) => {
    const table = reference.cases.rogan_gladen;
    const wanted = table[name];
    table.pos.forEach((positive, i) => {
      const n = table.n[i]!;
      const apparent = { estimate: positive / n, lo: wanted.ap_lower[i]!, hi: wanted.ap_upper[i]! };
      expect(interval(positive, n)!.lo).toBeCloseTo(apparent.lo, 6);
      // With one negative epiR takes the upper limit of the modified Wilson interval.
      if (n - positive > 1) expect(interval(positive, n)!.hi).toBeCloseTo(apparent.hi, 6);
      const got = roganGladen(apparent, table.se[i]!, table.sp[i]!);
      expect(got.uncut.estimate).toBeCloseTo(table.untruncated[i]!, 9);
      expect(got.uncut.lo).toBeCloseTo(wanted.tp_lower[i]!, 6);
      expect(got.uncut.hi).toBeCloseTo(wanted.tp_upper[i]!, 6);
      expect(got.lo).toBe(Math.min(1, Math.max(0, got.uncut.lo)));
    });
  });

  // Worked example of the epiR reference page: 23 of 150 positive, Se 0.96, Sp 0.89.
  test("23 of 150 cows", () => {
    const got = roganGladen(wilsonInterval(23, 150)!, 0.96, 0.89);
    expect(got.estimate).toBeCloseTo(0.051, 4);
    expect(got.uncut.lo).toBeCloseTo(-0.0066, 4);
    expect(got.lo).toBe(0);
    expect(got.hi).toBeCloseTo(0.1289, 4);
    expect(got.cut).toBe(false);
    expect(roganGladenStandardError(23 / 150, 150, 0.96, 0.89)).toBeCloseTo(0.03461, 5);
  });

  test("fewer positives than a sound flock would give: cut, and said so", () => {
    const got = roganGladen(wilsonInterval(1, 100)!, 0.9, 0.95);
    expect(got.estimate).toBe(0);
    expect(got.cut).toBe(true);
    // by hand: (0.95 + 0.9 − 1) / 0.8 = 1.0625 is past all; (0.1 + 0.9 − 1) / 0.8 is nought, and not past it
    const past = roganGladen({ estimate: 0.95, lo: 0.9, hi: 0.98 }, 0.9, 0.9);
    expect([past.estimate, past.cut]).toEqual([1, true]);
    expect(past.uncut.estimate).toBeCloseTo(1.0625, 12);
    expect(roganGladen({ estimate: 0.1, lo: 0.05, hi: 0.2 }, 0.9, 0.9).cut).toBe(false);
  });

  test("a perfect test changes nothing; a useless one is refused", () => {
    const apparent = wilsonInterval(7, 40)!;
    const got = roganGladen(apparent, 1, 1);
    expect(got.estimate).toBeCloseTo(apparent.estimate, 14);
    expect(got.lo).toBeCloseTo(apparent.lo, 14);
    expect(got.hi).toBeCloseTo(apparent.hi, 14);
    expect(() => roganGladen(apparent, 0.5, 0.5)).toThrow(RangeError);
    expect(() => roganGladen(apparent, 1.2, 0.9)).toThrow(RangeError);
    expect(() => roganGladen(apparent, 0.9, 1.2)).toThrow(RangeError);
    expect(roganGladenStandardError(0.2, 0, 0.9, 0.9)).toBeUndefined();
  });
});
