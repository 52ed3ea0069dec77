import { describe, expect, test } from "vitest";
import {
  fitGeneralizedMixedModel,
  runGeneralizedMixedModel,
} from "../../../src/statistics/generalized-mixed-model/generalized-mixed-model.ts";
import type { GeneralizedMixedInput } from "../../../src/statistics/generalized-mixed-model/model-input.ts";
import {
  populationMean,
  predictMixedModel,
} from "../../../src/statistics/generalized-mixed-model/predict-mixed-model.ts";
import { simulateMixedModel } from "../../../src/statistics/generalized-mixed-model/simulate-mixed-model.ts";
import { Random } from "../../../src/statistics/random.ts";
import { disagreement, ones } from "../generalized-linear/reference-data.ts";
import { cbppModel, contraceptionModel, grouseModel, reference, verbalModel } from "./reference-models.ts";

function fitted(input: GeneralizedMixedInput) {
  const fit = fitGeneralizedMixedModel(input);
  if (fit.verdict !== "converged") throw new Error(fit.verdict);
  return fit;
}

describe("prediction", () => {
  test.each([
    ["cbpp_nagq1", cbppModel()],
    ["contraception_urban_slope", contraceptionModel(true)],
    ["grouseticks_olre", grouseModel(true)],
    ["verbagg100_crossed", verbalModel()],
  ] as const)("against an independent implementation: %s", (id, input) => {
    const want = reference.cases[id].results;
    const fit = fitted(input);
    const conditional = predictMixedModel(fit, { columns: input.fixed.columns, random: input.random });
    const fixed = predictMixedModel(fit, { columns: input.fixed.columns });
    expect(disagreement(conditional.mean, want.fitted_first, 5e-5)).toBeLessThan(1);
    expect(disagreement(fixed.mean, want.fitted_population_first, 5e-5)).toBeLessThan(1);
  });

  test("standard error of the first level's predictor is that of the intercept", () => {
    const fit = fitted(cbppModel());
    const columns = [ones(1), new Float64Array(1), new Float64Array(1), new Float64Array(1)];
    expect(predictMixedModel(fit, { columns }).fixedStandardErrors[0]).toBeCloseTo(fit.standardErrors[0], 12);
    const unknown = { columns, random: [{ membership: Int32Array.of(-1) }] };
    expect(predictMixedModel(fit, unknown).mean[0]).toBe(predictMixedModel(fit, { columns }).mean[0]);
  });

  // Zeger, Liang & Albert (1988), Biometrics 44:1049-1060: the mean of a log link is exp(η + σ²/2), that of a logit
  // nearly the logit at η/√(1 + (16√3/15π)²σ²).
  test("population means", () => {
    const grouse = fitted(grouseModel());
    const [eta] = predictMixedModel(grouse, { columns: grouseModel().fixed.columns }).linearPredictor;
    const variance = grouse.terms[0].betweenLevels.values[0];
    const [mean] = populationMean(grouse, { columns: grouseModel().fixed.columns });
    expect(mean / Math.exp(eta + variance / 2)).toBeCloseTo(1, 10);

    const cbpp = fitted(cbppModel());
    const columns = cbppModel().fixed.columns;
    const shrink = Math.sqrt(1 + ((16 * Math.sqrt(3)) / (15 * Math.PI)) ** 2 * cbpp.theta[0] ** 2);
    const [logit] = predictMixedModel(cbpp, { columns }).linearPredictor;
    expect(populationMean(cbpp, { columns })[0]).toBeCloseTo(1 / (1 + Math.exp(-logit / shrink)), 2);
    const split = {
      membership: {
        rowStart: Int32Array.from({ length: 57 }, (_, i) => 2 * i),
        level: new Int32Array(112),
        weight: new Float64Array(112).fill(Math.SQRT1_2),
      },
    };
    expect(populationMean(cbpp, { columns, random: [split] })[0]).toBeCloseTo(
      populationMean(cbpp, { columns })[0],
      12,
    );
  });
});

describe("simulation", () => {
  test("fits of simulated data centre on the truth", () => {
    const truth = fitted(cbppModel());
    const random = new Random(20);
    const runs = 60;
    const draws = Array.from({ length: runs }, (_, run) => {
      const fit = runGeneralizedMixedModel(simulateMixedModel(truth.model, truth, random.substream(run)));
      if ("trouble" in fit) throw new Error(fit.trouble);
      return fit.coefficients;
    });
    truth.coefficients.forEach((want, j) => {
      const mean = draws.reduce((sum, b) => sum + b[j], 0) / runs;
      const spread = Math.sqrt(draws.reduce((sum, b) => sum + (b[j] - mean) ** 2, 0) / (runs - 1));
      // four standard errors of the mean; the spread itself near the model's standard error
      expect(Math.abs(mean - want)).toBeLessThan((4 * truth.standardErrors[j]) / Math.sqrt(runs) + 0.05);
      expect(spread / truth.standardErrors[j]).toBeGreaterThan(0.7);
      expect(spread / truth.standardErrors[j]).toBeLessThan(1.4);
    });
  });

  test("the same seed gives the same totals, within the trials", () => {
    const { model, coefficients, theta } = fitted(verbalModel());
    const once = simulateMixedModel(model, { coefficients, theta }, new Random(4)).total;
    expect(simulateMixedModel(model, { coefficients, theta }, new Random(4)).total).toEqual(once);
    expect(once.every((y, i) => y >= 0 && y <= model.size[i])).toBe(true);
  });

  test("simulated effects have the covariance of the term", () => {
    const n = 4000;
    const input: GeneralizedMixedInput = {
      family: { distribution: "poisson", link: "log" },
      outcome: ones(n),
      fixed: { names: ["intercept"], columns: [ones(n)] },
      random: [
        {
          name: "level",
          levels: n / 2,
          membership: Int32Array.from({ length: n }, (_, i) => i >> 1),
          effects: [ones(n), Float64Array.from({ length: n }, (_, i) => i % 2)],
        },
      ],
    };
    const fit = fitGeneralizedMixedModel({ ...input, outcome: input.outcome.map((_, i) => i % 4) });
    if ("trouble" in fit) throw new Error(fit.trouble);
    const drawn = simulateMixedModel(fit.model, { coefficients: [5], theta: [0.3, 0.2, 0.1] }, new Random(9));
    const first = drawn.total
      .filter((_, k) => fit.model.terms[0].effectValues![2 * k + 1] === 0)
      .map(Math.log);
    const mean = first.reduce((s, x) => s + x, 0) / first.length;
    const variance = first.reduce((s, x) => s + (x - mean) ** 2, 0) / first.length;
    // intercept variance 0.09 plus that of a log count of mean about 150
    expect(variance).toBeCloseTo(0.09 + 1 / 155, 2);
  });
});
