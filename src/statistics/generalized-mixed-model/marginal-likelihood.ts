import type { Curved } from "../generalized-linear/damped-newton.ts";
import { unfit } from "../generalized-linear/linear-model-input.ts";
import { type DenseMatrix, quadraticForm, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { Slope } from "../optimise/bounded-quasi-newton.ts";
import type { Unfit } from "../verdict.ts";
import { laplaceLikelihood } from "./laplace-likelihood.ts";
import type { MixedModel, ModelTerm } from "./model-input.ts";
import { isSingleTerm, singleTermLikelihood } from "./single-term-likelihood.ts";
import { termFactor } from "./term-factor.ts";

/** Predicted effects of one term, level by level, given the data and the parameters. */
export interface TermEffects {
  /** Conditional modes: `effectCount` a level. */
  readonly mode: Float64Array;
  /** Conditional covariances: an `effectCount` square a level, β and θ taken as known. */
  readonly covariance: Float64Array;
}

/**
 * The marginal likelihood of a mixed model as a function of (β, θ), callable at any parameters: negative
 * log-likelihood without the data's constant. θ holds each term's factor T of the effects' covariance T T'
 * (standard deviations where effects are independent). A value outside the domain is infinite or null.
 */
export interface MarginalLikelihood {
  readonly coefficients: number;
  readonly thetas: number;
  readonly value: (parameters: Float64Array) => number;
  readonly slope: (parameters: Float64Array) => Slope;
  /** With the Hessian; only its rows and columns of `free` need be right (default all). */
  readonly curved: (parameters: Float64Array, free?: readonly number[]) => Curved | null;
  /** A cheap guess of the Hessian for searches that have to build it up; null where `curved` is as cheap. */
  readonly roughHessian: ((parameters: Float64Array) => DenseMatrix) | null;
  readonly effects: (parameters: Float64Array) => TermEffects[] | null;
}

/**
 * One quadrature point is Laplace's approximation, for any structure; more points are adaptive Gauss-Hermite
 * quadrature, for one random effect of one grouping factor. The Hessian is exact for one grouping factor and by
 * central differences of the exact gradient otherwise.
 */
export function marginalLikelihood(model: MixedModel, points = 1): MarginalLikelihood | Unfit {
  if (isSingleTerm(model)) return bySingleTerm(model, points);
  if (points !== 1)
    return unfit("invalid_input", "quadrature needs one random effect of one grouping factor");
  return byLaplace(model);
}

function bySingleTerm(model: MixedModel, points: number): MarginalLikelihood {
  const likelihood = singleTermLikelihood(model, points);
  const size = likelihood.coefficients + 1;
  return {
    coefficients: likelihood.coefficients,
    thetas: 1,
    value: likelihood.value,
    slope: (parameters) =>
      likelihood.evaluate(parameters) ?? {
        value: Number.POSITIVE_INFINITY,
        gradient: new Float64Array(size),
      },
    curved: likelihood.evaluate,
    roughHessian: null,
    effects: (parameters) => {
      const { mode, variance } = likelihood.modes(parameters);
      return [{ mode, covariance: variance }];
    },
  };
}

function byLaplace(model: MixedModel): MarginalLikelihood {
  const { coefficients, thetas, slope, value, roughHessian, conditional } = laplaceLikelihood(model);
  let known: KnownCurvature | null = null;
  return {
    coefficients,
    thetas,
    value,
    slope,
    roughHessian,
    curved(parameters, free = Array.from(parameters.keys())) {
      const here = slope(parameters);
      if (!Number.isFinite(here.value)) return null;
      const gradient = Float64Array.from(here.gradient);
      if (known === null || !serves(known, parameters, free)) {
        const steps = differenceSteps(parameters, coefficients, roughHessian(parameters));
        const hessian = differencedHessian(slope, parameters, steps, free);
        if (hessian === null) return null;
        known = { at: Float64Array.from(parameters), free, hessian };
      }
      return { value: here.value, gradient, hessian: known.hessian };
    },
    effects(parameters) {
      const found = conditional(parameters);
      if (found === null) return null;
      return model.terms.map((term, t) => {
        const theta = parameters.subarray(coefficients + found.design.thetaStart[t]);
        return termEffects(term, theta, found.mode, found.covariance, found.design.termStart[t]);
      });
    },
  };
}

interface KnownCurvature {
  readonly at: Float64Array;
  readonly free: readonly number[];
  readonly hessian: DenseMatrix;
}

/** A Hessian serves again within this squared distance, in standard errors, of where it was taken. */
const SAME_CURVATURE = 1e-7;

function serves(known: KnownCurvature, to: Float64Array, free: readonly number[]): boolean {
  if (!free.every((k) => known.free.includes(k))) return false;
  const moved = to.map((value, k) => value - known.at[k]);
  if (moved.some((by, k) => Math.abs(by) > 1e-3 && !known.free.includes(k))) return false;
  const squared = quadraticForm(known.hessian, moved);
  return squared >= 0 && squared <= SAME_CURVATURE;
}

/** A thousandth of a standard error for coefficients, a thousandth of the size for θ. */
function differenceSteps(parameters: Float64Array, coefficients: number, rough: DenseMatrix): Float64Array {
  return parameters.map((value, k) =>
    k < coefficients
      ? 1e-3 / Math.sqrt(rough.values[k * rough.rows + k])
      : 1e-3 * Math.max(0.05, Math.abs(value)),
  );
}

function differencedHessian(
  slope: (parameters: Float64Array) => Slope,
  at: Float64Array,
  steps: Float64Array,
  free: readonly number[],
): DenseMatrix | null {
  const n = at.length;
  const hessian = zeroMatrix(n, n);
  for (const k of free) {
    const moved = Float64Array.from(at);
    moved[k] = at[k] + steps[k];
    const above = slope(moved);
    moved[k] = at[k] - steps[k];
    const below = slope(moved);
    if (!Number.isFinite(above.value) || !Number.isFinite(below.value)) return null;
    for (const j of free) {
      const entry = (above.gradient[j] - below.gradient[j]) / (4 * steps[k]);
      hessian.values[j * n + k] += entry;
      hessian.values[k * n + j] += entry;
    }
  }
  return hessian;
}

/** Effects T u and covariances T S T' from standardised modes u and their covariance S. */
function termEffects(
  term: ModelTerm,
  theta: Float64Array,
  standardised: Float64Array,
  covarianceOf: (i: number, j: number) => number,
  start: number,
): TermEffects {
  const q = term.effectCount;
  const t = termFactor(term, theta);
  const mode = new Float64Array(term.levels * q);
  const covariance = new Float64Array(term.levels * q * q);
  for (let level = 0; level < term.levels; level++) {
    const first = start + level * q;
    for (let a = 0; a < q; a++) {
      for (let b = 0; b <= a; b++) mode[level * q + a] += t[a * q + b] * standardised[first + b];
      for (let c = 0; c < q; c++) {
        let sum = 0;
        for (let b = 0; b <= a; b++) {
          for (let d = 0; d <= c; d++)
            sum += t[a * q + b] * t[c * q + d] * covarianceOf(first + b, first + d);
        }
        covariance[level * q * q + a * q + c] = sum;
      }
    }
  }
  return { mode, covariance };
}
