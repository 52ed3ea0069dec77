import { describe, expect, test } from "vitest";
import { fitGeneralizedLinearModel } from "../../../src/statistics/generalized-linear/generalized-linear-model.ts";
import {
  fitProportionalOdds,
  type ProportionalOddsInput,
  predictProportionalOdds,
} from "../../../src/statistics/ordinal/proportional-odds.ts";
import {
  disagreement,
  indicators,
  ones,
  type ReferenceMatrix,
  readReference,
} from "../generalized-linear/reference-data.ts";

interface OrdinalResults {
  readonly alpha: Readonly<Record<string, number>>;
  readonly beta: Readonly<Record<string, number>>;
  readonly se: readonly number[];
  readonly logLik: number;
  readonly fitted_first: ReferenceMatrix;
  readonly clm: Omit<OrdinalResults, "clm" | "fitted_first">;
}

const reference = readReference<OrdinalResults>("proportional-odds.json");
const housing = reference.data.housing.columns;
const wine = reference.data.wine.columns;

const housingModel: ProportionalOddsInput = {
  outcome: Int32Array.from(housing.Sat),
  categories: 3,
  names: ["InflMedium", "InflHigh", "TypeApartment", "TypeAtrium", "TypeTerrace", "ContHigh"],
  columns: [...indicators(housing.Infl, 3), ...indicators(housing.Type, 4), ...indicators(housing.Cont, 2)],
  weights: Float64Array.from(housing.Freq),
};

const wineModel: ProportionalOddsInput = {
  outcome: Int32Array.from(wine.rating),
  categories: 5,
  names: ["tempwarm", "contactyes"],
  columns: [...indicators(wine.temp, 2), ...indicators(wine.contact, 2)],
};

function fitted(input: ProportionalOddsInput) {
  const fit = fitProportionalOdds(input);
  if (fit.verdict !== "converged") throw new Error(`${fit.trouble}: ${fit.detail}`);
  return fit;
}

describe("against independent implementations (tests/reference/proportional-odds.json)", () => {
  test.each([
    ["housing, weighted", housingModel, reference.cases.polr_housing_logistic.results.clm],
    ["wine", wineModel, reference.cases.clm_wine.results],
  ] as const)("%s", (_, model, want) => {
    const fit = fitted(model);
    expect(disagreement(fit.thresholds, Object.values(want.alpha), 1e-6)).toBeLessThan(1);
    expect(disagreement(fit.coefficients, Object.values(want.beta), 1e-6)).toBeLessThan(1);
    const errors = [...fit.thresholdStandardErrors, ...fit.standardErrors];
    expect(disagreement(errors, want.se, 1e-6)).toBeLessThan(1);
    expect(fit.logLikelihood).toBeCloseTo(want.logLik, 7);
  });

  test("category probabilities", () => {
    const got = predictProportionalOdds(fitted(housingModel), housingModel.columns);
    const want = reference.cases.polr_housing_logistic.results.fitted_first;
    expect(disagreement(got.values, want.row_major, 1e-6)).toBeLessThan(1);
  });
});

describe("properties", () => {
  test("two categories are logistic regression", () => {
    const outcome = wineModel.outcome.map((y) => (y >= 2 ? 1 : 0));
    const fit = fitted({ ...wineModel, outcome, categories: 2 });
    const logit = fitGeneralizedLinearModel({
      family: { distribution: "binomial", link: "logit" },
      names: ["intercept", ...wineModel.names],
      columns: [ones(72), ...wineModel.columns],
      outcome: Float64Array.from(outcome),
    });
    if (logit.verdict !== "converged") throw new Error(logit.trouble);
    expect(disagreement(fit.coefficients, logit.coefficients.slice(1), 1e-8)).toBeLessThan(1);
    expect(disagreement(fit.standardErrors, logit.standardErrors.slice(1), 1e-8)).toBeLessThan(1);
    expect(fit.thresholds[0]).toBeCloseTo(-logit.coefficients[0], 8);
    expect(fit.logLikelihood).toBeCloseTo(logit.logLikelihood, 8);
  });

  test("turning the scale round turns the signs", () => {
    const there = fitted(wineModel);
    const back = fitted({ ...wineModel, outcome: wineModel.outcome.map((y) => 4 - y) });
    expect(
      disagreement(
        back.coefficients.map((b) => -b),
        there.coefficients,
        1e-8,
      ),
    ).toBeLessThan(1);
    expect(disagreement(back.thresholds.map((z) => -z).reverse(), there.thresholds, 1e-8)).toBeLessThan(1);
  });

  test("probabilities of a row add up to one", () => {
    const { rows, columns, values } = predictProportionalOdds(fitted(wineModel), wineModel.columns);
    for (let i = 0; i < rows; i++) {
      const sum = values.slice(i * columns, (i + 1) * columns).reduce((s, p) => s + p, 0);
      expect(sum).toBeCloseTo(1, 12);
    }
  });
});

describe("named conditions instead of estimates", () => {
  const x = Float64Array.from([1, 2, 3, 4, 5, 6]);
  const base = { outcome: Int32Array.from([0, 1, 2, 0, 1, 2]), categories: 3, names: ["x"], columns: [x] };
  test.each([
    ["no_rows", { ...base, outcome: new Int32Array(0), columns: [new Float64Array(0)] }],
    ["constant_outcome", { ...base, outcome: new Int32Array(6) }],
    ["not_identified", { ...base, outcome: Int32Array.from([0, 2, 0, 2, 0, 2]) }],
    ["perfect_separation", { ...base, outcome: Int32Array.from([0, 0, 1, 1, 2, 2]) }],
    ["rank_deficient", { ...base, columns: [ones(6)] }],
    ["invalid_input", { ...base, outcome: Int32Array.from([0, 1, 2, 3, 1, 2]) }],
    ["invalid_input", { ...base, columns: [x.slice(1)] }],
  ] as [string, ProportionalOddsInput][])("%s", (trouble, input) => {
    expect(fitProportionalOdds(input)).toMatchObject({ trouble });
  });
});
