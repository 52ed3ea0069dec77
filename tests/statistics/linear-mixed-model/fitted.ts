import { expect } from "vitest";
import type { LikelihoodMethod } from "../../../src/statistics/linear-mixed-model/criterion.ts";
import {
  type FittedLinearMixed,
  fitLinearMixedModel,
} from "../../../src/statistics/linear-mixed-model/fit-linear-mixed-model.ts";
import type { LinearMixedInput } from "../../../src/statistics/linear-mixed-model/linear-mixed-design.ts";

/** The fit, where there must be one. */
export function fitted(input: LinearMixedInput, method: LikelihoodMethod = "REML"): FittedLinearMixed {
  const fit = fitLinearMixedModel(input, { method });
  if ("trouble" in fit) throw new Error(`${fit.trouble}: ${fit.detail}`);
  return fit;
}

/** |found − want| ≤ absolute + relative·|want|. */
export function expectClose(found: number, want: number, relative: number, absolute = relative): void {
  expect(Math.abs(found - want), `${found} for ${want}`).toBeLessThanOrEqual(
    absolute + relative * Math.abs(want),
  );
}
