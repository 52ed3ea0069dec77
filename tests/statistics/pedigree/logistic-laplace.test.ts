import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { fitLogisticAnimalModel } from "../../../src/statistics/pedigree/fit-logistic-animal-model.ts";
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

/** Lameness-like records on the pedigree of sim300: a logit liability with genetic, group and herd parts. */
function liabilityInput(): LogisticAnimalModelInput {
  const { pedigree, records } = referenceFlock("sim300");
  const random = new Random(21);
  const value = new Float64Array(300);
  for (let i = 0; i < 300; i++) {
    const parents = [pedigree.sire[i], pedigree.dam[i]].filter((p) => p > 0);
    value[i] =
      parents.reduce((sum, p) => sum + value[p - 1] / 2, 0) +
      Math.sqrt(1 - parents.length / 4) * random.normal();
  }
  const animal = zeroBased(records.animal).flatMap((a) => [a, a]);
  const herd = zeroBased(records.herd).flatMap((h) => [h, h]);
  const sex = records.sex.flatMap((s) => [s, s]);
  return {
    successes: animal.map((a, r) =>
      Number(random.bernoulli(1 / (1 + Math.exp(0.8 - value[a] - 0.4 * sex[r])))),
    ),
    fixed: [animal.map(() => 1), sex],
    pedigree: referencePedigree("sim300"),
    animal: indexDesign(animal, 300),
    groups: linesAsGroups(
      Array.from({ length: 300 }, (_, i) => i % 5),
      5,
    ),
    others: [{ name: "herd", design: indexDesign(herd, 8) }],
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
  it("climbs to a place where the likelihood is flat", () => {
    const model = modelOf(liabilityInput());
    const fit = fitLogisticAnimalModel(model);
    if (fit.verdict === "flat" || fit.verdict === "failed") throw new Error(fit.detail);
    console.log(fit.variances, fit.search, fit.verdict);
    expect(fit.search.largestGradient).toBeLessThan(1e-3);
  });
});
