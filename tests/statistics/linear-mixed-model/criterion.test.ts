import { describe, expect, it } from "vitest";
import {
  differentiateCriterion,
  type LikelihoodMethod,
  solveMixedModel,
} from "../../../src/statistics/linear-mixed-model/criterion.ts";
import { termCovariances } from "../../../src/statistics/linear-mixed-model/fit-linear-mixed-model.ts";
import {
  type LinearMixedDesign,
  linearMixedDesign,
} from "../../../src/statistics/linear-mixed-model/linear-mixed-design.ts";
import { denseModel } from "./dense-model.ts";
import { mixedBag } from "./small-models.ts";

const thetas = [
  [0.9, 0.3, 0.6, 0.8, 1.4],
  [2.5, -1.7, 0.05, 0.2, 0.4],
  [0.4, 0.1, 0.2, 3, 8],
];

function designOf(seed: number): LinearMixedDesign {
  const design = linearMixedDesign(mixedBag(seed));
  if ("trouble" in design) throw new Error(design.detail);
  return design;
}

function criterionAt(design: LinearMixedDesign, method: LikelihoodMethod, theta: number[]): number {
  return solveMixedModel(design, method, theta)!.criterion;
}

describe("the profiled criterion", () => {
  for (const method of ["REML", "ML"] as const) {
    it(`equals −2 log-likelihood from V inverted outright (${method})`, () => {
      for (const [k, theta] of thetas.entries()) {
        const design = designOf(k + 1);
        const solution = solveMixedModel(design, method, theta)!;
        const dense = denseModel(
          design.input,
          termCovariances(design, theta, solution.sigmaSquared),
          solution.sigmaSquared,
        );
        const want = method === "REML" ? dense.minusTwoRestricted : dense.minusTwoLogLikelihood;
        expect(solution.criterion).toBeCloseTo(want, 8);
      }
    });

    it(`has the derivatives that differences of it show (${method})`, () => {
      for (const [k, theta] of thetas.entries()) {
        const design = designOf(k + 1);
        const solution = solveMixedModel(design, method, theta)!;
        const parts = differentiateCriterion(design, method, solution);
        theta.forEach((value, i) => {
          const step = 1e-5 * Math.max(1, Math.abs(value));
          const moved = (by: number): number[] => theta.map((v, j) => (j === i ? v + by : v));
          const difference =
            (criterionAt(design, method, moved(step)) - criterionAt(design, method, moved(-step))) /
            (2 * step);
          const slope = parts.logDeterminants[i]! + parts.penalizedSquares[i]! / solution.sigmaSquared;
          expect(Math.abs(slope - difference)).toBeLessThan(1e-5 * Math.max(1, Math.abs(difference)));
        });
      }
    });
  }

  it("takes zero for a whole term: the model without it", () => {
    const design = designOf(4);
    const without = linearMixedDesign({ ...design.input, random: design.input.random.slice(1) });
    if ("trouble" in without) throw new Error(without.detail);
    expect(criterionAt(design, "REML", [0, 0, 0, 0.7, 0.5])).toBeCloseTo(
      criterionAt(without, "REML", [0.7, 0.5]),
      9,
    );
  });
});
