import { runGeneralizedLinearModel } from "../generalized-linear/generalized-linear-model.ts";
import { type LinearModelData, whyNot } from "../generalized-linear/linear-model-input.ts";
import type { Unfit } from "../verdict.ts";
import type { MixedModel } from "./model-input.ts";
import { fixedPart } from "./parse-mixed-model.ts";
import { diagonalThetas, thetaStarts } from "./term-factor.ts";

/**
 * Estimates of the fixed part alone. The marginal likelihood has no maximum where that of the fixed part has none,
 * so its separation is named here; of very many rows a sample gives the start, and separation shows in the search.
 */
export function startingCoefficients(model: MixedModel, fixed: LinearModelData): Float64Array | Unfit {
  const stride = Math.floor(model.rows / SAMPLE);
  if (stride >= 4) {
    const sample = fixedPart(model, stride);
    const fit = whyNot(sample) ?? runGeneralizedLinearModel(sample, { tolerance: 1e-6 });
    if (fit.verdict === "converged") return fit.coefficients;
  }
  const fit = runGeneralizedLinearModel(fixed, { tolerance: 1e-6 });
  return fit.verdict === "converged" ? fit.coefficients : fit;
}

/** Every standard deviation 0.7, no correlation: a middling size for a log odds or a log rate. */
export function startingTheta(model: MixedModel): Float64Array {
  const theta = new Float64Array(thetaStarts(model)[model.terms.length]);
  for (const k of diagonalThetas(model)) theta[k] = 0.7;
  return theta;
}

const SAMPLE = 20_000;
