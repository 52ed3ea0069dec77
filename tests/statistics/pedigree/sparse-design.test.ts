import { describe, expect, it } from "vitest";
import {
  composeDesigns,
  designProduct,
  indexDesign,
  joinDesigns,
  sparseDesign,
  termDesign,
  transposedProduct,
} from "../../../src/statistics/pedigree/sparse-design.ts";

const multiply = (design: ReturnType<typeof indexDesign>, effects: number[]) => [
  ...designProduct(design, Float64Array.from(effects)),
];

describe("sparse designs", () => {
  it("load records on one level, none, or several with weights and a slope", () => {
    expect(multiply(indexDesign([1, -1, 0], 2), [10, 20])).toEqual([20, 0, 10]);
    expect(multiply(indexDesign([1, 0], 2, [0.5, 3]), [10, 20])).toEqual([10, 30]);
    const shared = {
      name: "pen",
      levels: 3,
      membership: {
        rowStart: Int32Array.of(0, 2, 3),
        level: Int32Array.of(0, 2, 1),
        weight: Float64Array.of(0.25, 0.75, 1),
      },
    };
    expect(multiply(termDesign(shared, 2), [4, 8, 12])).toEqual([10, 8]);
    const slope = { ...shared, effects: [Float64Array.of(2, 10)] };
    expect(multiply(termDesign(slope, 2), [4, 8, 12])).toEqual([20, 80]);
    const two = { ...shared, effects: [Float64Array.of(1, 1), Float64Array.of(2, 10)] };
    expect(() => termDesign(two, 2)).toThrow(RangeError);
  });

  it("join, compose and transpose as matrices do", () => {
    const first = sparseDesign(2, 2, [
      { row: 0, column: 0, value: 2 },
      { row: 1, column: 1, value: 3 },
      { row: 1, column: 0, value: 1 },
    ]);
    const second = sparseDesign(2, 1, [
      { row: 0, column: 0, value: 5 },
      { row: 1, column: 0, value: 7 },
    ]);
    expect(multiply(joinDesigns(2, [first, second]), [1, 1, 1])).toEqual([7, 11]);
    expect(multiply(composeDesigns(first, second), [1])).toEqual([10, 26]);
    expect([...transposedProduct(first, [1, 10])]).toEqual([12, 30]);
  });

  it("refuse a level outside", () => {
    expect(() => indexDesign([2], 2)).toThrow(RangeError);
    expect(() => sparseDesign(1, 1, [{ row: 1, column: 0, value: 1 }])).toThrow(RangeError);
  });
});
