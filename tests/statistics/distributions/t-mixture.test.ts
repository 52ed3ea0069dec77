import { describe, expect, it } from "vitest";
import { normalCumulative } from "../../../src/statistics/distributions/normal.ts";
import {
  mixtureCumulative,
  mixtureMean,
  mixtureQuantile,
  mixtureVariance,
} from "../../../src/statistics/distributions/t-mixture.ts";

const normals = {
  weights: [0.25, 0.75],
  means: [-1, 2],
  scales: [0.5, 1],
  freedom: Number.POSITIVE_INFINITY,
};

describe("mixtures of t distributions", () => {
  it("have the mean and variance of their parts", () => {
    expect(mixtureMean(normals)).toBeCloseTo(1.25, 12);
    // Within 0.25 x 0.25 + 0.75 x 1, between 0.25 x 0.75 x 3^2.
    expect(mixtureVariance(normals)).toBeCloseTo(0.8125 + 1.6875, 12);
    // A t with 5 degrees of freedom has variance 5/3.
    expect(mixtureVariance({ weights: [1], means: [0], scales: [2], freedom: 5 })).toBeCloseTo(20 / 3, 12);
    expect(mixtureVariance({ weights: [1], means: [0], scales: [2], freedom: 2 })).toBe(
      Number.POSITIVE_INFINITY,
    );
  });

  it("have quantiles that invert their distribution", () => {
    for (const p of [0.001, 0.025, 0.3, 0.5, 0.975]) {
      const x = mixtureQuantile(normals, p);
      const want = 0.25 * normalCumulative((x + 1) / 0.5) + 0.75 * normalCumulative(x - 2);
      expect(mixtureCumulative(normals, x)).toBeCloseTo(want, 12);
      expect(want).toBeCloseTo(p, 5);
    }
    // Student's t, 97.5 % with 10 degrees of freedom: 2.228139 (any printed table: 2.228).
    const single = { weights: [1], means: [3], scales: [2], freedom: 10 };
    expect(mixtureQuantile(single, 0.975)).toBeCloseTo(3 + 2 * 2.228139, 5);
    const same = { weights: [0.5, 0.5], means: [3, 3], scales: [2, 2], freedom: 10 };
    expect(mixtureQuantile(same, 0.975)).toBeCloseTo(3 + 2 * 2.228139, 3);
  });

  it("take a scale of zero as a point", () => {
    const point = { weights: [0.5, 0.5], means: [0, 0], scales: [0, 0], freedom: 4 };
    expect([-1, 0, 1].map((x) => mixtureCumulative(point, x))).toEqual([0, 0.5, 1]);
    expect(mixtureQuantile(point, 0.9)).toBe(0);
  });
});
