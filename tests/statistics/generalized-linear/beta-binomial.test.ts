import { describe, expect, test } from "vitest";
import { fitBetaBinomial } from "../../../src/statistics/generalized-linear/beta-binomial.ts";
import { fitGeneralizedLinearModel } from "../../../src/statistics/generalized-linear/generalized-linear-model.ts";
import { disagreement, ones } from "./reference-data.ts";
import { bacteriaModel, cbppModel, reference } from "./reference-models.ts";

describe("beta-binomial", () => {
  test("against an independent implementation (tests/reference/generalized-linear-models.json)", () => {
    const want = reference.cases.betabinomial_cbpp.results;
    const fit = fitBetaBinomial(cbppModel().input);
    if (fit.verdict !== "converged") throw new Error(fit.verdict);
    expect(disagreement(fit.coefficients, Object.values(want.coef), 1e-6)).toBeLessThan(1);
    expect(disagreement(fit.standardErrors, want.se, 1e-6)).toBeLessThan(1);
    expect(fit.correlation).toBeCloseTo(want.rho, 7);
    expect(fit.logitCorrelationStandardError).toBeCloseTo(want.logit_rho_se, 5);
    expect(fit.logLikelihood).toBeCloseTo(want.logLik, 7);
  });

  test("trials that vary less than binomial ones give the binomial fit with correlation zero", () => {
    const input = {
      family: { distribution: "binomial", link: "logit" },
      names: ["intercept"],
      columns: [ones(8)],
      outcome: Float64Array.from([5, 5, 5, 5, 4, 5, 5, 6]),
      trials: new Float64Array(8).fill(10),
    } as const;
    const fit = fitBetaBinomial(input);
    const binomial = fitGeneralizedLinearModel(input);
    if (fit.verdict !== "singular" || binomial.verdict !== "converged") throw new Error(fit.verdict);
    expect(fit.correlation).toBe(0);
    expect(Array.from(fit.coefficients)).toEqual(Array.from(binomial.coefficients));
    expect(fit.logLikelihood).toBe(binomial.logLikelihood);
  });

  test("named conditions", () => {
    const { input } = cbppModel();
    expect(fitBetaBinomial(bacteriaModel().input)).toMatchObject({
      verdict: "flat",
      trouble: "not_identified",
    });
    expect(fitBetaBinomial({ ...input, outcome: new Float64Array(56) })).toMatchObject({
      trouble: "no_events",
    });
    expect(fitBetaBinomial({ ...input, family: { distribution: "binomial", link: "log" } })).toMatchObject({
      trouble: "invalid_input",
    });
  });
});
