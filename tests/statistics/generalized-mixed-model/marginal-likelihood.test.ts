import { describe, expect, test } from "vitest";
import {
  type MarginalLikelihood,
  marginalLikelihood,
} from "../../../src/statistics/generalized-mixed-model/marginal-likelihood.ts";
import type { GeneralizedMixedInput } from "../../../src/statistics/generalized-mixed-model/model-input.ts";
import { parseMixedModel } from "../../../src/statistics/generalized-mixed-model/parse-mixed-model.ts";
import { ones } from "../generalized-linear/reference-data.ts";
import {
  bacteriaModel,
  cbppModel,
  contraceptionModel,
  grouseModel,
  reference,
  verbalModel,
} from "./reference-models.ts";

function likelihoodOf(input: GeneralizedMixedInput, points = 1): MarginalLikelihood & { constant: number } {
  const model = parseMixedModel(input);
  if ("verdict" in model) throw new Error(model.detail);
  const likelihood = marginalLikelihood(model, points);
  if ("verdict" in likelihood) throw new Error(likelihood.detail);
  return { ...likelihood, constant: model.logConstant };
}

/** The same herds as one term of several memberships, which takes the general route. */
function asMembership(input: GeneralizedMixedInput): GeneralizedMixedInput {
  return {
    ...input,
    random: input.random.map((term) => {
      const level = term.membership as Int32Array;
      const rowStart = Int32Array.from({ length: level.length + 1 }, (_, i) => i);
      return { ...term, membership: { rowStart, level, weight: ones(level.length) } };
    }),
  };
}

/** Rows that load on two pens each, with weights, and a slope of a covariate by animal beside them. */
function memberships(): GeneralizedMixedInput {
  const n = 120;
  const x = Float64Array.from({ length: n }, (_, i) => Math.sin(i));
  return {
    family: { distribution: "binomial", link: "cloglog" },
    outcome: Float64Array.from({ length: n }, (_, i) => (Math.sin(i * i) > 0.2 ? 1 : 0)),
    offset: Float64Array.from({ length: n }, (_, i) => Math.log(10 + (i % 7)) - 3),
    fixed: { names: ["intercept", "x"], columns: [ones(n), x] },
    random: [
      {
        name: "pen",
        levels: 5,
        membership: {
          rowStart: Int32Array.from({ length: n + 1 }, (_, i) => 2 * i),
          level: Int32Array.from({ length: 2 * n }, (_, e) => (e % 2 === 0 ? (e / 2) % 5 : (e * 3) % 5)),
          weight: Float64Array.from({ length: 2 * n }, (_, e) => (e % 2 === 0 ? 0.7 : 0.3)),
        },
      },
      {
        name: "animal",
        levels: 20,
        membership: Int32Array.from({ length: n }, (_, i) => i % 20),
        effects: [ones(n), x],
        independent: true,
      },
    ],
  };
}

const cases: readonly [string, GeneralizedMixedInput, number, number[]][] = [
  ["one term, Laplace", cbppModel(), 1, [0.8]],
  ["one term, cloglog", cbppModel("cloglog"), 1, [0.8]],
  ["one term, 2 points", cbppModel("cloglog"), 2, [0.8]],
  ["one term, 9 points", bacteriaModel(), 9, [1.1]],
  ["one term, poisson, 5 points", grouseModel(), 5, [0.6]],
  ["one term at zero variance", cbppModel(), 3, [0]],
  ["crossed", verbalModel(), 1, [1.2, 0.5]],
  ["correlated slope", contraceptionModel(true), 1, [0.6, -0.3, 0.5]],
  ["observation level", grouseModel(true), 1, [0.5, 0.7, 0.4]],
  ["memberships and slopes", memberships(), 1, [0.9, 0.4, 0.6]],
  ["memberships, one variance zero", memberships(), 1, [0, 0.4, 0.6]],
];

describe("derivatives against central differences", () => {
  test.each(cases)("%s", (_, input, points, theta) => {
    const likelihood = likelihoodOf(input, points);
    const p = likelihood.coefficients;
    const at = Float64Array.from([
      ...Array.from({ length: p }, (_, j) => 0.4 * Math.sin(j + 1) - 0.2),
      ...theta,
    ]);
    const here = likelihood.curved(at)!;
    expect(here.value).toBeCloseTo(likelihood.value(at), 8);
    const h = 1e-4;
    for (let k = 0; k < at.length; k++) {
      const move = (by: number) => at.map((x, j) => (j === k ? x + by : x));
      const slope = (likelihood.value(move(h)) - likelihood.value(move(-h))) / (2 * h);
      expect(Math.abs(here.gradient[k] - slope)).toBeLessThan(1e-5 * (1 + Math.abs(slope)));
      const above = likelihood.slope(move(h)).gradient;
      const below = likelihood.slope(move(-h)).gradient;
      for (let j = 0; j < at.length; j++) {
        const bend = (above[j] - below[j]) / (2 * h);
        const got = here.hessian.values[j * at.length + k];
        expect(Math.abs(got - bend)).toBeLessThan(1e-5 * (1 + Math.abs(bend)));
      }
    }
  });
});

// Marginal log-likelihood by adaptive numerical integration, group by group, at the estimates of the case.
describe("value against direct integration (tests/reference/generalized-mixed-models.json)", () => {
  test.each([
    ["cbpp_nagq1", cbppModel()],
    ["cbpp_nagq25", cbppModel()],
    ["bacteria_nagq1", bacteriaModel()],
    ["bacteria_nagq25", bacteriaModel()],
  ] as const)("%s", (id, input) => {
    const want = reference.cases[id].results;
    const likelihood = likelihoodOf(input, 40);
    const at = Float64Array.from([...Object.values(want.fixef), ...Object.values(want.theta)]);
    const got = likelihood.constant - likelihood.value(at);
    expect(got).toBeCloseTo(want.exact_marginal.loglik_at_these_estimates, 8);
  });
});

describe("two routes, one likelihood", () => {
  test.each([
    ["cbpp", cbppModel()],
    ["cloglog", cbppModel("cloglog")],
    ["bacteria", bacteriaModel()],
    ["grouse", grouseModel()],
  ] as const)("group by group and sparse: %s", (_, input) => {
    const one = likelihoodOf(input);
    const other = likelihoodOf(asMembership(input));
    const at = Float64Array.from({ length: 5 }, (_, j) => 0.3 * Math.cos(j) + (j === 4 ? 1 : 0));
    expect(other.value(at)).toBeCloseTo(one.value(at), 8);
    const [a, b] = [one.curved(at)!, other.curved(at)!];
    a.hessian.values.forEach((want, k) => {
      expect(Math.abs(b.hessian.values[k] - want)).toBeLessThan(1e-5 * (1 + Math.abs(want)));
    });
    const [effects, others] = [one.effects(at)![0], other.effects(at)![0]];
    effects.mode.forEach((want, l) => {
      expect(others.mode[l]).toBeCloseTo(want, 7);
      expect(others.covariance[l]).toBeCloseTo(effects.covariance[l], 7);
    });
  });

  test("a level named twice in a row loads with the sum of its weights", () => {
    const input = cbppModel();
    const herd = input.random[0].membership as Int32Array;
    const split: GeneralizedMixedInput = {
      ...input,
      random: [
        {
          ...input.random[0],
          membership: {
            rowStart: Int32Array.from({ length: 57 }, (_, i) => 2 * i),
            level: Int32Array.from({ length: 112 }, (_, e) => herd[e >> 1]),
            weight: Float64Array.from({ length: 112 }, (_, e) => (e % 2 === 0 ? 0.25 : 0.75)),
          },
        },
      ],
    };
    const at = Float64Array.from([-1.3, -1, -1, -1.5, 0.7]);
    expect(likelihoodOf(split).value(at)).toBeCloseTo(likelihoodOf(input).value(at), 9);
    const [a, b] = [likelihoodOf(split).slope(at).gradient, likelihoodOf(input).slope(at).gradient];
    for (let k = 0; k < 5; k++) expect(a[k]).toBeCloseTo(b[k], 7);
  });

  test("zero variance is the model without random effects", () => {
    const at = Float64Array.from([-1.3, -1, -1, -1.5, 0]);
    const [laplace, quadrature] = [likelihoodOf(cbppModel()), likelihoodOf(cbppModel(), 9)];
    expect(laplace.value(at)).toBeCloseTo(quadrature.value(at), 9);
    expect(laplace.slope(at).gradient[4]).toBeCloseTo(0, 12);
  });

  test("quadrature with several terms is refused", () => {
    const model = parseMixedModel(verbalModel());
    if ("verdict" in model) throw new Error(model.detail);
    expect(marginalLikelihood(model, 9)).toMatchObject({ trouble: "invalid_input" });
  });
});
