import { describe, expect, it } from "vitest";
import { zeroMatrix } from "../../../src/statistics/linear-algebra/dense-matrix.ts";
import {
  covarianceOf,
  estimateOf,
  type LinearCombination,
  variancesOf,
} from "../../../src/statistics/linear-mixed-model/linear-combinations.ts";
import { predictRows } from "../../../src/statistics/linear-mixed-model/predict-rows.ts";
import { predictedEffects } from "../../../src/statistics/linear-mixed-model/predicted-effects.ts";
import models from "../../reference/linear-mixed-models.json";
import { denseErrorCovariance, denseModel } from "./dense-model.ts";
import { fitted } from "./fitted.ts";
import { referenceModel } from "./reference-models.ts";
import { mixedBag } from "./small-models.ts";

const combinations: LinearCombination[] = [
  { fixed: [1, 0] },
  { fixed: [0, 1], random: [{ term: 0, level: 3, effect: 1, weight: 1 }] },
  { random: [{ term: 2, level: 4, weight: 2 }] },
  {
    fixed: [1, -0.5],
    random: [
      { term: 0, level: 0, weight: 0.5 },
      { term: 0, level: 8, effect: 1, weight: -1 },
      { term: 1, level: 19, weight: 1 },
      { term: 1, level: 2, weight: 0.25 },
    ],
  },
];

describe("linear combinations of fixed and random effects", () => {
  const input = mixedBag(11, 90);
  const fit = fitted(input);
  const dense = denseModel(
    input,
    fit.terms.map(({ covariance }) => covariance),
    fit.sigmaSquared,
  );
  const k = zeroMatrix(combinations.length, 2);
  const m = zeroMatrix(combinations.length, dense.effects.length);
  const offsets = [0, 18, 38];
  const perLevel = [2, 1, 1];
  combinations.forEach(({ fixed, random }, i) => {
    for (let c = 0; c < 2; c++) k.values[i * 2 + c] = fixed?.[c] ?? 0;
    for (const { term, level, effect, weight } of random ?? []) {
      m.values[i * m.columns + offsets[term]! + level * perLevel[term]! + (effect ?? 0)] = weight;
    }
  });

  it("are estimated as the dense equations estimate them", () => {
    const found = estimateOf(fit, combinations);
    combinations.forEach((_, i) => {
      let want = 0;
      for (let c = 0; c < 2; c++) want += k.values[i * 2 + c]! * dense.fixedEffects[c]!;
      for (let c = 0; c < m.columns; c++) want += m.values[i * m.columns + c]! * dense.effects[c]!;
      expect(found[i]).toBeCloseTo(want, 8);
    });
  });

  it("have the joint error covariance of the dense equations", () => {
    const found = covarianceOf(fit, combinations);
    const want = denseErrorCovariance(dense, k, m);
    want.values.forEach((value, e) => {
      expect(found.values[e]).toBeCloseTo(value, 8);
    });
    variancesOf(fit, combinations).forEach((variance, i) => {
      expect(variance).toBeCloseTo(want.values[i * (combinations.length + 1)]!, 8);
    });
  });

  it("agree with the variances of single effects", () => {
    const [animal] = predictedEffects(fit);
    const single = variancesOf(fit, [{ random: [{ term: 0, level: 5, effect: 1, weight: 1 }] }]);
    expect(single[0]).toBeCloseTo(animal!.predictionVariances[11]!, 12);
  });

  it("refuse an effect that the model does not have", () => {
    expect(() => estimateOf(fit, [{ random: [{ term: 1, level: 20, weight: 1 }] }])).toThrow(RangeError);
    expect(() => estimateOf(fit, [{ fixed: [1] }])).toThrow(RangeError);
  });
});

describe("prediction of new rows", () => {
  it("agrees with lme4 for known and new subjects", () => {
    for (const id of ["sleepstudy_ri", "sleepstudy_ris"]) {
      const answers = models.cases.find((c) => c.id === id)!.results.predict_new!;
      const { input, groups } = referenceModel(id);
      const fit = fitted(input);
      const days = Float64Array.from(answers.newdata.Days);
      const ones = new Float64Array(4).fill(1);
      const membership = Int32Array.from(answers.newdata.Subject, (name) => groups[0]!.levels.indexOf(name));
      expect(membership[3]).toBe(-1);
      const effects = input.random[0]!.effects === undefined ? {} : { effects: [ones, days] };
      const found = predictRows(fit, { fixed: [ones, days], random: [{ membership, ...effects }] });
      answers.population.forEach((want, i) => {
        expect(found.population[i]).toBeCloseTo(want, 4);
      });
      answers.with_ranef_new_levels_zero.forEach((want, i) => {
        expect(found.conditional[i]).toBeCloseTo(want, 4);
      });
      // A new subject: the variance of the fixed part plus the whole variance between subjects.
      const [alone] = variancesOf(fit, [{ fixed: [1, 4] }]);
      const between = fit.terms[0]!.covariance.values;
      const whole =
        effects.effects === undefined ? between[0]! : between[0]! + 8 * between[1]! + 16 * between[3]!;
      expect(found.variance[3]).toBeCloseTo(alone! + whole, 6);
      expect(found.variance[3]).toBeGreaterThan(found.variance[1]!);
    }
  });

  it("gives the fitted values of the rows that it was fitted to", () => {
    for (const { id, results } of models.cases) {
      const { input } = referenceModel(id);
      const fit = fitted(input, id.endsWith("_ml") ? "ML" : "REML");
      const found = predictRows(fit, { fixed: input.fixed.columns, random: input.random });
      results.fitted_first.forEach((want, i) => {
        expect(Math.abs(found.conditional[i]! - want)).toBeLessThan(1e-5 * Math.max(1, Math.abs(want)));
        expect(found.population[i]).toBeCloseTo(results.fitted_population_first[i]!, 4);
      });
      const squares = input.outcome.reduce((sum, y, i) => sum + (y - found.conditional[i]!) ** 2, 0);
      expect(Math.abs(squares / results.resid_ss - 1)).toBeLessThan(1e-5);
    }
  });
});
