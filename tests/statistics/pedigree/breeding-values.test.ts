import { describe, expect, it } from "vitest";
import type { AnimalModel } from "../../../src/statistics/pedigree/animal-model.ts";
import {
  breedingCombinations,
  linesAgainstOthers,
} from "../../../src/statistics/pedigree/breeding-combinations.ts";
import { breedingValues, solvedAt } from "../../../src/statistics/pedigree/breeding-values.ts";
import { fixedEffects } from "../../../src/statistics/pedigree/fit-animal-model.ts";
import { relationshipMatrix } from "../../../src/statistics/pedigree/relationship.ts";
import { indexDesign } from "../../../src/statistics/pedigree/sparse-design.ts";
import {
  largestDifference,
  referenceCase,
  referenceFlock,
  referencePedigree,
  zeroBased,
} from "./reference-flocks.ts";
import { modelOf, sim300Input } from "./reference-models.ts";

/** Mrode (2014), Linear Models for the Prediction of Animal Breeding Values, 3rd ed., example 3.1. */
function preWeaningGain(): AnimalModel {
  const records = referenceFlock("mrode31").records as unknown as {
    animal: number[];
    sex: string[];
    y: number[];
  };
  const flock = referencePedigree("mrode31");
  return modelOf({
    y: records.y,
    fixed: ["male", "female"].map((sex) => records.sex.map((s) => Number(s === sex))),
    pedigree: flock,
    animal: indexDesign(zeroBased(records.animal), flock.size),
  });
}

describe("breedingValues", () => {
  it("gives Mrode (2014), example 3.1: values, reliabilities, accuracies, errors of prediction", () => {
    const model = preWeaningGain();
    const variances = Float64Array.of(20, 40);
    const { value, errorVariance, reliability } = breedingValues(model, variances);
    const { solution, residual } = solvedAt(model, variances);
    const sex = fixedEffects(model, solution, residual).map((f) => f.estimate);
    const printed = [4.358, 3.404, 0.098, -0.019, -0.041, -0.009, -0.186, 0.177, -0.249, 0.183];
    [...sex, ...value].forEach((got, k) => {
      expect(Math.abs(got - printed[k])).toBeLessThan(1e-3);
    });
    const want = referenceCase<{
      blup: number[];
      pev: number[];
      reliability: number[];
      accuracy: number[];
      sep: number[];
      sex_se: number[];
    }>("mrode_3_1_blup");
    expect(largestDifference(value, want.blup)).toBeLessThan(1e-10);
    expect(largestDifference(errorVariance, want.pev)).toBeLessThan(1e-10);
    expect(largestDifference(reliability, want.reliability)).toBeLessThan(1e-10);
    expect(largestDifference(reliability.map(Math.sqrt), want.accuracy)).toBeLessThan(1e-10);
    expect(largestDifference(errorVariance.map(Math.sqrt), want.sep)).toBeLessThan(1e-10);
    const errors = fixedEffects(model, solution, residual).map((f) => f.standardError);
    expect(largestDifference(errors, want.sex_se)).toBeLessThan(1e-10);
  });

  it("gives Mrode (2014), example 4.1 (from memory), with a permanent effect", () => {
    const { records } = referenceFlock("mrode41");
    const flock = referencePedigree("mrode41");
    const animal = zeroBased(records.animal);
    const is = (column: number[], level: number) => column.map((x) => Number(x === level));
    const model = modelOf({
      y: records.y,
      fixed: [is(records.parity, 1), is(records.parity, 2), is(records.hys, 2), is(records.hys, 4)],
      pedigree: flock,
      animal: indexDesign(animal, flock.size),
      others: [
        {
          name: "permanent",
          design: indexDesign(
            animal.map((a) => a - 3),
            5,
          ),
        },
      ],
    });
    const variances = Float64Array.of(20, 12, 28);
    const want = referenceCase<{
      fixed: Record<string, number>;
      blup: number[];
      pe_cows_4_8: number[];
      pev: number[];
      reliability: number[];
    }>("mrode_4_1_repeatability");
    const { value, errorVariance, reliability } = breedingValues(model, variances);
    expect(largestDifference(value, want.blup)).toBeLessThan(1e-10);
    expect(largestDifference(errorVariance, want.pev)).toBeLessThan(1e-10);
    expect(largestDifference(reliability, want.reliability)).toBeLessThan(1e-10);
    const { solution, residual } = solvedAt(model, variances);
    expect(
      largestDifference(
        fixedEffects(model, solution, residual).map((f) => f.estimate),
        Object.values(want.fixed),
      ),
    ).toBeLessThan(1e-10);
    const { termStart } = model.equations;
    const permanent = solution.standardized
      .slice(termStart[1], termStart[2])
      .map((v) => v * solution.ratios[1]);
    expect(largestDifference(permanent, want.pe_cows_4_8)).toBeLessThan(1e-10);
  });

  it("agrees with the dense reference at fixed variances", () => {
    const model = modelOf({ ...sim300Input(), others: [] });
    const want = referenceCase<{ blup: number[]; pev: number[] }>("sim300_blup_fixed_variances");
    const { value, errorVariance } = breedingValues(model, Float64Array.of(3, 7));
    expect(largestDifference(value, want.blup)).toBeLessThan(1e-10);
    expect(largestDifference(errorVariance, want.pev)).toBeLessThan(1e-10);
  });

  it("against a base of animals gives the contrasts with their mean", () => {
    const model = modelOf(sim300Input());
    const variances = Float64Array.of(4, 1, 8);
    const base = [10, 60, 200, 299];
    const against = breedingValues(model, variances, base);
    const animals = [0, 60, 150, 299];
    const sums = animals.map((animal) => ({
      animals: [animal, ...base],
      weights: [1, ...base.map(() => -1 / base.length)],
    }));
    const { estimate, covariance } = breedingCombinations(model, variances, sums);
    const a = relationshipMatrix(model.pedigree, model.kin);
    animals.forEach((animal, k) => {
      expect(against.value[animal]).toBeCloseTo(estimate[k], 10);
      const pev = covariance.values[k * 5];
      expect(against.errorVariance[animal]).toBeCloseTo(pev, 10);
      let prior = 0;
      const { animals: members, weights } = sums[k];
      members.forEach((i, s) => {
        members.forEach((j, t) => {
          prior += 4 * weights[s] * weights[t] * a[i * 300 + j];
        });
      });
      expect(against.reliability[animal]).toBeCloseTo(1 - pev / prior, 10);
    });
  });

  it("clips reliability at zero and calls it zero without genetic variance", () => {
    const model = modelOf(sim300Input());
    const { value, reliability } = breedingValues(model, Float64Array.of(0, 1, 8));
    expect(value.every((v) => v === 0)).toBe(true);
    expect(reliability.every((r) => r === 0)).toBe(true);
  });

  it("refuses variances that cannot be", () => {
    const model = modelOf(sim300Input());
    expect(() => breedingValues(model, Float64Array.of(1, 1, 0))).toThrow(RangeError);
    expect(() => breedingValues(model, Float64Array.of(1, 1))).toThrow(RangeError);
    expect(() => breedingValues(model, Float64Array.of(Number.NaN, 1, 1))).toThrow(RangeError);
  });
});

describe("linesAgainstOthers", () => {
  it("weighs a line against the mean of the other lines' means", () => {
    const [first] = linesAgainstOthers([[0, 1], [2], [3, 4, 5, 6]]);
    expect(Array.from(first.animals)).toEqual([0, 1, 2, 3, 4, 5, 6]);
    expect(Array.from(first.weights)).toEqual([0.5, 0.5, -0.5, -0.125, -0.125, -0.125, -0.125]);
    expect(() => linesAgainstOthers([[0]])).toThrow(RangeError);
    expect(() => linesAgainstOthers([[0], []])).toThrow(RangeError);
  });
});
