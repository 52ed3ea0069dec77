import { describe, expect, test } from "vitest";
import {
  type ClusterRobustType,
  clusterRobustCovariance,
} from "../../../src/statistics/generalized-linear/cluster-robust-covariance.ts";
import { fitGeneralizedLinearModel } from "../../../src/statistics/generalized-linear/generalized-linear-model.ts";
import { heteroskedasticCovariance } from "../../../src/statistics/generalized-linear/heteroskedastic-covariance.ts";
import type { DenseMatrix } from "../../../src/statistics/linear-algebra/dense-matrix.ts";
import { disagreement } from "./reference-data.ts";
import {
  bacteriaModel,
  type ClusteredInput,
  cbppModel,
  epilepsyModel,
  reference,
  sleepModel,
} from "./reference-models.ts";

function fitted({ input }: ClusteredInput) {
  const fit = fitGeneralizedLinearModel(input);
  if (fit.verdict !== "converged") throw new Error(fit.trouble);
  return fit;
}

function clustered(model: ClusteredInput, type: ClusterRobustType, cluster = model.cluster) {
  const result = clusterRobustCovariance(fitted(model), cluster, type);
  if ("verdict" in result) throw new Error(result.trouble);
  return result;
}

function errors(matrix: DenseMatrix): Float64Array {
  return Float64Array.from({ length: matrix.rows }, (_, j) => Math.sqrt(matrix.values[j * matrix.rows + j]));
}

describe("against an independent implementation (tests/reference/generalized-linear-models.json)", () => {
  test.each([
    ["glm_cbpp_binomial", cbppModel()],
    ["glm_bacteria_logit", bacteriaModel()],
    ["glm_epil_poisson", epilepsyModel()],
    ["lm_sleepstudy", sleepModel()],
  ] as const)("heteroskedastic: %s", (id, model) => {
    for (const type of ["HC0", "HC1", "HC2", "HC3"] as const) {
      const got = errors(heteroskedasticCovariance(fitted(model), type));
      expect(disagreement(got, reference.cases[id].results.robust_se[type], 1e-7)).toBeLessThan(1);
    }
  });

  // The reference applies G/(G − 1) to both of its types; its HC1 also (n − 1)/(n − p).
  test.each([
    ["glm_cbpp_binomial", cbppModel()],
    ["glm_bacteria_logit", bacteriaModel()],
    ["glm_epil_poisson", epilepsyModel()],
  ] as const)("clustered: %s", (id, model) => {
    const want = reference.cases[id].results.cluster_se;
    expect(disagreement(clustered(model, "CR1").standardErrors, want.HC0, 1e-7)).toBeLessThan(1);
    expect(disagreement(clustered(model, "CR1S").standardErrors, want.HC1, 1e-7)).toBeLessThan(1);
  });

  test.each([
    ["glm_bacteria_logit", bacteriaModel()],
    ["glm_epil_poisson", epilepsyModel()],
  ] as const)("bias-reduced with Satterthwaite degrees of freedom: %s", (id, model) => {
    const want = reference.cases[id].results;
    const got = clustered(model, "CR2");
    expect(disagreement(got.standardErrors, want.cluster_se_CR2, 1e-6)).toBeLessThan(1);
    expect(disagreement(got.degreesOfFreedom, want.cr2_satterthwaite_df, 1e-6)).toBeLessThan(1);
  });

  test("bias-reduced, gaussian", () => {
    const want = reference.cases.lm_sleepstudy.results;
    const got = clustered(sleepModel(), "CR2");
    expect(disagreement(got.standardErrors, want.CR2_se, 1e-7)).toBeLessThan(1);
    expect(disagreement(got.degreesOfFreedom, want.CR2_df, 1e-7)).toBeLessThan(1);
  });
});

describe("properties", () => {
  test("clusters of one row each give the heteroskedastic covariances", () => {
    const model = sleepModel();
    const own = model.cluster.map((_, i) => i);
    const fit = fitted(model);
    for (const [type, same] of [
      ["CR0", "HC0"],
      ["CR2", "HC2"],
    ] as const) {
      const got = clustered(model, type, own).standardErrors;
      expect(disagreement(got, errors(heteroskedasticCovariance(fit, same)), 1e-9)).toBeLessThan(1);
    }
  });

  test("names of clusters do not matter", () => {
    const model = epilepsyModel();
    const renamed = model.cluster.map((c) => 1000 - 7 * c);
    const got = clustered(model, "CR2", renamed);
    expect(disagreement(got.standardErrors, clustered(model, "CR2").standardErrors, 1e-12)).toBeLessThan(1);
  });

  test("one cluster has no covariance", () => {
    const model = sleepModel();
    const result = clusterRobustCovariance(fitted(model), new Array<number>(180).fill(4), "CR0");
    expect(result).toMatchObject({ verdict: "failed", trouble: "too_few_groups" });
  });
});
