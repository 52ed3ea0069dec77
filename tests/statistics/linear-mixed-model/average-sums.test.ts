import { describe, expect, it } from "vitest";
import {
  averageOverVariances,
  type VarianceAverage,
} from "../../../src/statistics/linear-mixed-model/average-over-variances.ts";
import {
  averageSumsOverVariances,
  type SumAndPart,
  type WeightedSum,
} from "../../../src/statistics/linear-mixed-model/average-sums.ts";
import type { LinearCombination } from "../../../src/statistics/linear-mixed-model/linear-combinations.ts";
import { fitted } from "./fitted.ts";
import { animalsInPens } from "./small-models.ts";

/** The flock's mean, each animal in it, and each animal against the mean of all animals. */
function questions(animals: number): { sums: WeightedSum[]; asked: SumAndPart[] } {
  const each = Array.from({ length: animals }, (_, a) => a);
  return {
    sums: [
      {
        part: Int32Array.from({ length: animals + 5 }, (_, p) => p),
        weight: Float64Array.from({ length: animals + 5 }, (_, p) =>
          p === 0 ? 1 : p <= animals ? 1 / animals : 0.25,
        ),
      },
      { part: Int32Array.from(each, (a) => a + 1), weight: new Float64Array(animals).fill(-1 / animals) },
    ],
    asked: [
      { sum: 0, sumWeight: 1 },
      ...each.map((a) => ({ sum: 0, sumWeight: 1, part: a + 1, partWeight: 1 })),
      ...each.map((a) => ({ sum: 1, sumWeight: 1, part: a + 1, partWeight: 1 })),
    ],
  };
}

const parts = (animals: number): LinearCombination[] => [
  { fixed: [1] },
  ...Array.from({ length: animals }, (_, level) => ({ random: [{ term: 0, level, weight: 1 }] })),
  ...Array.from({ length: 4 }, (_, level) => ({ random: [{ term: 1, level, weight: 1 }] })),
];

describe("sums averaged over the variances", () => {
  for (const { animals, times } of [
    { animals: 8, times: 4 },
    { animals: 60, times: 10 },
  ]) {
    it(`are the same combinations averaged on a grid: ${animals} animals`, () => {
      const fit = fitted(animalsInPens(animals, times));
      const { sums, asked } = questions(animals);
      const single = parts(animals);
      const drawn = averageSumsOverVariances(fit, single, sums, asked, { seed: 1 });
      const whole = averageOverVariances(
        fit,
        asked.map(({ sum, sumWeight, part, partWeight = 1 }) => {
          const { part: members, weight } = sums[sum]!;
          const loadings = new Map<number, number>();
          members.forEach((p, j) => {
            loadings.set(p, sumWeight * weight[j]!);
          });
          if (part !== undefined) loadings.set(part, (loadings.get(part) ?? 0) + partWeight);
          return {
            fixed: [loadings.get(0) ?? 0],
            random: [...loadings].flatMap(([p, w]) =>
              (single[p]!.random ?? []).map((loading) => ({ ...loading, weight: w })),
            ),
          };
        }),
        { seed: 1 },
      );
      if ("trouble" in drawn || "trouble" in whole) throw new Error("no average");
      expect(whole.points).toBe("grid");
      const deviation = (average: VarianceAverage, k: number): number => Math.sqrt(average.variance[k]!);
      asked.forEach((_, k) => {
        expect(Math.abs(drawn.mean[k]! - whole.mean[k]!)).toBeLessThan(0.08 * deviation(whole, k));
        expect(deviation(drawn, k) / deviation(whole, k)).toBeGreaterThan(0.9);
        expect(deviation(drawn, k) / deviation(whole, k)).toBeLessThan(1.1);
      });
    });
  }

  it("take fewer draws where the records tell the variances well", () => {
    const drawsFor = (animals: number, times: number, pens: number): number => {
      const each = Array.from({ length: animals }, (_, level) => ({
        random: [{ term: 0, level, weight: 1 }],
      }));
      const sum = { part: new Int32Array(0), weight: new Float64Array(0) };
      const asked = each.map((_, part) => ({ sum: 0, sumWeight: 1, part, partWeight: 1 }));
      const fit = fitted(animalsInPens(animals, times, pens));
      const average = averageSumsOverVariances(fit, each, [sum], asked, { seed: 1 });
      if ("trouble" in average) throw new Error("no average");
      return average.weights.length;
    };
    expect(drawsFor(8, 4, 4)).toBeGreaterThan(3 * drawsFor(500, 4, 10));
  });
});
