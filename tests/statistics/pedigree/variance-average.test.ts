import { describe, expect, it } from "vitest";
import { normalCumulative } from "../../../src/statistics/distributions/normal.ts";
import { averageOverVariances } from "../../../src/statistics/pedigree/average-over-variances.ts";
import {
  averagedBreedingValues,
  averagedCombinations,
} from "../../../src/statistics/pedigree/averaged-breeding-values.ts";
import { breedingCombinations } from "../../../src/statistics/pedigree/breeding-combinations.ts";
import {
  restrictedLogLikelihood,
  solveEquations,
} from "../../../src/statistics/pedigree/restricted-likelihood.ts";
import { indexDesign } from "../../../src/statistics/pedigree/sparse-design.ts";
import { Random } from "../../../src/statistics/random.ts";
import { checkedPedigree } from "./reference-flocks.ts";
import { fitOf, modelOf, sim160Input, sim300Input } from "./reference-models.ts";

/** Twelve animals of two sires with three records each: small enough that the variances are uncertain. */
function smallFlock() {
  const random = new Random(3);
  const sire = Array.from({ length: 14 }, (_, i) => (i < 2 ? -1 : i % 2));
  const animal = Array.from({ length: 36 }, (_, r) => 2 + (r % 12));
  const value = sire.map((s) => (s < 0 ? 0 : 1.5 * s) + random.normal());
  return modelOf({
    y: animal.map((a) => 20 + value[a] + random.normal()),
    fixed: [animal.map(() => 1)],
    pedigree: checkedPedigree(sire, new Array(14).fill(-1)),
    animal: indexDesign(animal, 14),
  });
}

describe("averageOverVariances", () => {
  it("agrees with the integral over both standard deviations done by brute force", () => {
    const model = smallFlock();
    const fit = fitOf(model);
    const average = averageOverVariances(model, fit.variances, { seed: 1 });
    if (average === undefined) throw new Error("no average");
    const sum = { animals: [1, 0], weights: [1, -1] };
    const [got] = averagedCombinations(model, average, [sum]);
    let total = 0;
    let mean = 0;
    let above = 0;
    let square = 0;
    const top = fit.logLikelihood;
    for (let a = 0.01; a < 8; a += 0.08) {
      for (let e = 0.5; e < 2.2; e += 0.03) {
        const solution = solveEquations(model.gaussian, Float64Array.of(a / e));
        if (solution === undefined) throw new Error("not solved");
        const weight = Math.exp(restrictedLogLikelihood(model.gaussian, solution, e * e) - top);
        if (weight < 1e-7) continue;
        const { estimate, covariance } = breedingCombinations(model, Float64Array.of(a * a, e * e), [sum]);
        total += weight;
        mean += weight * estimate[0];
        square += weight * (estimate[0] ** 2 + covariance.values[0]);
        above += weight * normalCumulative(estimate[0] / Math.sqrt(covariance.values[0]));
      }
    }
    expect(average.method).toBe("grid");
    expect(got.estimate).toBeCloseTo(mean / total, 2);
    expect(got.standardError / Math.sqrt(square / total - (mean / total) ** 2)).toBeCloseTo(1, 1.5);
    expect(got.probabilityAbove).toBeCloseTo(above / total, 2);
  });

  it("takes draws for more than three terms, the same for the same seed", () => {
    const input = sim160Input();
    const random = new Random(8);
    const pen = indexDesign(
      Array.from(input.y, () => random.integer(12)),
      12,
    );
    const model = modelOf({ ...input, others: [...(input.others ?? []), { name: "pen", design: pen }] });
    const { variances } = fitOf(model);
    const average = averageOverVariances(model, variances, { seed: 4 });
    expect(average).toMatchObject({ method: "draws" });
    expect(average?.points.length).toBeLessThanOrEqual(200);
    expect(average?.effectiveSize).toBeGreaterThan(40);
    const weights = (again = average) => again?.points.map((p) => [p.weight, ...p.ratios]);
    expect(weights(averageOverVariances(model, variances, { seed: 4 }))).toEqual(weights());
  });

  it("plugs the fitted variances in where an average would cost too much", () => {
    const model = modelOf(sim300Input());
    const { variances } = fitOf(model);
    const average = averageOverVariances(model, variances, { seed: 1, mostOperations: 1 });
    if (average === undefined) throw new Error("no average");
    expect(average).toMatchObject({ method: "plug-in", effectiveSize: 1 });
    expect(average.points[0].ratios[0] ** 2).toBeCloseTo(variances[0] / variances[2], 10);
  });

  it("widens what plugging in gives, and keeps a variance that fits to zero in the intervals", () => {
    const model = smallFlock();
    const { variances } = fitOf(model);
    const average = averageOverVariances(model, variances, { seed: 1 });
    if (average === undefined) throw new Error("no average");
    const { errorVariance } = averagedBreedingValues(model, average, [2, 3, 4]);
    expect(errorVariance.every((v) => v > 0)).toBe(true);
    const noise = modelOf({
      y: Array.from({ length: 24 }, (_, r) => [0.3, -0.4, 0.2, -0.1][r % 4] + [0.1, -0.1][(r >> 2) % 2]),
      fixed: [new Array(24).fill(1)],
      pedigree: checkedPedigree([-1, -1, 0, 0, 1, 1], new Array(6).fill(-1)),
      animal: indexDesign(
        Array.from({ length: 24 }, (_, r) => 2 + ((r >> 2) % 4)),
        6,
      ),
    });
    const zero = fitOf(noise);
    expect(zero.verdict).toBe("singular");
    expect(zero.variances[0]).toBe(0);
    const kept = averageOverVariances(noise, zero.variances, { seed: 1 });
    if (kept === undefined) throw new Error("no average");
    const [difference] = averagedCombinations(noise, kept, [{ animals: [2, 4], weights: [1, -1] }]);
    expect(difference.standardError).toBeGreaterThan(0);
    expect(difference.hi - difference.lo).toBeGreaterThan(0);
  });
});
