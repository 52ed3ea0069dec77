import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { isotonicRegression, readIsotonic } from "../../src/statistics/isotonic-regression.ts";

describe("isotonic regression", () => {
  // Pooling by hand: (3, 2) pool to 2.5, then 2.5 and 1 with weights 2 and 1 pool to 2.
  test("by hand", () => {
    expect([...isotonicRegression([1, 3, 2, 1, 5])]).toEqual([1, 2, 2, 2, 5]);
    expect([...isotonicRegression([4, 1], [1, 3])]).toEqual([1.75, 1.75]);
    expect([...isotonicRegression([])]).toEqual([]);
    expect([...isotonicRegression([9])]).toEqual([9]);
  });

  const data = fc.array(
    fc.record({ y: fc.integer({ min: -9, max: 9 }), w: fc.integer({ min: 1, max: 4 }) }),
    { minLength: 1, maxLength: 30 },
  );

  // The max-min formula of Barlow et al. (1972): max over i ≤ k of min over j ≥ k of the weighted mean of i … j.
  test("max-min formula", () => {
    fc.assert(
      fc.property(data, (rows) => {
        const fitted = isotonicRegression(
          rows.map((r) => r.y),
          rows.map((r) => r.w),
        );
        const mean = (i: number, j: number) => {
          const part = rows.slice(i, j + 1);
          return part.reduce((s, r) => s + r.w * r.y, 0) / part.reduce((s, r) => s + r.w, 0);
        };
        rows.forEach((_, k) => {
          let most = -Infinity;
          for (let i = 0; i <= k; i++) {
            let least = Infinity;
            for (let j = k; j < rows.length; j++) least = Math.min(least, mean(i, j));
            most = Math.max(most, least);
          }
          expect(fitted[k]).toBeCloseTo(most, 10);
        });
      }),
      { numRuns: 100, seed: 1 },
    );
  });

  test("a value without weight follows its neighbours", () => {
    expect([...isotonicRegression([100, 1, -50, 2, 7], [0, 1, 0, 1, 0])]).toEqual([1, 1, 1, 2, 2]);
    expect([...isotonicRegression([5, 6], [0, 0])]).toHaveLength(2);
  });

  test("impossible weights are refused", () => {
    expect(() => isotonicRegression([1, 2], [1])).toThrow(RangeError);
    expect(() => isotonicRegression([1], [-1])).toThrow(RangeError);
  });

  test("reading between and beyond the points", () => {
    const at = [1, 2, 4];
    const fitted = [0, 1, 3];
    expect([0, 1, 1.5, 3, 4, 9].map((x) => readIsotonic(at, fitted, x))).toEqual([0, 0, 0.5, 2, 3, 3]);
  });
});
