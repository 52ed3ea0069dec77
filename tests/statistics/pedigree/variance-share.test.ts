import { describe, expect, it } from "vitest";
import {
  restrictedLogLikelihood,
  solveEquations,
} from "../../../src/statistics/pedigree/restricted-likelihood.ts";
import {
  profileLogLikelihood,
  shareEstimate,
  shareInterval,
  shareOfTotal,
} from "../../../src/statistics/pedigree/variance-share.ts";
import { referenceCase } from "./reference-flocks.ts";
import { fitOf, modelOf, sim160Input, sim300Input } from "./reference-models.ts";

interface ShareResults {
  readonly heritability: number;
  readonly heritability_se_delta_average_info: number;
  readonly heritability_within_herd: number;
  readonly reml_logLik_without_animal: number;
}

const cases = [
  { id: "sim300_reml", input: sim300Input, herd: 1 },
  { id: "sim160_repeatability_reml", input: sim160Input, herd: 1 },
];

describe("variance shares", () => {
  it.each(cases)("agree with the dense reference on $id", ({ id, input, herd }) => {
    const want = referenceCase<ShareResults>(id);
    const model = modelOf(input());
    const fit = fitOf(model);
    const { estimate, standardError } = shareEstimate(fit, shareOfTotal(model, 0));
    expect(estimate).toBeCloseTo(want.heritability, 6);
    expect(standardError).toBeCloseTo(want.heritability_se_delta_average_info, 5);
    const within = { term: 0, denominator: model.names.map((_, k) => (k === herd ? 0 : 1)) };
    expect(shareEstimate(fit, within).estimate).toBeCloseTo(want.heritability_within_herd, 6);
    const none = profileLogLikelihood(model, fit, shareOfTotal(model, 0), 0);
    expect(none).toBeCloseTo(want.reml_logLik_without_animal, 6);
  });

  it("has limits at which the best likelihood is half the chi-square quantile below the top", () => {
    const model = modelOf(sim300Input());
    const fit = fitOf(model);
    const share = { term: 0, denominator: [1, 0, 1] };
    const { lo, hi } = shareInterval(model, fit, share);
    for (const limit of [lo, hi]) {
      // Searched over the herd ratio, the residual variance profiled out: an independent route to the profile.
      let best = Number.NEGATIVE_INFINITY;
      for (let herdRatio = 0.05; herdRatio < 2; herdRatio += 0.01) {
        const ratios = Float64Array.of(Math.sqrt(limit / (1 - limit)), herdRatio);
        const solution = solveEquations(model.gaussian, ratios);
        if (solution === undefined) throw new Error("not solved");
        const residual = solution.sumOfSquares / (model.gaussian.y.length - 2);
        best = Math.max(best, restrictedLogLikelihood(model.gaussian, solution, residual));
      }
      // Chi-square with 1 degree of freedom: 95 % quantile 3.841459.
      expect(fit.logLikelihood - best).toBeCloseTo(3.841459 / 2, 3);
    }
  });

  it("ends at zero where the likelihood without the term is close to the top", () => {
    const model = modelOf(sim160Input());
    const fit = fitOf(model);
    const permanent = shareInterval(model, fit, shareOfTotal(model, 2), 0.9999);
    expect(permanent.lo).toBe(0);
    expect(permanent.hi).toBeGreaterThan(permanent.estimate);
  });
});
