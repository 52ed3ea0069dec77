import { describe, expect, test } from "vitest";
import { equalRows } from "../../../src/statistics/generalized-mixed-model/equal-rows.ts";

describe("equal rows", () => {
  test("rows that agree in every column share a class, in the order of first appearance", () => {
    const number = Float64Array.from([0.5, 0.5, 0.25, 0.5, 0.25]);
    const level = Int32Array.from([1, 1, 1, 2, 1]);
    const { first, classOf } = equalRows(5, [number, level]);
    expect(Array.from(first)).toEqual([0, 2, 3]);
    expect(Array.from(classOf)).toEqual([0, 0, 1, 2, 1]);
  });

  test("memberships agree in levels and weights", () => {
    const membership = {
      rowStart: Int32Array.from([0, 2, 4, 6, 7]),
      level: Int32Array.from([0, 1, 0, 1, 0, 1, 0]),
      weight: Float64Array.from([0.5, 0.5, 0.5, 0.5, 0.4, 0.6, 1]),
    };
    expect(Array.from(equalRows(4, [membership]).classOf)).toEqual([0, 0, 1, 2]);
  });

  test("as many classes as a plain dictionary finds", () => {
    const a = Float64Array.from({ length: 5000 }, (_, i) => Math.round(30 * Math.sin(i)) / 8);
    const b = Int32Array.from({ length: 5000 }, (_, i) => (i * 7919) % 13);
    const { first, classOf } = equalRows(5000, [a, b]);
    const keys = Array.from(a, (x, i) => `${x + 0}|${b[i]}`);
    expect(first.length).toBe(new Set(keys).size);
    expect(keys.every((key, i) => key === keys[first[classOf[i]]])).toBe(true);
  });
});
