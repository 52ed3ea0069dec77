import { describe, expect, it } from "vitest";
import { normalCumulative } from "../../../src/statistics/distributions/normal.ts";
import { mixtureCumulative, mixtureQuantile } from "../../../src/statistics/distributions/t-mixture.ts";
import {
  averagedMixture,
  averageOverVariances,
  type VarianceAverage,
} from "../../../src/statistics/linear-mixed-model/average-over-variances.ts";
import type { FittedLinearMixed } from "../../../src/statistics/linear-mixed-model/fit-linear-mixed-model.ts";
import { fitLinearMixedModel } from "../../../src/statistics/linear-mixed-model/fit-linear-mixed-model.ts";
import type { LinearCombination } from "../../../src/statistics/linear-mixed-model/linear-combinations.ts";
import type { LinearMixedInput } from "../../../src/statistics/linear-mixed-model/linear-mixed-design.ts";
import { simulateOutcome } from "../../../src/statistics/linear-mixed-model/simulate-outcome.ts";
import { Random } from "../../../src/statistics/random.ts";
import { fitted } from "./fitted.ts";
import { columnsOf, growthModel, membershipModel, numbers, referenceModel } from "./reference-models.ts";

function averaged(
  fit: FittedLinearMixed,
  combinations: LinearCombination[],
  draws = 200,
  seed = 3,
): VarianceAverage {
  const found = averageOverVariances(fit, combinations, { seed, draws });
  if ("trouble" in found) throw new Error(found.detail);
  return found;
}

/**
 * The balanced one-way layout by brute force: the restricted likelihood depends on the sums of squares alone
 * (σ²: within, λ = σ² + nτ²: between), with flat priors on σ and τ summed over a fine mesh of both. The prior on τ fades
 * out, as exp(−x⁴/2), where τ/σ comes to x = 1 times `ceiling`.
 */
function oneWay(outcome: Float64Array, groups: number, group: number, ceiling: number) {
  const n = outcome.length / groups;
  const means = Array.from({ length: groups }, (_, g) => {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += outcome[g * n + i]!;
    return sum / n;
  });
  const grand = means.reduce((a, b) => a + b, 0) / groups;
  const between = means.reduce((s, m) => s + n * (m - grand) ** 2, 0);
  let within = 0;
  outcome.forEach((y, i) => {
    within += (y - means[Math.floor(i / n)]!) ** 2;
  });
  const scale = Math.sqrt(within / (groups * (n - 1)));
  const mesh: { weight: number; mean: number; sd: number }[] = [];
  let total = 0;
  for (let a = 0; a < 120; a++) {
    const sigma = scale * (0.5 + (1.5 * (a + 0.5)) / 120);
    for (let b = 0; b < 600; b++) {
      const tau = (scale * 12 * (b + 0.5)) / 600;
      const lambda = sigma ** 2 + n * tau ** 2;
      const log =
        -0.5 *
        (groups * (n - 1) * Math.log(sigma ** 2) +
          within / sigma ** 2 +
          (groups - 1) * Math.log(lambda) +
          between / lambda +
          (tau / sigma / ceiling) ** 4);
      const share = (n * tau ** 2) / lambda;
      const variance = (tau ** 2 * sigma ** 2) / lambda + (share ** 2 * lambda) / (n * groups);
      const weight = Math.exp(log + 0.5 * (groups * n - 1) * Math.log(scale ** 2));
      total += weight;
      mesh.push({ weight, mean: share * (means[group]! - grand), sd: Math.sqrt(variance) });
    }
  }
  const over = (f: (m: { mean: number; sd: number }) => number): number =>
    mesh.reduce((sum, m) => sum + (m.weight / total) * f(m), 0);
  const mean = over((m) => m.mean);
  const variance = over((m) => m.sd ** 2 + (m.mean - mean) ** 2);
  return { mean, variance, below: (x: number) => over((m) => normalCumulative((x - m.mean) / m.sd)) };
}

describe("averages over the uncertainty of the variances", () => {
  for (const [id, dataset, column] of [
    ["dyestuff", "Dyestuff", "Yield"],
    ["dyestuff2_boundary", "Dyestuff2", "Yield"],
  ] as const) {
    it(`${id}: the brute-force integral over both standard deviations`, () => {
      const fit = fitted(referenceModel(id).input);
      const outcome = numbers(columnsOf(dataset)[column]!);
      const grand = outcome.reduce((a, b) => a + b, 0) / outcome.length;
      const total = outcome.reduce((a, b) => a + (b - grand) ** 2, 0) / (outcome.length - 1);
      // Three standard deviations of the outcome, in units of the residual's.
      const want = oneWay(outcome, 6, 4, 3 * Math.sqrt(total / fit.sigmaSquared));
      const found = averaged(fit, [{ random: [{ term: 0, level: 4, weight: 1 }] }]);
      expect(found.points).toBe("grid");
      const sd = Math.sqrt(want.variance);
      expect(Math.abs(found.mean[0]! - want.mean)).toBeLessThan(0.01 * sd);
      expect(Math.abs(Math.sqrt(found.variance[0]!) / sd - 1)).toBeLessThan(0.02);
      for (const probability of [0.025, 0.2, 0.5, 0.8, 0.975]) {
        const x = mixtureQuantile(averagedMixture(found, 0), probability);
        expect(Math.abs(want.below(x) - probability)).toBeLessThan(0.003);
        expect(mixtureCumulative(averagedMixture(found, 0), x)).toBeCloseTo(probability, 6);
      }
    });
  }

  it("does not collapse where the variance is estimated at zero", () => {
    const fit = fitted(referenceModel("dyestuff2_boundary").input);
    expect(fit.verdict).toBe("singular");
    const found = averaged(fit, [{ random: [{ term: 0, level: 0, weight: 1 }] }]);
    expect(found.variance[0]).toBeGreaterThan(0.5);
  });

  for (const [name, model] of [
    ["growth", growthModel()],
    ["singular multiple membership", membershipModel()],
  ] as const) {
    it(`200 draws do what 1200 do (${name})`, () => {
      const fit = fitted(model.input);
      const combinations: LinearCombination[] = [
        { random: [{ term: 0, level: 0, weight: 1 }] },
        { random: [{ term: 1, level: 3, weight: 1 }] },
        { fixed: [1, 0, 0] },
      ];
      const few = averaged(fit, combinations);
      const many = averaged(fit, combinations, 1200, 8);
      expect(few.points).toBe("draws");
      expect(few.effectivePoints).toBeGreaterThan(60);
      combinations.forEach((_, k) => {
        const sd = Math.sqrt(many.variance[k]!);
        expect(Math.abs(few.mean[k]! - many.mean[k]!)).toBeLessThan(0.1 * sd);
        expect(
          Math.abs(
            mixtureQuantile(averagedMixture(few, k), 0.975) -
              mixtureQuantile(averagedMixture(many, k), 0.975),
          ),
        ).toBeLessThan(0.12 * sd);
      });
    });
  }

  it("gives the same numbers from the same seed", () => {
    const fit = fitted(growthModel().input);
    const combination = [{ random: [{ term: 0, level: 2, weight: 1 }] }];
    expect(averaged(fit, combination, 50, 4).locations).toEqual(averaged(fit, combination, 50, 4).locations);
    expect(averaged(fit, combination, 50, 4).mean).not.toEqual(averaged(fit, combination, 50, 5).mean);
  });

  it("covers animals of small invented flocks about as often as it says", () => {
    // 10 animals × 8 claws × 3 intervals in 3 pens; 95 % limits of each animal against the mean of the others.
    const animals = 10;
    const rows = animals * 24;
    const index = (f: (i: number) => number): Int32Array => Int32Array.from({ length: rows }, (_, i) => f(i));
    const animal = index((i) => Math.floor(i / 24));
    const slope = [Float64Array.from({ length: rows }, (_, i) => 1 + 0.5 * (Math.floor(i / 8) % 3))];
    const input: Omit<LinearMixedInput, "outcome"> = {
      fixed: { names: ["days"], columns: slope },
      random: [
        { name: "animal", levels: animals, membership: animal, effects: slope },
        {
          name: "claw",
          levels: animals * 8,
          membership: index((i) => Math.floor(i / 24) * 8 + (i % 8)),
          effects: slope,
        },
        {
          name: "interval",
          levels: animals * 3,
          membership: index((i) => Math.floor(i / 8)),
          effects: slope,
        },
        { name: "pen", levels: 3, membership: index((i) => Math.floor(i / 24) % 3), effects: slope },
      ],
    };
    const truth = { fixedEffects: [4], sigmaSquared: 0.3, factors: [[0.4], [0.15], [0.3], [0.2]] };
    const against = Array.from(
      { length: animals },
      (_, a): LinearCombination => ({
        random: Array.from({ length: animals }, (_, b) => ({
          term: 0,
          level: b,
          weight: a === b ? 1 : -1 / (animals - 1),
        })),
      }),
    );
    const random = new Random(20);
    let held = 0;
    let asked = 0;
    for (let flock = 0; flock < 24; flock++) {
      const { outcome, effects } = simulateOutcome(input, truth, random.substream(flock));
      const fit = fitLinearMixedModel({ ...input, outcome });
      if ("trouble" in fit) throw new Error(fit.detail);
      const found = averaged(fit, against, 60, flock);
      const total = effects[0]!.reduce((a, b) => a + b, 0);
      for (let a = 0; a < animals; a++) {
        const own = effects[0]![a]!;
        const below = mixtureCumulative(averagedMixture(found, a), own - (total - own) / (animals - 1));
        asked++;
        if (below > 0.025 && below < 0.975) held++;
      }
    }
    expect(held / asked).toBeGreaterThan(0.905);
    expect(held / asked).toBeLessThan(0.985);
  });
});
