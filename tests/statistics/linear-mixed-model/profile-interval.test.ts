import { describe, expect, it } from "vitest";
import { profileInterval } from "../../../src/statistics/linear-mixed-model/profile-interval.ts";
import models from "../../reference/linear-mixed-models.json";
import { expectClose, fitted } from "./fitted.ts";
import { referenceModel } from "./reference-models.ts";

interface Limits {
  readonly ml_estimate: number;
  readonly lower: number;
  readonly upper: number;
}

describe("profile likelihood limits of standard deviations", () => {
  for (const { id, results } of models.cases) {
    const exact = (results as { profile_ci95_sd_exact?: Record<string, Limits> }).profile_ci95_sd_exact;
    if (exact === undefined) continue;
    it(`${id}: the limits found by root search on lme4's deviance`, () => {
      const fit = fitted(referenceModel(id).input, "ML");
      Object.entries(exact).forEach(([name, want], k) => {
        const found = profileInterval(fit, name === ".sigma" ? "residual" : { term: k });
        if ("trouble" in found) throw new Error(found.detail);
        expectClose(found.estimate, want.ml_estimate, 1e-5);
        expectClose(found.lo, want.lower, 1e-5);
        expectClose(found.hi, want.upper, 1e-5);
      });
    });
  }

  for (const id of ["sleepstudy_ris", "sleepstudy_ris_uncorr"]) {
    it(`${id}: intercept and slope, as lme4's interpolated profile has them`, () => {
      const { profile_ci95_lme4: want } = models.cases.find((c) => c.id === id)!.results as unknown as {
        profile_ci95_lme4: { rownames: string[]; row_major: number[] };
      };
      const fit = fitted(referenceModel(id).input, "ML");
      const rows = [
        ["sd_(Intercept)|Subject", { term: 0, effect: 0 }],
        ["sd_Days|Subject", { term: 0, effect: 1 }],
        ["sigma", "residual"],
      ] as const;
      for (const [name, of] of rows) {
        const row = want.rownames.indexOf(name);
        const found = profileInterval(fit, of);
        if ("trouble" in found) throw new Error(found.detail);
        expectClose(found.lo, want.row_major[2 * row]!, 5e-3);
        expectClose(found.hi, want.row_major[2 * row + 1]!, 5e-3);
      }
    });
  }

  it("reaches down to zero where the estimate is zero, and no further", () => {
    const fit = fitted(referenceModel("dyestuff2_boundary").input, "ML");
    const found = profileInterval(fit, { term: 0 });
    if ("trouble" in found) throw new Error(found.detail);
    expect(found.estimate).toBe(0);
    expect(found.lo).toBe(0);
    expect(found.hi).toBeGreaterThan(1);
    expect(found.hi).toBeLessThan(3);
  });
});
