import { describe, expect, test } from "vitest";
import {
  agrestiCoullInterval,
  clopperPearsonInterval,
  jeffreysInterval,
  wilsonContinuityInterval,
  wilsonInterval,
} from "../../../src/statistics/proportions/proportion-interval.ts";
import reference from "../../reference/proportions.json" with { type: "json" };

const methods = {
  wilson: wilsonInterval,
  wilson_cc: wilsonContinuityInterval,
  clopper_pearson: clopperPearsonInterval,
  jeffreys_brown: jeffreysInterval,
  agresti_coull_untruncated: agrestiCoullInterval,
} as const;

describe.each([
  ["prop_ci_90", 0.9],
  ["prop_ci_95", 0.95],
  ["prop_ci_99", 0.99],
] as const)("%s: R", (id, level) => {
  test.each(Object.keys(methods) as (keyof typeof methods)[])("%s", (name) => {
    const table = reference.cases[id];
    expect(table.x.length).toBeGreaterThan(70);
    table.x.forEach((x, i) => {
      const n = table.n[i]!;
      // prop.test drops its correction at exactly one half, Newcombe's method 4 does not.
      if (name === "wilson_cc" && 2 * x === n) return;
      const got = methods[name](x, n, level)!;
      // The reference for Agresti and Coull is not cut at 0 and 1.
      expect(got.lo).toBeCloseTo(Math.max(0, table[`${name}_lower`][i]!), 9);
      expect(got.hi).toBeCloseTo(Math.min(1, table[`${name}_upper`][i]!), 9);
      expect(got.estimate).toBe(x / n);
    });
  });
});

// Newcombe (1998) Stat. Med. 17:857-872, Table I, from memory, recomputed.
test.each([
  [81, 263, 0.2553, 0.3662, 0.2535, 0.3682, 0.2527, 0.3676],
  [15, 148, 0.0624, 0.1605, 0.0598, 0.1644, 0.0578, 0.1617],
  [0, 20, 0, 0.1611, 0, 0.2005, 0, 0.1684],
  [1, 29, 0.0061, 0.1718, 0.0018, 0.1963, 0.0009, 0.1776],
  [23, 60, 0.2709, 0.5098, 0.2635, 0.5181, 0.2607, 0.5179],
  [29, 29, 0.883, 1, 0.8544, 1, 0.8806, 1],
])("Newcombe's table: %i of %i", (x, n, ...printed) => {
  const got = [wilsonInterval, wilsonContinuityInterval, clopperPearsonInterval].flatMap((interval) => {
    const { lo, hi } = interval(x, n)!;
    return [lo, hi];
  });
  expect(got.map((limit) => Math.round(limit * 1e4) / 1e4)).toEqual(printed);
});

describe("every method", () => {
  test.each(Object.entries(methods))(
    "%s: swapping success and failure mirrors the limits",
    (_name, interval) => {
      for (const [x, n] of [
        [0, 7],
        [3, 11],
        [40, 41],
      ] as const) {
        const got = interval(x, n)!;
        const mirror = interval(n - x, n)!;
        expect(got.lo).toBeCloseTo(1 - mirror.hi, 12);
        expect(got.hi).toBeCloseTo(1 - mirror.lo, 12);
        expect(got.lo).toBeLessThanOrEqual(got.estimate);
        expect(got.hi).toBeGreaterThanOrEqual(got.estimate);
      }
    },
  );

  test.each(Object.entries(methods))(
    "%s: nothing counted is nothing known; impossible counts are refused",
    (_name, interval) => {
      expect(interval(0, 0)).toBeUndefined();
      expect(() => interval(3, 2)).toThrow(RangeError);
      expect(() => interval(-1, 2)).toThrow(RangeError);
      expect(() => interval(1, 2, 1)).toThrow(RangeError);
    },
  );
});
