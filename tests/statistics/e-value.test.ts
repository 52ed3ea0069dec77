import { describe, expect, test } from "vitest";
import { eValue, riskRatioOfCommonOutcome } from "../../src/statistics/e-value.ts";

describe("E-value", () => {
  // Hammond & Horn (1958) on smoking and lung cancer, as in the vignette of R's package EValue.
  test("10.73 (8.02 to 14.36)", () => {
    const got = eValue({ estimate: 10.73, lo: 8.02, hi: 14.36 });
    expect(got.estimate).toBeCloseTo(20.94777, 5);
    expect(got.limit).toBeCloseTo(15.52336, 5);
  });

  // VanderWeele & Ding (2017), from memory, recomputed.
  test("3.9 (1.8 to 8.7)", () => {
    const got = eValue({ estimate: 3.9, lo: 1.8, hi: 8.7 });
    expect(got.estimate).toBeCloseTo(7.263, 3);
    expect(got.limit).toBeCloseTo(3.0, 3);
  });

  test("below one it is that of the inverse; an interval with one in it has limit 1", () => {
    expect(eValue({ estimate: 0.8, lo: 0.7, hi: 0.9 }).estimate).toBeCloseTo(1.809, 3);
    const below = eValue({ estimate: 1 / 3.9, lo: 1 / 8.7, hi: 1 / 1.8 });
    expect(below.estimate).toBeCloseTo(7.263, 3);
    expect(below.limit).toBeCloseTo(3.0, 3);
    expect(eValue({ estimate: 1.4, lo: 0.9, hi: 2 }).limit).toBe(1);
    expect(eValue({ estimate: 1, lo: 1, hi: 1 })).toEqual({ estimate: 1, limit: 1 });
  });

  test("odds ratio of a common outcome", () => {
    expect(riskRatioOfCommonOutcome({ estimate: 4, lo: 1, hi: 9 })).toEqual({ estimate: 2, lo: 1, hi: 3 });
  });

  test("what is no ratio is refused", () => {
    expect(() => eValue({ estimate: -1, lo: -2, hi: 1 })).toThrow(RangeError);
    expect(() => eValue({ estimate: 2, lo: 3, hi: 4 })).toThrow(RangeError);
  });
});
