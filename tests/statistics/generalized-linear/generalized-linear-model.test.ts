import { describe, expect, test } from "vitest";
import {
  fitGeneralizedLinearModel,
  type GeneralizedLinearFit,
  predictLinearModel,
} from "../../../src/statistics/generalized-linear/generalized-linear-model.ts";
import { leverages } from "../../../src/statistics/generalized-linear/heteroskedastic-covariance.ts";
import type { GeneralizedLinearInput } from "../../../src/statistics/generalized-linear/linear-model-input.ts";
import { disagreement, ones } from "./reference-data.ts";
import { bacteriaModel, cbppModel, epilepsyModel, reference, sleepModel } from "./reference-models.ts";

function fitted(
  input: GeneralizedLinearInput,
  options?: Parameters<typeof fitGeneralizedLinearModel>[1],
): GeneralizedLinearFit {
  const fit = fitGeneralizedLinearModel(input, options);
  if (fit.verdict !== "converged") throw new Error(`${fit.trouble}: ${fit.detail}`);
  return fit;
}

function binary(
  groups: readonly (readonly [events: number, of: number])[],
  family: GeneralizedLinearInput["family"],
) {
  return {
    family,
    names: ["intercept", "exposed"],
    columns: [ones(2), Float64Array.from([0, 1])],
    outcome: Float64Array.from(groups, ([events]) => events),
    trials: Float64Array.from(groups, ([, of]) => of),
  };
}

describe("against an independent implementation (tests/reference/generalized-linear-models.json)", () => {
  test.each([
    ["glm_cbpp_binomial", cbppModel()],
    ["glm_bacteria_logit", bacteriaModel()],
    ["glm_epil_poisson", epilepsyModel()],
  ] as const)("%s", (id, { input }) => {
    const want = reference.cases[id].results;
    const fit = fitted(input);
    expect(disagreement(fit.coefficients, Object.values(want.coef), 1e-7)).toBeLessThan(1);
    expect(disagreement(fit.standardErrors, want.se, 1e-7)).toBeLessThan(1);
    expect(disagreement(fit.covariance.values, want.vcov.row_major, 1e-7)).toBeLessThan(1);
    expect(disagreement(fit.fitted, want.fitted_first, 1e-7)).toBeLessThan(1);
    expect(disagreement(leverages(fit), want.leverage_first, 1e-7)).toBeLessThan(1);
    expect(fit.logLikelihood).toBeCloseTo(want.logLik, 6);
    expect(fit.deviance).toBeCloseTo(want.deviance, 6);
    expect(fit.pearsonChiSquare).toBeCloseTo(want.pearson_chisq, 5);
    expect(fit.residualDegreesOfFreedom).toBe(want.df_residual);
  });

  test("complementary log-log link", () => {
    const want = reference.cases.glm_bacteria_cloglog.results;
    const fit = fitted(bacteriaModel("cloglog").input);
    expect(disagreement(fit.coefficients, Object.values(want.coef), 1e-6)).toBeLessThan(1);
    expect(disagreement(fit.standardErrors, want.se, 1e-6)).toBeLessThan(1);
    expect(fit.deviance).toBeCloseTo(want.deviance, 6);
  });

  test("quasi-binomial dispersion", () => {
    const want = reference.cases.glm_cbpp_quasibinomial.results;
    const fit = fitted(cbppModel().input, { dispersion: "pearson" });
    expect(fit.dispersion).toBeCloseTo(want.dispersion, 7);
    expect(disagreement(fit.standardErrors, want.se, 1e-7)).toBeLessThan(1);
  });

  test("gaussian", () => {
    const want = reference.cases.lm_sleepstudy.results;
    const fit = fitted(sleepModel().input);
    expect(disagreement(fit.coefficients, Object.values(want.coef), 1e-9)).toBeLessThan(1);
    expect(disagreement(fit.standardErrors, want.se, 1e-9)).toBeLessThan(1);
    expect(Math.sqrt(fit.dispersion)).toBeCloseTo(want.sigma, 8);
    expect(fit.logLikelihood).toBeCloseTo(want.logLik, 7);
  });
});

// Closed forms for two groups with a of n1 and c of n2 events (Rothman, Modern Epidemiology, 3rd ed., ch. 14).
describe("two groups: the model is the textbook formula", () => {
  const [a, n1, c, n2] = [12, 40, 30, 50];
  const groups = [
    [a, n1],
    [c, n2],
  ] as const;

  test("logit: log odds ratio, Woolf's standard error", () => {
    const fit = fitted(binary(groups, { distribution: "binomial", link: "logit" }));
    expect(fit.coefficients[1]).toBeCloseTo(Math.log((c * (n1 - a)) / (a * (n2 - c))), 10);
    expect(fit.standardErrors[1]).toBeCloseTo(Math.sqrt(1 / a + 1 / (n1 - a) + 1 / c + 1 / (n2 - c)), 9);
  });

  test("log: log risk ratio", () => {
    const fit = fitted(binary(groups, { distribution: "binomial", link: "log" }));
    expect(fit.coefficients[1]).toBeCloseTo(Math.log(c / n2 / (a / n1)), 9);
    expect(fit.standardErrors[1]).toBeCloseTo(Math.sqrt(1 / a - 1 / n1 + 1 / c - 1 / n2), 8);
  });

  test("identity: risk difference", () => {
    const fit = fitted(binary(groups, { distribution: "binomial", link: "identity" }));
    const [p1, p2] = [a / n1, c / n2];
    expect(fit.coefficients[1]).toBeCloseTo(p2 - p1, 10);
    expect(fit.standardErrors[1]).toBeCloseTo(Math.sqrt((p1 * (1 - p1)) / n1 + (p2 * (1 - p2)) / n2), 9);
  });

  test("poisson with the log of exposure as offset: log rate ratio", () => {
    const fit = fitted({
      family: { distribution: "poisson", link: "log" },
      names: ["intercept", "exposed"],
      columns: [ones(2), Float64Array.from([0, 1])],
      outcome: Float64Array.from([a, c]),
      offset: Float64Array.from([n1, n2], Math.log),
    });
    expect(fit.coefficients[1]).toBeCloseTo(Math.log(c / n2 / (a / n1)), 10);
    expect(fit.standardErrors[1]).toBeCloseTo(Math.sqrt(1 / a + 1 / c), 9);
  });

  test("complementary log-log with the log of days as offset: log ratio of hazards", () => {
    const days = [10, 25];
    const fit = fitted({
      ...binary(groups, { distribution: "binomial", link: "cloglog" }),
      offset: Float64Array.from(days, Math.log),
    });
    const hazard = (events: number, of: number, d: number) => -Math.log(1 - events / of) / d;
    expect(fit.coefficients[1]).toBeCloseTo(Math.log(hazard(c, n2, 25) / hazard(a, n1, 10)), 9);
  });
});

describe("properties", () => {
  test("a row with weight two is two rows; trials in one row are as many binary rows", () => {
    const { input } = cbppModel();
    const double = fitted({ ...input, priorWeights: new Float64Array(56).fill(2) });
    const twice = fitted({
      ...input,
      columns: input.columns.map((column) => Float64Array.from([...column, ...column])),
      outcome: Float64Array.from([...input.outcome, ...input.outcome]),
      trials: Float64Array.from([...input.trials!, ...input.trials!]),
    });
    expect(disagreement(double.coefficients, twice.coefficients, 1e-10)).toBeLessThan(1);
    expect(disagreement(double.standardErrors, twice.standardErrors, 1e-10)).toBeLessThan(1);
    expect(double.logLikelihood).toBeCloseTo(twice.logLikelihood, 8);

    const rows = Array.from(input.trials!).flatMap((n, i) => new Array<number>(n).fill(i));
    const seen = new Map<number, number>();
    const split = fitted({
      ...input,
      trials: ones(rows.length),
      columns: input.columns.map((column) => Float64Array.from(rows, (i) => column[i])),
      outcome: Float64Array.from(rows, (i) => {
        seen.set(i, (seen.get(i) ?? 0) + 1);
        return seen.get(i)! <= input.outcome[i] ? 1 : 0;
      }),
    });
    const whole = fitted(input);
    expect(disagreement(split.coefficients, whole.coefficients, 1e-10)).toBeLessThan(1);
    expect(disagreement(split.standardErrors, whole.standardErrors, 1e-10)).toBeLessThan(1);
  });

  test("the order of rows changes nothing", () => {
    const { input } = epilepsyModel();
    const order = Array.from({ length: 236 }, (_, i) => (i * 101) % 236);
    const moved = fitted({
      ...input,
      columns: input.columns.map((column) => Float64Array.from(order, (i) => column[i])),
      outcome: Float64Array.from(order, (i) => input.outcome[i]),
    });
    expect(disagreement(moved.coefficients, fitted(input).coefficients, 1e-9)).toBeLessThan(1);
  });

  test("prediction at the data gives the fitted means", () => {
    const { input } = bacteriaModel();
    const fit = fitted(input);
    const predicted = predictLinearModel(fit, input.columns);
    expect(disagreement(predicted.mean, fit.fitted, 1e-12)).toBeLessThan(1);
    // leverage = weight × variance of the linear predictor
    const implied = predicted.linearStandardErrors.map((se, i) => se ** 2 * fit.workingWeights[i]);
    expect(disagreement(implied, leverages(fit), 1e-9)).toBeLessThan(1);
  });
});

describe("named conditions instead of estimates", () => {
  const logit = { distribution: "binomial", link: "logit" } as const;
  const x = Float64Array.from([1, 2, 3, 4, 5, 6]);
  const base = { family: logit, names: ["intercept", "x"], columns: [ones(6), x] };

  test.each([
    ["no_rows", { ...base, columns: [ones(0), ones(0)], outcome: ones(0) }],
    ["no_events", { ...base, outcome: new Float64Array(6) }],
    ["constant_outcome", { ...base, outcome: ones(6) }],
    [
      "constant_outcome",
      { ...base, family: { distribution: "gaussian", link: "identity" }, outcome: ones(6) },
    ],
    [
      "no_events",
      { ...base, family: { distribution: "poisson", link: "log" }, outcome: new Float64Array(6) },
    ],
    ["perfect_separation", { ...base, outcome: Float64Array.from([0, 0, 0, 1, 1, 1]) }],
    [
      "perfect_separation",
      {
        ...base,
        columns: [ones(6), Float64Array.from([0, 0, 0, 0, 1, 1])],
        outcome: Float64Array.from([0, 1, 0, 1, 1, 1]),
      },
    ],
    [
      "rank_deficient",
      { ...base, columns: [ones(6), ones(6)], outcome: Float64Array.from([0, 1, 0, 1, 1, 0]) },
    ],
    [
      "too_few_rows",
      {
        ...base,
        columns: [ones(1), ones(1)],
        outcome: Float64Array.from([1]),
        trials: Float64Array.from([3]),
      },
    ],
    ["invalid_input", { ...base, outcome: Float64Array.from([0, 1, Number.NaN, 1, 0, 1]) }],
    ["invalid_input", { ...base, outcome: Float64Array.from([0, 1, 2, 1, 0, 1]) }],
    ["invalid_input", { ...base, outcome: Float64Array.from([0, 1]) }],
  ] as [string, GeneralizedLinearInput][])("%s", (trouble, input) => {
    expect(fitGeneralizedLinearModel(input)).toMatchObject({ trouble });
  });

  test("a poisson group without events separates", () => {
    const fit = fitGeneralizedLinearModel({
      family: { distribution: "poisson", link: "log" },
      names: ["intercept", "group"],
      columns: [ones(6), Float64Array.from([0, 0, 0, 1, 1, 1])],
      outcome: Float64Array.from([1, 2, 0, 0, 0, 0]),
    });
    expect(fit).toMatchObject({ trouble: "perfect_separation", detail: "group" });
  });

  test("nearly separated data still have an estimate", () => {
    const fit = fitGeneralizedLinearModel({ ...base, outcome: Float64Array.from([0, 0, 1, 0, 1, 1]) });
    expect(fit.verdict).toBe("converged");
  });
});
