import { describe, expect, test } from "vitest";
import {
  type MixedFamily,
  type RowDerivatives,
  rowLikelihoodOf,
} from "../../../src/statistics/generalized-mixed-model/row-likelihood.ts";

const families: readonly MixedFamily[] = [
  { distribution: "binomial", link: "logit" },
  { distribution: "binomial", link: "cloglog" },
  { distribution: "poisson", link: "log" },
];

function at(family: MixedFamily, eta: number, total: number, size: number) {
  const one = () => new Float64Array(1);
  const into: RowDerivatives = { score: one(), weight: one(), weightSlope: one(), weightCurvature: one() };
  const likelihood = rowLikelihoodOf(family);
  const rows = [Float64Array.of(eta), 0, Float64Array.of(total), Float64Array.of(size), 0, 1] as const;
  likelihood.allDerivatives(...rows, into);
  const brief: RowDerivatives = { ...into, score: one(), weight: one() };
  likelihood.scoreAndWeight(...rows, brief);
  return {
    logLikelihood: likelihood.logLikelihood(...rows),
    score: into.score[0],
    weight: into.weight[0],
    weightSlope: into.weightSlope[0],
    weightCurvature: into.weightCurvature[0],
    again: [brief.score[0], brief.weight[0]],
  };
}

describe.each(families)("$distribution $link", (family) => {
  test.each([-9, -4.1, -2, -0.3, 0.4, 1.5, 2.6])(
    "each derivative is that of the one before, at %d",
    (eta) => {
      for (const [total, size] of [
        [0, 3],
        [3, 3],
        [2, 5],
      ] as const) {
        const h = 1e-5;
        const here = at(family, eta, total, size);
        const [above, below] = [at(family, eta + h, total, size), at(family, eta - h, total, size)];
        const slope = (of: (row: ReturnType<typeof at>) => number) => (of(above) - of(below)) / (2 * h);
        expect(here.score).toBeCloseTo(
          slope((row) => row.logLikelihood),
          7,
        );
        expect(here.weight).toBeCloseTo(-slope((row) => row.score), 7);
        expect(here.weightSlope).toBeCloseTo(
          slope((row) => row.weight),
          7,
        );
        expect(here.weightCurvature).toBeCloseTo(
          slope((row) => row.weightSlope),
          7,
        );
        expect(here.again[0]).toBeCloseTo(here.score, 13);
        expect(here.again[1]).toBeCloseTo(here.weight, 13);
      }
    },
  );
});

test("far out the complementary log-log keeps its digits", () => {
  // A success at small e = exp(η) has score 1 − e/2 and weight e/2 to first order (series of e/(exp(e) − 1)).
  const e = Math.exp(-25);
  const row = at({ distribution: "binomial", link: "cloglog" }, -25, 1, 1);
  expect(row.score).toBe(1 - e / 2);
  expect(row.weight / (e / 2)).toBeCloseTo(1, 9);
  expect(row.logLikelihood).toBeCloseTo(-25, 9);
});

test("far out the logit has no overflow", () => {
  const sure = at({ distribution: "binomial", link: "logit" }, -800, 0, 4);
  expect([sure.logLikelihood, sure.score, sure.weight, sure.weightCurvature]).toEqual([0, 0, 0, 0]);
});
