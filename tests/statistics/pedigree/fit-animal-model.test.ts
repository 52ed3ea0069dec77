import { describe, expect, it } from "vitest";
import { animalModel } from "../../../src/statistics/pedigree/animal-model.ts";
import { breedingValues } from "../../../src/statistics/pedigree/breeding-values.ts";
import { fitAnimalModel } from "../../../src/statistics/pedigree/fit-animal-model.ts";
import {
  information,
  restrictedLogLikelihood,
  solveEquations,
} from "../../../src/statistics/pedigree/restricted-likelihood.ts";
import { indexDesign } from "../../../src/statistics/pedigree/sparse-design.ts";
import { Random } from "../../../src/statistics/random.ts";
import {
  checkedPedigree,
  largestDifference,
  referenceCase,
  referenceFlock,
  zeroBased,
} from "./reference-flocks.ts";
import { fitOf, modelOf, sim160Input, sim300Input } from "./reference-models.ts";

interface RemlResults {
  readonly varcomp: Record<string, number>;
  readonly varcomp_se_average_info: Record<string, number>;
  readonly reml_logLik: number;
  readonly fixed: Record<string, number>;
  readonly fixed_se: Record<string, number>;
  readonly blup_animal: number[];
  readonly pev_animal: number[];
  readonly reliability: number[];
}

const cases = [
  { id: "sim300_reml", input: sim300Input, order: ["animal", "herd", "residual"] },
  { id: "sim160_repeatability_reml", input: sim160Input, order: ["animal", "herd", "pe", "residual"] },
];

describe("fitAnimalModel", () => {
  it.each(cases)("agrees with the dense reference on $id", ({ id, input, order }) => {
    const want = referenceCase<RemlResults>(id);
    const model = modelOf(input());
    const fit = fitOf(model);
    expect(fit.verdict).toBe("converged");
    expect(
      largestDifference(
        fit.variances,
        order.map((name) => want.varcomp[name]),
      ),
    ).toBeLessThan(1e-6);
    expect(Math.abs(fit.logLikelihood - want.reml_logLik)).toBeLessThan(1e-6);
    const errors = order.map((_, k) => Math.sqrt(fit.varianceCovariance.values[k * (order.length + 1)]));
    expect(
      largestDifference(
        errors,
        order.map((name) => want.varcomp_se_average_info[name]),
      ),
    ).toBeLessThan(1e-5);
    expect(
      largestDifference(
        fit.fixed.map((f) => f.estimate),
        Object.values(want.fixed),
      ),
    ).toBeLessThan(1e-6);
    expect(
      largestDifference(
        fit.fixed.map((f) => f.standardError),
        Object.values(want.fixed_se),
      ),
    ).toBeLessThan(1e-6);
    const { value, errorVariance, reliability } = breedingValues(model, fit.variances);
    expect(largestDifference(value, want.blup_animal)).toBeLessThan(1e-6);
    expect(largestDifference(errorVariance, want.pev_animal)).toBeLessThan(1e-6);
    expect(largestDifference(reliability, want.reliability)).toBeLessThan(1e-6);
  });

  it("finds the same from a far start", () => {
    const model = modelOf(sim300Input());
    const near = fitOf(model);
    const far = fitAnimalModel(model, Float64Array.of(0.01, 40, 1));
    if ("trouble" in far) throw new Error(far.detail);
    expect(largestDifference(far.variances, near.variances)).toBeLessThan(1e-6);
  });

  it("with unrelated sires is the sire model of lme4", () => {
    const { results } = {
      results: referenceCase<{
        varcomp: Record<string, number>;
        logLik: number;
        fixed: Record<string, number>;
      }>("sim300_sire_model_unrelated"),
    };
    const { pedigree, records } = referenceFlock("sim300");
    const rows = records.animal.map((_, r) => r).filter((r) => pedigree.sire[records.animal[r] - 1] > 0);
    const pick = (column: number[]) => rows.map((r) => column[r]);
    const sireOf = rows.map((r) => pedigree.sire[records.animal[r] - 1] - 1);
    // lme4 knows only the sires that have records; the others would not change the likelihood.
    const unrelated = checkedPedigree(new Array(300).fill(-1), new Array(300).fill(-1));
    const fit = fitOf(
      modelOf({
        y: pick(records.y),
        fixed: [rows.map(() => 1), pick(records.sex)],
        pedigree: unrelated,
        animal: indexDesign(sireOf, 300),
        others: [{ name: "herd", design: indexDesign(zeroBased(pick(records.herd)), 8) }],
      }),
    );
    const want = [results.varcomp.sire, results.varcomp.herd, results.varcomp.Residual];
    expect(largestDifference(fit.variances, want)).toBeLessThan(1e-5);
    expect(Math.abs(fit.logLikelihood - results.logLik)).toBeLessThan(1e-6);
    expect(
      largestDifference(
        fit.fixed.map((f) => f.estimate),
        Object.values(results.fixed),
      ),
    ).toBeLessThan(1e-5);
  });

  it("reports a variance without any signal as zero, and the model as singular", () => {
    const input = sim300Input();
    const random = new Random(5);
    // Levels balanced within the residuals of nothing: a shuffled index carries no variance on average.
    const shuffled = Array.from(input.y, () => random.integer(30));
    const fits = [0, 1, 2, 3].map((shift) =>
      fitOf(
        modelOf({
          ...input,
          others: [
            ...(input.others ?? []),
            {
              name: "shuffled",
              design: indexDesign(
                shuffled.map((s, r) => (s + shift * (r % 7)) % 30),
                30,
              ),
            },
          ],
        }),
      ),
    );
    const singular = fits.filter((fit) => fit.variances[2] === 0);
    expect(singular.length).toBeGreaterThan(0);
    const plain = fitOf(modelOf(input));
    for (const fit of singular) {
      expect(fit.verdict).toBe("singular");
      expect(Math.abs(fit.logLikelihood - plain.logLikelihood)).toBeLessThan(1e-6);
    }
    for (const fit of fits) expect(fit.logLikelihood).toBeGreaterThan(plain.logLikelihood - 1e-6);
  });

  it("calls one record an animal without relatives flat: genetic and residual variance are one", () => {
    const random = new Random(11);
    const none = new Array(40).fill(-1);
    const model = modelOf({
      y: none.map(() => random.normal()),
      fixed: [none.map(() => 1)],
      pedigree: checkedPedigree(none, none),
      animal: indexDesign(
        none.map((_, i) => i),
        40,
      ),
    });
    expect(fitAnimalModel(model)).toMatchObject({ verdict: "flat", trouble: "not_identified" });
  });

  it("has scores that are the slopes of the likelihood", () => {
    const { gaussian } = modelOf(sim160Input());
    const at = Float64Array.of(3, 2, 4, 5);
    const logLikelihoodAt = (variances: Float64Array) => {
      const solution = solveEquations(
        gaussian,
        variances.subarray(0, 3).map((v) => Math.sqrt(v / variances[3])),
      );
      if (solution === undefined) throw new Error("not solved");
      return { solution, value: restrictedLogLikelihood(gaussian, solution, variances[3]) };
    };
    const { score } = information(gaussian, logLikelihoodAt(at).solution, at[3]);
    score.forEach((slope, k) => {
      const shifted = (h: number) => logLikelihoodAt(at.map((v, j) => (j === k ? v + h : v))).value;
      expect(slope).toBeCloseTo((shifted(1e-4) - shifted(-1e-4)) / 2e-4, 5);
    });
  });

  it("does not depend on the order of the animals", () => {
    const input = sim300Input();
    const { pedigree, records } = referenceFlock("sim300");
    const size = pedigree.id.length;
    const moved = Array.from({ length: size }, (_, i) => (i * 127 + 31) % size);
    const sire = new Array<number>(size);
    const dam = new Array<number>(size);
    moved.forEach((to, from) => {
      sire[to] = pedigree.sire[from] > 0 ? moved[pedigree.sire[from] - 1] : -1;
      dam[to] = pedigree.dam[from] > 0 ? moved[pedigree.dam[from] - 1] : -1;
    });
    const animal = indexDesign(
      records.animal.map((a) => moved[a - 1]),
      size,
    );
    const model = modelOf({ ...input, pedigree: checkedPedigree(sire, dam), animal });
    const plain = modelOf(input);
    const variances = fitOf(plain).variances;
    const got = breedingValues(model, variances);
    const want = breedingValues(plain, variances);
    expect(
      largestDifference(
        moved.map((to) => got.value[to]),
        want.value,
      ),
    ).toBeLessThan(1e-10);
    expect(
      largestDifference(
        moved.map((to) => got.errorVariance[to]),
        want.errorVariance,
      ),
    ).toBeLessThan(1e-10);
  });

  it("takes prior weights as repeated records do", () => {
    const input = sim300Input();
    const twice = [...Array(260).keys()].filter((r) => r % 3 === 0);
    const repeated = [...Array(input.y.length).keys(), ...twice];
    const { records } = referenceFlock("sim300");
    const animals = zeroBased(records.animal);
    const herds = zeroBased(records.herd);
    const at = (column: ArrayLike<number>) => repeated.map((r) => column[r]);
    const whole = modelOf({
      ...input,
      y: at(input.y),
      fixed: input.fixed.map(at),
      animal: indexDesign(at(animals), 300),
      others: [{ name: "herd", design: indexDesign(at(herds), 8) }],
    });
    const weights = Array.from(input.y, (_, r) => (twice.includes(r) ? 2 : 1));
    const weighted = modelOf({ ...input, weights });
    const variances = Float64Array.of(4, 1, 8);
    const got = breedingValues(weighted, variances);
    const want = breedingValues(whole, variances);
    expect(largestDifference(got.value, want.value)).toBeLessThan(1e-10);
    expect(largestDifference(got.errorVariance, want.errorVariance)).toBeLessThan(1e-10);
  });
});

describe("animalModel", () => {
  it("names what rules the data out", () => {
    const input = sim300Input();
    const count = input.y.length;
    const constant = new Array<number>(count).fill(1);
    expect(animalModel({ ...input, fixed: [...input.fixed, constant] })).toMatchObject({
      trouble: "rank_deficient",
    });
    expect(animalModel({ ...input, y: new Array(count).fill(3) })).toMatchObject({
      trouble: "constant_outcome",
    });
    expect(animalModel({ ...input, y: new Array(count).fill(Number.NaN) })).toMatchObject({
      trouble: "invalid_input",
    });
    expect(animalModel({ ...input, y: [] })).toMatchObject({ trouble: "no_rows" });
    expect(animalModel({ ...input, weights: new Array(count).fill(0) })).toMatchObject({
      trouble: "invalid_input",
    });
    const lone = [{ name: "pen", design: indexDesign(new Array(count).fill(0), 1) }];
    expect(animalModel({ ...input, others: lone })).toMatchObject({ trouble: "too_few_groups" });
  });
});
