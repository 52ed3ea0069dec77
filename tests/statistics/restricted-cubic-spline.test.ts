import { describe, expect, test } from "vitest";
import { harrellKnots, restrictedCubicSpline } from "../../src/statistics/restricted-cubic-spline.ts";
import reference from "../reference/restricted-cubic-splines.json" with { type: "json" };

describe("restricted cubic spline", () => {
  test.each(reference.cases)("Hmisc rcspline.eval, knots $knots", ({ knots, x, columns, basis }) => {
    const got = restrictedCubicSpline(x, knots);
    expect(got).toHaveLength(columns);
    x.forEach((_, i) => {
      got.forEach((column, j) => {
        const want = basis[i * columns + j]!;
        expect(Math.abs(column[i]! - want)).toBeLessThanOrEqual(1e-10 + 1e-9 * Math.abs(want));
      });
    });
  });

  test("straight beyond the outer knots", () => {
    const knots = [2, 5, 11, 20];
    for (const column of restrictedCubicSpline([-9, -4, 1, 30, 40, 50], knots)) {
      expect(column[2]! - column[1]!).toBeCloseTo(column[1]! - column[0]!, 9);
      expect(column[5]! - column[4]!).toBeCloseTo(column[4]! - column[3]!, 9);
    }
  });

  test("in units of x: scaling x and knots scales the basis", () => {
    const small = restrictedCubicSpline([3, 8, 14], [2, 5, 11]);
    const large = restrictedCubicSpline([30, 80, 140], [20, 50, 110]);
    small.forEach((column, j) => {
      column.forEach((value, i) => {
        expect(large[j]![i]).toBeCloseTo(10 * value, 9);
      });
    });
  });

  test("knots must rise and number three", () => {
    expect(() => restrictedCubicSpline([1], [1, 2])).toThrow(RangeError);
    expect(() => restrictedCubicSpline([1], [1, 3, 3])).toThrow(RangeError);
  });
});

describe("Harrell's knots", () => {
  // Harrell (2015), table 2.3: for 4 knots the 5th, 35th, 65th and 95th percentile, from memory.
  test("percentiles of 0 … 100", () => {
    const values = Array.from({ length: 101 }, (_, i) => (i * 37) % 101);
    expect([...harrellKnots(values, 3)!]).toEqual([10, 50, 90]);
    expect([...harrellKnots(values, 4)!]).toEqual([5, 35, 65, 95]);
    [5, 27.5, 50, 72.5, 95].forEach((knot, k) => {
      expect(harrellKnots(values, 5)![k]).toBeCloseTo(knot, 12);
    });
  });
  test("below 100 values the outer knots are the fifth from either end", () => {
    const knots = harrellKnots(
      Array.from({ length: 60 }, (_, i) => i + 1),
      4,
    )!;
    expect(knots[0]).toBe(5);
    expect(knots[3]).toBe(56);
  });
  test("too few values, or too alike", () => {
    expect(harrellKnots([1, 2, 3], 4)).toBeUndefined();
    expect(harrellKnots(new Array(200).fill(7), 4)).toBeUndefined();
    expect(() => harrellKnots([1, 2, 3], 9)).toThrow(RangeError);
  });
});
