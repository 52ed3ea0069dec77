import { describe, expect, test } from "vitest";
import {
  type EstimatingEquationOptions,
  fitEstimatingEquations,
} from "../../../src/statistics/generalized-linear/generalized-estimating-equations.ts";
import { fitGeneralizedLinearModel } from "../../../src/statistics/generalized-linear/generalized-linear-model.ts";
import { heteroskedasticCovariance } from "../../../src/statistics/generalized-linear/heteroskedastic-covariance.ts";
import { disagreement, ones } from "./reference-data.ts";
import {
  bacteriaModel,
  type ClusteredInput,
  cbppModel,
  epilepsyModel,
  ohioModel,
  reference,
  respiratoryModel,
  sleepModel,
} from "./reference-models.ts";

function fitted({ input, cluster }: ClusteredInput, options: EstimatingEquationOptions) {
  const fit = fitEstimatingEquations(input, cluster, options);
  if (fit.verdict !== "converged") throw new Error(`${fit.trouble}: ${fit.detail}`);
  return fit;
}

describe("against independent implementations (tests/reference/generalized-linear-models.json)", () => {
  test.each([
    ["gee_bacteria_independence", bacteriaModel(), { correlation: "independence" }],
    ["gee_ohio_independence", ohioModel(), { correlation: "independence" }],
    ["gee_bacteria_exchangeable", bacteriaModel(), { correlation: "exchangeable" }],
    ["gee_ohio_exchangeable", ohioModel(), { correlation: "exchangeable" }],
    ["gee_respiratory_exch", respiratoryModel(), { correlation: "exchangeable" }],
    ["gee_epil_poisson_exch", epilepsyModel(), { correlation: "exchangeable" }],
    ["gee_sleepstudy_gaussian_exch", sleepModel(), { correlation: "exchangeable" }],
    ["gee_pkg_bacteria_exch", bacteriaModel(), { correlation: "exchangeable", divisor: "residual" }],
  ] as const)("%s", (id, model, options) => {
    const want = reference.cases[id].results;
    const fit = fitted(model, options);
    expect(disagreement(fit.coefficients, Object.values<number>(want.coef), 1e-6)).toBeLessThan(1);
    expect(disagreement(fit.standardErrors, Object.values(want.robust_se).flat(), 1e-6)).toBeLessThan(1);
    expect(disagreement(fit.modelStandardErrors, Object.values<number>(want.naive_se), 1e-6)).toBeLessThan(1);
    expect(disagreement([fit.dispersion], [want.scale], 1e-6)).toBeLessThan(1);
    if (options.correlation === "exchangeable") {
      expect(disagreement([fit.correlation], [want.alpha].flat(), 1e-6)).toBeLessThan(1);
    }
  });
});

describe("small-sample correction", () => {
  test("with one row a cluster and independence it is HC3", () => {
    const model = cbppModel();
    const own = { ...model, cluster: model.cluster.map((_, i) => i) };
    const fit = fitted(own, { correlation: "independence", smallSample: "mancl-derouen" });
    const linear = fitGeneralizedLinearModel(model.input);
    if (linear.verdict !== "converged") throw new Error(linear.trouble);
    const want = heteroskedasticCovariance(linear, "HC3").values;
    expect(disagreement(fit.covariance.values, want, 1e-9)).toBeLessThan(1);
  });

  // Gaussian, balanced clusters, cluster-level mean only: (I − H)⁻¹ multiplies each cluster's residual sum by
  // G/(G − 1) in the mean of all (Mancl & DeRouen 2001, eq. 4, worked by hand).
  test("mean of balanced clusters: the sandwich times (G/(G − 1))²", () => {
    const cluster = Array.from({ length: 24 }, (_, i) => i % 6);
    const model: ClusteredInput = {
      input: {
        family: { distribution: "gaussian", link: "identity" },
        names: ["intercept"],
        columns: [ones(24)],
        outcome: Float64Array.from({ length: 24 }, (_, i) => Math.sin(i) + (i % 6)),
      },
      cluster,
    };
    const plain = fitted(model, { correlation: "exchangeable" });
    const corrected = fitted(model, { correlation: "exchangeable", smallSample: "mancl-derouen" });
    expect(corrected.standardErrors[0]).toBeCloseTo((plain.standardErrors[0] * 6) / 5, 10);
  });
});

describe("properties", () => {
  test("rows may come in any order, clusters under any number", () => {
    const model = respiratoryModel();
    const order = model.cluster.map((_, i) => (i * 35) % 444).filter((i, at, all) => all.indexOf(i) === at);
    expect(order).toHaveLength(444);
    const moved: ClusteredInput = {
      input: {
        ...model.input,
        columns: model.input.columns.map((column) => Float64Array.from(order, (i) => column[i])),
        outcome: Float64Array.from(order, (i) => model.input.outcome[i]),
      },
      cluster: order.map((i) => -3 * model.cluster[i]),
    };
    const a = fitted(model, { correlation: "exchangeable", smallSample: "mancl-derouen" });
    const b = fitted(moved, { correlation: "exchangeable", smallSample: "mancl-derouen" });
    expect(disagreement(b.coefficients, a.coefficients, 1e-8)).toBeLessThan(1);
    expect(disagreement(b.standardErrors, a.standardErrors, 1e-8)).toBeLessThan(1);
  });

  test("named conditions", () => {
    const { input, cluster } = bacteriaModel();
    const options = { correlation: "exchangeable" } as const;
    const same = cluster.map(() => 1);
    expect(fitEstimatingEquations(input, same, options)).toMatchObject({ trouble: "too_few_groups" });
    expect(fitEstimatingEquations(input, [1, 2], options)).toMatchObject({ trouble: "invalid_input" });
    const silent = { ...input, outcome: new Float64Array(220) };
    expect(fitEstimatingEquations(silent, cluster, options)).toMatchObject({ trouble: "no_events" });
    const lone = {
      ...input,
      names: ["a", "b"],
      columns: [ones(220), Float64Array.from(cluster, (c) => +(c === 7))],
    };
    expect(fitEstimatingEquations(lone, cluster, { ...options, smallSample: "mancl-derouen" })).toMatchObject(
      { trouble: "too_few_groups" },
    );
  });
});
