import { describe, expect, test } from "vitest";
import { fitGeneralizedLinearModel } from "../../../src/statistics/generalized-linear/generalized-linear-model.ts";
import {
  fitGeneralizedMixedModel,
  type MixedModelOptions,
  prepareGeneralizedMixedModel,
  solveGeneralizedMixedModel,
} from "../../../src/statistics/generalized-mixed-model/generalized-mixed-model.ts";
import type { GeneralizedMixedInput } from "../../../src/statistics/generalized-mixed-model/model-input.ts";
import { parseMixedModel } from "../../../src/statistics/generalized-mixed-model/parse-mixed-model.ts";
import { Random } from "../../../src/statistics/random.ts";
import { disagreement, ones } from "../generalized-linear/reference-data.ts";
import {
  bacteriaModel,
  cbppModel,
  contraceptionModel,
  grouseModel,
  reference,
  verbalModel,
} from "./reference-models.ts";

function fitted(input: GeneralizedMixedInput, options?: MixedModelOptions) {
  const fit = fitGeneralizedMixedModel(input, options);
  if ("trouble" in fit) throw new Error(`${fit.trouble}: ${fit.detail}`);
  return fit;
}

function conditionalDeviations(term: ReturnType<typeof fitted>["terms"][number]): number[] {
  const q = term.standardDeviations.length;
  const deviations: number[] = [];
  for (let at = 0; at < term.covariance.length; at += q * q) {
    for (let a = 0; a < q; a++) deviations.push(Math.sqrt(term.covariance[at + a * q + a]));
  }
  return deviations;
}

describe("Laplace against independent implementations (tests/reference/generalized-mixed-models.json)", () => {
  test.each([
    ["cbpp_nagq1", cbppModel()],
    ["bacteria_nagq1", bacteriaModel()],
    ["contraception_nagq1", contraceptionModel()],
    ["contraception_urban_slope", contraceptionModel(true)],
    ["grouseticks_brood", grouseModel()],
    ["grouseticks_olre", grouseModel(true)],
    ["verbagg100_crossed", verbalModel()],
  ] as const)("%s", (id, input) => {
    const want = reference.cases[id].results;
    const fit = fitted(input);
    expect(fit.verdict).toBe("converged");
    expect(disagreement(fit.coefficients, Object.values(want.fixef), 1e-5)).toBeLessThan(1);
    expect(disagreement(fit.theta, Object.values(want.theta), 1e-5)).toBeLessThan(1);
    // Both implementations differentiate numerically; where they part, the closer of the two stands.
    const errors = [want.se, want.crosscheck_glmmTMB.se].map((se) =>
      disagreement(fit.standardErrors, Object.values(se), 5e-5),
    );
    expect(Math.min(...errors)).toBeLessThan(1);
    expect(fit.logLikelihood).toBeGreaterThan(want.logLik - 1e-7);
    expect(fit.logLikelihood).toBeCloseTo(want.logLik, 5);
    for (const term of fit.terms) {
      const effects = want.ranef[term.name];
      expect(disagreement(term.mode, effects.value, 5e-5)).toBeLessThan(1);
      expect(disagreement(conditionalDeviations(term), effects.cond_sd, 5e-5)).toBeLessThan(1);
    }
  });

  test("joint covariance of coefficients and standard deviation", () => {
    const want = reference.cases.cbpp_nagq1.results.vcov_joint_hessian.row_major;
    const got = fitted(cbppModel()).jointCovariance.values;
    const place = [4, 0, 1, 2, 3]; // the reference puts the standard deviation first
    const reordered = want.map((_, e) => got[place[Math.floor(e / 5)] * 5 + place[e % 5]]);
    expect(disagreement(reordered, want, 1e-4, 1e-6)).toBeLessThan(1);
  });

  // With a link that is not canonical the observed information belongs in Laplace's determinant, as here and in
  // the second implementation of the reference; the first one puts the expected information there.
  test("complementary log-log", () => {
    const want = reference.cases.cbpp_cloglog.results.crosscheck_glmmTMB;
    const fit = fitted(cbppModel("cloglog"));
    expect(disagreement(fit.coefficients, Object.values(want.fixef), 1e-5)).toBeLessThan(1);
    expect(disagreement(fit.standardErrors, Object.values(want.se), 2e-5)).toBeLessThan(1);
    expect(fit.logLikelihood).toBeCloseTo(want.logLik, 8);
  });
});

describe("adaptive quadrature (tests/reference/generalized-mixed-models.json)", () => {
  test.each([
    ["cbpp_nagq9", cbppModel(), 9],
    ["cbpp_nagq25", cbppModel(), 25],
    ["bacteria_nagq9", bacteriaModel(), 9],
    ["bacteria_nagq25", bacteriaModel(), 25],
    ["contraception_nagq9", contraceptionModel(), 9],
    ["grouseticks_brood_nagq9", grouseModel(), 9],
  ] as const)("%s", (id, input, points) => {
    const want = reference.cases[id].results;
    const fit = fitted(input, { points });
    expect(disagreement(fit.coefficients, Object.values(want.fixef), 1e-5)).toBeLessThan(1);
    expect(disagreement(fit.theta, Object.values(want.theta), 1e-5)).toBeLessThan(1);
    expect(disagreement(fit.standardErrors, Object.values(want.se), 5e-5)).toBeLessThan(1);
    expect(disagreement(fit.terms[0].mode, Object.values(want.ranef)[0].value, 1e-4)).toBeLessThan(1);
  });

  test("25 points against maximum likelihood by direct integration", () => {
    for (const [id, input] of [
      ["cbpp_nagq25", cbppModel()],
      ["bacteria_nagq25", bacteriaModel()],
    ] as const) {
      const want = reference.cases[id].results.exact_marginal.exact_ml;
      const fit = fitted(input, { points: 25 });
      expect(fit.logLikelihood).toBeCloseTo(want.logLik, 6);
      expect(disagreement(fit.coefficients, Object.values(want.fixef), 1e-5)).toBeLessThan(1);
      expect(disagreement(fit.standardErrors, Object.values(want.se), 1e-5)).toBeLessThan(1);
      expect(fit.theta[0]).toBeCloseTo(want.sigma, 5);
    }
  });
});

describe("properties", () => {
  function shuffled(input: GeneralizedMixedInput): GeneralizedMixedInput {
    const order = new Random(3).shuffle(Array.from({ length: input.outcome.length }, (_, i) => i));
    const pick = (column: Float64Array) => Float64Array.from(order, (i) => column[i]);
    return {
      ...input,
      outcome: pick(input.outcome),
      ...(input.trials === undefined ? {} : { trials: pick(input.trials) }),
      fixed: { ...input.fixed, columns: input.fixed.columns.map(pick) },
      random: input.random.map((term) => ({
        ...term,
        membership: Int32Array.from(order, (i) => (term.membership as Int32Array)[i]),
        ...(term.effects === undefined ? {} : { effects: term.effects.map(pick) }),
      })),
    };
  }

  test.each([
    ["one term", bacteriaModel()],
    ["slope", contraceptionModel(true)],
    ["crossed", verbalModel()],
  ] as const)("order of rows and names of levels change nothing: %s", (_, input) => {
    const plain = fitted(input);
    const moved = shuffled(input);
    const renamed = fitted({
      ...moved,
      random: moved.random.map((term) => ({
        ...term,
        levels: term.levels + 3,
        membership: (term.membership as Int32Array).map((l) => term.levels + 2 - l),
      })),
    });
    expect(disagreement(renamed.coefficients, plain.coefficients, 1e-6)).toBeLessThan(1);
    expect(disagreement(renamed.theta, plain.theta, 1e-6)).toBeLessThan(1);
    expect(disagreement(renamed.standardErrors, plain.standardErrors, 1e-5)).toBeLessThan(1);
    expect(renamed.logLikelihood).toBeCloseTo(plain.logLikelihood, 7);
    const levels = input.random[0].levels;
    for (let l = 0; l < levels; l++) {
      const q = plain.terms[0].standardDeviations.length;
      for (let a = 0; a < q; a++) {
        const there = renamed.terms[0].mode[(levels + 2 - l) * q + a];
        expect(there).toBeCloseTo(plain.terms[0].mode[l * q + a], 5);
      }
    }
    // levels without rows: mode zero, the full variance
    expect(renamed.terms[0].mode[0]).toBe(0);
    expect(renamed.terms[0].covariance[0]).toBeCloseTo(plain.terms[0].betweenLevels.values[0], 6);
  });

  test("merging equal rows leaves fit and likelihood as they are", () => {
    const input = grouseModel();
    const fit = fitted(input);
    expect(fit.model.rows).toBeLessThan(fit.model.rowsBeforeMerging / 2);
    const apart = fitted({ ...input, offset: Float64Array.from({ length: 403 }, (_, i) => 1e-13 * i) });
    expect(apart.model.rows).toBe(403);
    expect(apart.logLikelihood).toBeCloseTo(fit.logLikelihood, 7);
    expect(disagreement(apart.coefficients, fit.coefficients, 1e-7)).toBeLessThan(1);
    expect(disagreement(apart.standardErrors, fit.standardErrors, 1e-6)).toBeLessThan(1);
  });

  test("an offset shifts the intercept alone", () => {
    const input = cbppModel("cloglog");
    const plain = fitted(input);
    const days = fitted({ ...input, offset: new Float64Array(56).fill(Math.log(30)) });
    expect(days.coefficients[0]).toBeCloseTo(plain.coefficients[0] - Math.log(30), 6);
    expect(days.coefficients[1]).toBeCloseTo(plain.coefficients[1], 6);
    expect(days.logLikelihood).toBeCloseTo(plain.logLikelihood, 7);
  });

  test("held at θ, only the coefficients move; at the estimate nothing does", () => {
    for (const input of [cbppModel(), verbalModel()]) {
      const free = fitted(input);
      const held = fitted(input, { theta: free.theta });
      expect(held.verdict).toBe("converged");
      expect(disagreement(held.coefficients, free.coefficients, 1e-5)).toBeLessThan(1);
      const elsewhere = fitted(input, { theta: free.theta.map((t) => t * 1.3) });
      expect(Array.from(elsewhere.theta)).toEqual(Array.from(free.theta.map((t) => t * 1.3)));
      expect(elsewhere.logLikelihood).toBeLessThan(free.logLikelihood);
      expect(elsewhere.jointCovariance.values.at(-1)).toBe(0);
    }
  });

  test("a prepared model gives the same fits, whatever was fitted before", () => {
    for (const input of [bacteriaModel(), verbalModel()]) {
      const model = parseMixedModel(input);
      if ("verdict" in model) throw new Error(model.detail);
      const problem = prepareGeneralizedMixedModel(model);
      if ("verdict" in problem) throw new Error(problem.detail);
      const fresh = fitted(input);
      for (const factor of [0.5, 2, 1]) {
        const theta = fresh.theta.map((t) => t * factor);
        const held = solveGeneralizedMixedModel(problem, { theta });
        if (held.verdict !== "converged") throw new Error(held.verdict);
        expect(held.logLikelihood).toBeCloseTo(fitted(input, { theta }).logLikelihood, 7);
      }
      const again = solveGeneralizedMixedModel(problem);
      if (again.verdict !== "converged") throw new Error(again.verdict);
      expect(disagreement(again.coefficients, fresh.coefficients, 1e-6)).toBeLessThan(1);
      expect(solveGeneralizedMixedModel(problem, { theta: [1, 1, 1] })).toMatchObject({
        trouble: "invalid_input",
      });
    }
  });

  test("large counts, far from the start", () => {
    const random = new Random(2);
    const [levels, each] = [12, 20];
    const n = levels * each;
    const level = Int32Array.from({ length: n }, (_, i) => i % levels);
    const own = Array.from({ length: levels }, () => 0.8 * random.normal());
    const x = Float64Array.from({ length: n }, () => random.normal());
    const fit = fitted({
      family: { distribution: "poisson", link: "log" },
      outcome: x.map((v, i) => random.poisson(Math.exp(7 + 0.5 * v + own[level[i]]))),
      fixed: { names: ["intercept", "x"], columns: [ones(n), x] },
      random: [{ name: "herd", levels, membership: level }],
    });
    expect(Math.abs(fit.coefficients[1] - 0.5)).toBeLessThan(4 * fit.standardErrors[1]);
    own.forEach((b, l) => {
      expect(Math.abs(fit.coefficients[0] + fit.terms[0].mode[l] - 7 - b)).toBeLessThan(0.03);
    });
  });

  test("crossed terms with memberships: the truth within four standard errors", () => {
    const random = new Random(33);
    const [animals, pens, n] = [400, 30, 8000];
    const animal = Int32Array.from({ length: n }, (_, i) => i % animals);
    const wet = Float64Array.from({ length: n }, () => random.normal());
    const ofAnimal = Array.from({ length: animals }, () => 0.8 * random.normal());
    const ofPen = Array.from({ length: pens }, () => 0.6 * random.normal());
    const membership = {
      rowStart: Int32Array.from({ length: n + 1 }, (_, i) => 2 * i),
      level: Int32Array.from({ length: 2 * n }, () => random.integer(pens)),
      weight: new Float64Array(2 * n).fill(0.5),
    };
    const outcome = wet.map((w, i) => {
      const shared = (ofPen[membership.level[2 * i]] + ofPen[membership.level[2 * i + 1]]) / 2;
      return random.bernoulli(1 / (1 + Math.exp(-(-1 + 0.5 * w + ofAnimal[animal[i]] + shared)))) ? 1 : 0;
    });
    const fit = fitted({
      family: { distribution: "binomial", link: "logit" },
      outcome,
      fixed: { names: ["intercept", "wetness"], columns: [ones(n), wet] },
      random: [
        { name: "animal", levels: animals, membership: animal },
        { name: "pen", levels: pens, membership },
      ],
    });
    const errors = [0, 1, 2, 3].map((k) => Math.sqrt(fit.jointCovariance.values[k * 4 + k]));
    [-1, 0.5, 0.8, 0.6].forEach((truth, k) => {
      const got = k < 2 ? fit.coefficients[k] : fit.theta[k - 2];
      expect(Math.abs(got - truth)).toBeLessThan(4 * errors[k]);
      expect(errors[k]).toBeLessThan(0.2);
    });
  });

  test("no variance between groups: singular, and the fixed part alone", () => {
    const n = 240;
    const input: GeneralizedMixedInput = {
      family: { distribution: "binomial", link: "logit" },
      outcome: Float64Array.from({ length: n }, (_, i) => (i % 3 === 0 ? 1 : 0)),
      fixed: {
        names: ["intercept", "x"],
        columns: [ones(n), Float64Array.from({ length: n }, (_, i) => i % 2)],
      },
      random: [
        { name: "pen", levels: 8, membership: Int32Array.from({ length: n }, (_, i) => Math.floor(i / 30)) },
      ],
    };
    const twice = {
      ...input,
      random: [
        input.random[0],
        {
          ...input.random[0],
          name: "half",
          levels: 4,
          membership: (input.random[0].membership as Int32Array).map((l) => l >> 1),
        },
      ],
    };
    const linear = fitGeneralizedLinearModel({
      family: { distribution: "binomial", link: "logit" },
      names: input.fixed.names,
      columns: input.fixed.columns,
      outcome: input.outcome,
    });
    if (linear.verdict !== "converged") throw new Error(linear.trouble);
    for (const model of [input, twice]) {
      const fit = fitted(model);
      expect(fit.verdict).toBe("singular");
      expect(Array.from(fit.theta).every((t) => t === 0)).toBe(true);
      expect(disagreement(fit.coefficients, linear.coefficients, 1e-7)).toBeLessThan(1);
      expect(disagreement(fit.standardErrors, linear.standardErrors, 1e-6)).toBeLessThan(1);
      expect(fit.logLikelihood).toBeCloseTo(linear.logLikelihood, 8);
      expect(fit.terms[0].mode.every((b) => b === 0)).toBe(true);
    }
  });

  test("a slope without variance beside an intercept with one", () => {
    const random = new Random(11);
    const [levels, each] = [40, 15];
    const n = levels * each;
    const level = Int32Array.from({ length: n }, (_, i) => i % levels);
    const x = Float64Array.from({ length: n }, (_, i) => ((i * 7) % 15) / 7 - 1);
    const own = Array.from({ length: levels }, () => random.normal());
    const outcome = Float64Array.from({ length: n }, (_, i) =>
      random.bernoulli(1 / (1 + Math.exp(-(own[level[i]] + 0.5 * x[i])))) ? 1 : 0,
    );
    const input: GeneralizedMixedInput = {
      family: { distribution: "binomial", link: "logit" },
      outcome,
      fixed: { names: ["intercept", "x"], columns: [ones(n), x] },
      random: [{ name: "animal", levels, membership: level, effects: [ones(n), x] }],
    };
    const correlated = fitted(input);
    const intercept = fitted({ ...input, random: [{ name: "animal", levels, membership: level }] });
    expect(correlated.logLikelihood).toBeGreaterThan(intercept.logLikelihood - 1e-7);
    expect(correlated.standardErrors.every((se) => se > 0)).toBe(true);
  });

  test("rows without a level take no effect of the term", () => {
    const input = cbppModel();
    const herd = (input.random[0].membership as Int32Array).map((l) => (l === 3 ? -1 : l));
    const fit = fitted({ ...input, random: [{ ...input.random[0], membership: herd }] });
    expect(fit.terms[0].mode[3]).toBe(0);
    expect(fit.logLikelihood).not.toBeCloseTo(fitted(input).logLikelihood, 3);
  });
});

describe("named conditions instead of estimates", () => {
  const n = 40;
  const pen = Int32Array.from({ length: n }, (_, i) => i % 5);
  const base: GeneralizedMixedInput = {
    family: { distribution: "binomial", link: "logit" },
    outcome: Float64Array.from({ length: n }, (_, i) => ((i * 7) % 11 < 5 ? 1 : 0)),
    fixed: { names: ["intercept", "x"], columns: [ones(n), Float64Array.from({ length: n }, (_, i) => i)] },
    random: [{ name: "pen", levels: 5, membership: pen }],
  };
  const late = Float64Array.from({ length: n }, (_, i) => (i < 20 ? 0 : 1));

  test.each([
    ["no_rows", { ...base, outcome: ones(0) }],
    ["no_events", { ...base, outcome: new Float64Array(n) }],
    ["constant_outcome", { ...base, outcome: ones(n) }],
    ["perfect_separation", { ...base, outcome: late }],
    ["rank_deficient", { ...base, fixed: { names: ["a", "b"], columns: [ones(n), ones(n)] } }],
    ["too_few_groups", { ...base, random: [{ name: "pen", levels: 5, membership: new Int32Array(n) }] }],
    [
      "not_identified",
      {
        ...base,
        random: [{ name: "row", levels: n, membership: Int32Array.from({ length: n }, (_, i) => i) }],
      },
    ],
    ["not_identified", { ...base, outcome: Float64Array.from(pen, (p) => (p < 2 ? 1 : 0)) }],
    [
      "not_identified",
      {
        ...base,
        outcome: Float64Array.from({ length: n }, (_, i) => +((i * 7) % 11 < [1, 2, 5, 8, 10][i % 5])),
        random: [
          { name: "pen", levels: 5, membership: pen },
          { name: "stall", levels: 5, membership: pen.map((p) => 4 - p) },
        ],
      },
    ],
    ["invalid_input", { ...base, random: [] }],
    ["invalid_input", { ...base, random: [{ name: "pen", levels: 4, membership: pen }] }],
    ["invalid_input", { ...base, outcome: base.outcome.map((y) => y + 0.5) }],
    ["invalid_input", { ...base, offset: new Float64Array(n).fill(Number.NaN) }],
  ] as [string, GeneralizedMixedInput][])("%s", (trouble, input) => {
    const fit = fitGeneralizedMixedModel(input);
    expect(fit).toMatchObject({ trouble });
  });

  test("separation among very many rows, where the start comes from a sample", () => {
    const rows = 90_000;
    const rare = Float64Array.from({ length: rows }, (_, i) => (i % 9001 === 1 ? 1 : 0));
    const random = new Random(8);
    const fit = fitGeneralizedMixedModel({
      family: { distribution: "binomial", link: "logit" },
      outcome: rare.map((r) => (r === 1 || random.bernoulli(0.3) ? 1 : 0)),
      fixed: {
        names: ["intercept", "rare", "x"],
        columns: [ones(rows), rare, rare.map(() => random.normal())],
      },
      random: [
        { name: "animal", levels: 3000, membership: Int32Array.from({ length: rows }, (_, i) => i % 3000) },
      ],
    });
    expect(fit).toMatchObject({ verdict: "failed", trouble: "perfect_separation" });
  });
});
