import { expect, test } from "vitest";
import { empiricalQuantile } from "../../src/statistics/empirical-quantile.ts";

// Hyndman & Fan (1996), definition 7: order statistic (n − 1)p + 1, interpolated.
test("interpolates between order statistics", () => {
  expect(empiricalQuantile([1, 2, 3, 4], 0.5)).toBe(2.5);
  expect(empiricalQuantile([1, 2, 3, 4, 5], 0.25)).toBe(2);
  expect(empiricalQuantile([10, 20], 0.9)).toBeCloseTo(19, 12);
  expect(empiricalQuantile([7], 0.3)).toBe(7);
});

test("infinite values, no values, impossible probabilities", () => {
  expect(empiricalQuantile([1, Infinity, Infinity], 0.75)).toBe(Infinity);
  expect(empiricalQuantile([1, Infinity], 0)).toBe(1);
  expect(empiricalQuantile([], 0.5)).toBeUndefined();
  expect(() => empiricalQuantile([1], 1.1)).toThrow(RangeError);
});
