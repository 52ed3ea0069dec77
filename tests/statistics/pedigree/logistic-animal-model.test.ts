import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { animalModel } from "../../../src/statistics/pedigree/animal-model.ts";
import {
  averagedBreedingValues,
  averagedCombinations,
} from "../../../src/statistics/pedigree/averaged-breeding-values.ts";
import { linesAgainstOthers } from "../../../src/statistics/pedigree/breeding-combinations.ts";
import { breedingValues } from "../../../src/statistics/pedigree/breeding-values.ts";
import {
  type FittedLogisticAnimalModel,
  fitLogisticAnimalModel,
} from "../../../src/statistics/pedigree/fit-logistic-animal-model.ts";
import { liabilityBootstrap } from "../../../src/statistics/pedigree/liability-bootstrap.ts";
import {
  averageOverLiabilityVariances,
  liabilityValues,
} from "../../../src/statistics/pedigree/liability-values.ts";
import {
  liabilityHeritability,
  liabilityVariance,
} from "../../../src/statistics/pedigree/liability-variance.ts";
import {
  type LogisticAnimalModel,
  type LogisticAnimalModelInput,
  logisticAnimalModel,
} from "../../../src/statistics/pedigree/logistic-animal-model.ts";
import { laplaceAt, laplaceGradient } from "../../../src/statistics/pedigree/logistic-laplace.ts";
import { indexDesign } from "../../../src/statistics/pedigree/sparse-design.ts";
import { linesAsGroups } from "../../../src/statistics/pedigree/unknown-parent-groups.ts";
import { Random } from "../../../src/statistics/random.ts";
import {
  checkedPedigree,
  largestDifference,
  referenceFlock,
  referencePedigree,
  zeroBased,
} from "./reference-flocks.ts";

interface MixedReference {
  readonly data: Record<string, { readonly columns: Record<string, number[]> }>;
  readonly cases: Record<
    string,
    {
      readonly results: {
        fixef: Record<string, number>;
        theta: Record<string, number>;
        logLik: number;
        ranef: Record<string, { value: number[] }>;
      };
    }
  >;
}

function modelOf(input: LogisticAnimalModelInput): LogisticAnimalModel {
  const model = logisticAnimalModel(input);
  if ("verdict" in model) throw new Error(`${model.trouble}: ${model.detail}`);
  return model;
}

/** Records on the pedigree of sim160: a logit liability with a genetic part, a sex effect and no more. */
function liabilityInput(): LogisticAnimalModelInput {
  const { pedigree, records } = referenceFlock("sim160");
  const size = pedigree.id.length;
  const random = new Random(21);
  const value = new Float64Array(size);
  for (let i = 0; i < size; i++) {
    const parents = [pedigree.sire[i], pedigree.dam[i]].filter((p) => p > 0);
    value[i] =
      parents.reduce((sum, p) => sum + value[p - 1] / 2, 0) +
      Math.sqrt(1.5 - 0.375 * parents.length) * random.normal();
  }
  const animal = zeroBased(records.animal);
  const chance = (a: number, r: number) => 1 / (1 + Math.exp(0.8 - value[a] - 0.4 * records.sex[r]));
  return {
    successes: animal.map((a, r) => Number(random.bernoulli(chance(a, r)))),
    fixed: [animal.map(() => 1), records.sex],
    pedigree: referencePedigree("sim160"),
    animal: indexDesign(animal, size),
    groups: linesAsGroups(
      Array.from({ length: size }, (_, i) => i % 5),
      5,
    ),
    others: [{ name: "herd", design: indexDesign(zeroBased(records.herd), 8) }],
  };
}

describe("laplaceAt", () => {
  it("gives lme4's Laplace log-likelihood and modes at its estimates when the fixed part is an offset", () => {
    const file = JSON.parse(
      readFileSync(new URL("../../reference/generalized-mixed-models.json", import.meta.url), "utf8"),
    ) as MixedReference;
    const { results } = file.cases.cbpp_nagq1;
    const { columns } = file.data.cbpp;
    const [intercept, ...periods] = Object.values(results.fixef);
    const firstPeriod = Math.min(...columns.period);
    const firstHerd = Math.min(...columns.herd);
    const herds = 15;
    const none = new Array(herds).fill(-1);
    const model = modelOf({
      successes: columns.incidence,
      trials: columns.size,
      offset: columns.period.map((p) => intercept + (periods[p - firstPeriod - 1] ?? 0)),
      fixed: [],
      pedigree: checkedPedigree(none, none),
      animal: indexDesign(
        columns.herd.map((h) => h - firstHerd),
        herds,
      ),
    });
    const point = laplaceAt(model.data, Float64Array.of(Object.values(results.theta)[0]));
    if (point === undefined) throw new Error("no mode");
    expect(point.logLikelihood).toBeCloseTo(results.logLik, 6);
    const modes = point.standardized.map((v) => v * point.standardDeviations[0]);
    expect(largestDifference(modes, results.ranef.herd.value)).toBeLessThan(1e-5);
  });

  it("has the slope of its own value, the movement of the mode included", () => {
    const { data } = modelOf(liabilityInput());
    const at = Float64Array.of(0.9, 0.5, 0.4);
    const valueAt = (sds: Float64Array) => {
      const point = laplaceAt(data, sds);
      if (point === undefined) throw new Error("no mode");
      return point;
    };
    const slope = laplaceGradient(data, valueAt(at));
    slope.forEach((got, k) => {
      const shifted = (h: number) => valueAt(at.map((s, j) => (j === k ? s + h : s))).logLikelihood;
      expect(got).toBeCloseTo((shifted(1e-4) - shifted(-1e-4)) / 2e-4, 5);
    });
  });
});

describe("fitLogisticAnimalModel", () => {
  it("climbs to a place where the likelihood is flat and lower all around", () => {
    const model = modelOf(liabilityInput());
    const fit = fitted(model);
    expect(fit.search.largestGradient).toBeLessThan(1e-2);
    const at = fit.variances.map(Math.sqrt);
    for (let k = 0; k < 3; k++) {
      for (const step of [-0.05, 0.05]) {
        const moved = laplaceAt(
          model.data,
          at.map((s, j) => (j === k ? Math.max(0, s + step) : s)),
        );
        expect(moved?.logLikelihood).toBeLessThanOrEqual(fit.logLikelihood + 1e-9);
      }
    }
  });

  it("ties the variance of fewer than four lines to the additive one", () => {
    const input = liabilityInput();
    const three = linesAsGroups(
      Array.from({ length: 160 }, (_, i) => i % 3),
      3,
    );
    const { variances } = fitted(modelOf({ ...input, groups: three }));
    expect(variances[1]).toBeCloseTo(variances[0] / 4, 12);
  });

  it("does not depend on where it starts", () => {
    const model = modelOf(liabilityInput());
    const far = fitLogisticAnimalModel(model, Float64Array.of(2, 0.05, 1));
    if ("trouble" in far) throw new Error(far.detail);
    expect(largestDifference(far.variances, fitted(model).variances)).toBeLessThan(1e-3);
    expect(far.logLikelihood).toBeCloseTo(fitted(model).logLikelihood, 5);
  });

  it("says so when a fixed effect separates the outcomes, or there are none", () => {
    const input = liabilityInput();
    const separated = fitLogisticAnimalModel(
      modelOf({ ...input, fixed: [input.fixed[0], Array.from(input.successes, (y) => 2 * y - 1)] }),
    );
    expect(separated.verdict).toBe("failed");
    const none = { ...input, successes: new Array(input.successes.length).fill(0) };
    expect(logisticAnimalModel(none)).toMatchObject({ trouble: "no_events" });
    const all = { ...input, successes: new Array(input.successes.length).fill(1) };
    expect(logisticAnimalModel(all)).toMatchObject({ trouble: "constant_outcome" });
    const beyond = { ...input, successes: new Array(input.successes.length).fill(2) };
    expect(logisticAnimalModel(beyond)).toMatchObject({ trouble: "invalid_input" });
  });
});

describe("liability values", () => {
  it("are those of a Gaussian model on the working outcome at the mode", () => {
    // At the mode, penalized quasi-likelihood (Breslow & Clayton 1993): z = eta + (y - mu)/w, weights w, ve = 1.
    const input = liabilityInput();
    const model = modelOf(input);
    const variances = Float64Array.of(0.8, 0.2, 0.1);
    const got = liabilityValues(model, variances);
    const point = laplaceAt(model.data, variances.map(Math.sqrt));
    if (point === undefined) throw new Error("no mode");
    const eta = point.means.map((mean) => Math.log(mean / (1 - mean)));
    const working = eta.map((e, r) => e + (input.successes[r] - point.means[r]) / point.weights[r]);
    const gaussian = animalModel({ ...input, y: working, weights: point.weights });
    if ("verdict" in gaussian) throw new Error(gaussian.detail);
    const want = breedingValues(gaussian, Float64Array.of(...variances, 1));
    expect(largestDifference(got.value, want.value)).toBeLessThan(1e-6);
    expect(largestDifference(got.errorVariance, want.errorVariance)).toBeLessThan(1e-8);
    expect(largestDifference(got.reliability, want.reliability)).toBeLessThan(1e-8);
  });

  it("average over the variances, wider than plugging them in", () => {
    const model = modelOf({ ...liabilityInput(), others: [] });
    const fit = fitted(model);
    const average = averageOverLiabilityVariances(model, fit, fit.variances, { seed: 2 });
    const sums = linesAgainstOthers(
      [0, 1, 2, 3, 4].map((line) => Array.from({ length: 32 }, (_, i) => 5 * i + line)),
    );
    const averaged = averagedCombinations(model, average, sums);
    expect(average.method).toBe("grid");
    const unused = averageOverLiabilityVariances(model, fit, fit.variances, { seed: 2, mostOperations: 1 });
    expect(unused.method).toBe("plug-in");
    averagedCombinations(model, unused, sums).forEach((plain, line) => {
      expect(averaged[line].standardError).toBeGreaterThan(plain.standardError);
      expect(Math.sign(averaged[line].probabilityAbove - 0.5)).toBe(Math.sign(averaged[line].estimate));
    });
    const values = averagedBreedingValues(model, average, null);
    expect(values.value.every((value, i) => values.lo[i] < value && value < values.hi[i])).toBe(true);
  });
});

describe("liabilityVariance", () => {
  const model = modelOf({ ...liabilityInput(), others: [] });
  const fit = fitted(model);

  it("moves estimate and limits by as much as refits of simulated flocks miss theirs", () => {
    const bootstrap = { mean: fit.variances.map((v) => 0.8 * v), simulationError: fit.variances, failed: 0 };
    const plain = liabilityVariance(model, fit, undefined);
    const moved = liabilityVariance(model, fit, bootstrap);
    expect(plain.estimate).toBe(fit.variances[0]);
    for (const figure of ["estimate", "lo", "hi"] as const) {
      expect(moved[figure]).toBeCloseTo(1.2 * plain[figure], 9);
    }
  });

  it("finds the mean of refits closer with slopes than without", () => {
    const sharpened = liabilityBootstrap(model, fit, { seed: 3, refits: 8, slopes: 40 })!;
    const alone = liabilityBootstrap(model, fit, { seed: 3, refits: 8, slopes: 8 })!;
    const many = liabilityBootstrap(model, fit, { seed: 4, refits: 40, slopes: 40 })!;
    expect(sharpened.simulationError[0]).toBeLessThan(0.75 * alone.simulationError[0]);
    const apart = Math.hypot(sharpened.simulationError[0], many.simulationError[0]);
    expect(Math.abs(sharpened.mean[0] - many.mean[0])).toBeLessThan(3 * apart);
  });

  it("has limits at which the profile likelihood is down by the chi-square quantile", () => {
    const { lo, hi } = liabilityVariance(model, fit, undefined);
    for (const limit of [lo, hi]) {
      // Over the other standard deviation by search on a line: another route to the profile.
      let best = Number.NEGATIVE_INFINITY;
      for (let sd = 0; sd < 2.5; sd += 0.02) {
        const point = laplaceAt(model.data, Float64Array.of(Math.sqrt(limit), sd));
        best = Math.max(best, point?.logLikelihood ?? Number.NEGATIVE_INFINITY);
      }
      // Chi-square with 1 degree of freedom: 95 % quantile 3.841459.
      expect(fit.logLikelihood - best).toBeCloseTo(3.841459 / 2, 2);
    }
    const additive = { fitted: 1, estimate: 2, lo: 0, hi: Number.POSITIVE_INFINITY };
    const share = liabilityHeritability(fit, undefined, additive);
    // The logistic distribution has variance pi^2 / 3.
    expect(share.estimate).toBeCloseTo(2 / (2 + fit.variances[1] + Math.PI ** 2 / 3), 12);
    expect([share.lo, share.hi]).toEqual([0, 1]);
  });

  it("gives a variance that fits to zero an interval from zero to above zero", () => {
    const input = liabilityInput();
    const random = new Random(2);
    const fits = [0, 1, 2, 3].map(() => {
      const successes = Array.from(input.successes, () => Number(random.bernoulli(0.3)));
      const chance = modelOf({ ...input, successes, others: [] });
      return { chance, fit: fitted(chance) };
    });
    const empty = fits.find((f) => f.fit.variances[0] === 0);
    if (empty === undefined) throw new Error("no outcome by chance alone fits to zero");
    expect(empty.fit.verdict).toBe("singular");
    const { estimate, lo, hi } = liabilityVariance(empty.chance, empty.fit, undefined);
    expect([estimate, lo]).toEqual([0, 0]);
    expect(hi).toBeGreaterThan(0.01);
    expect(hi).toBeLessThan(5);
  });
});

function fitted(model: LogisticAnimalModel): FittedLogisticAnimalModel {
  const fit = fitLogisticAnimalModel(model);
  if ("trouble" in fit) throw new Error(fit.detail);
  return fit;
}
