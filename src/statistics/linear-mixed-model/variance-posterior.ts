import { type DensityDrawsOptions, densityDraws, type WeightedPoints } from "../density/density-draws.ts";
import { type DensityShape, densityShape, placeAt } from "../density/density-shape.ts";
import type { Slope } from "../optimise/bounded-quasi-newton.ts";
import type { Unfit } from "../verdict.ts";
import { averageInformation } from "./average-information.ts";
import {
  type CriterionWorkspace,
  criterionWorkspace,
  differentiateCriterion,
  type MixedModelSolution,
  solveMixedModel,
} from "./criterion.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import type { LinearMixedDesign } from "./linear-mixed-design.ts";
import { diagonalPlaces, thetaPlace } from "./relative-covariance.ts";

/**
 * The restricted likelihood times a flat prior on every standard deviation (and a uniform one on correlation
 * matrices), σ² integrated out, as a density of η: the logarithms of the diagonals of T and its other entries as they
 * are. Given η, effects have t distributions with `df` degrees of freedom. The prior fades out where a term alone
 * would vary several times as much as the whole outcome does: with very few levels the likelihood does not fall off
 * there by itself (Gelman 2006, Bayesian Anal. 1, 515-534).
 */
export interface VariancePosterior {
  readonly design: LinearMixedDesign;
  readonly df: number;
  /** By entry of θ, where the prior fades out. */
  readonly ceiling: Float64Array;
  readonly shape: DensityShape;
}

/** A term's standard deviation, times its design, at which the prior has faded: in those of the outcome. */
const FADING = 3;

/** A point of the posterior: the equations solved there and the logarithm of the density of η, up to a constant. */
export interface PosteriorPoint {
  readonly solution: MixedModelSolution;
  readonly logDensity: number;
}

/** Finds the mode of the posterior and its shape around it. */
export function variancePosterior(fit: FittedLinearMixed): VariancePosterior | Unfit {
  const { design } = fit;
  const deviations = design.blocks.reduce((sum, { size }) => sum + size, 0);
  const df = design.rows - design.fixedCount - deviations - 1;
  if (df < 3)
    return { verdict: "failed", trouble: "too_few_rows", detail: `${df} degrees of freedom are left` };
  const diagonal = diagonalPlaces(design.blocks);
  const start = Float64Array.from(fit.solution.theta);
  for (const k of diagonal) start[k] = Math.log(Math.max(start[k]!, 0.5 / design.unit[k]!));
  const frame = { design, df, ceiling: ceilings(fit) };
  const workspace = criterionWorkspace(design);
  const shape = densityShape(
    (eta) => slopeAt(frame, diagonal, eta, workspace),
    (eta) => solvedAt(frame, eta, workspace)?.logDensity ?? -Infinity,
    start,
    Float64Array.from(start, (_, k) => (diagonal.includes(k) ? 1 : 1 / design.unit[k]!)),
  );
  if (shape === undefined)
    return { verdict: "failed", trouble: "not_converged", detail: "no mode of the variances" };
  return { ...frame, shape };
}

/** Solves the equations at coordinates z of the posterior's shape; undefined where floating point gives out. */
export function posteriorPoint(
  posterior: VariancePosterior,
  z: ArrayLike<number>,
  workspace?: CriterionWorkspace,
): PosteriorPoint | undefined {
  return solvedAt(posterior, placeAt(posterior.shape, z), workspace);
}

/** Seeded draws from the posterior (see `densityDraws`). */
export function drawPosterior(posterior: VariancePosterior, options: DensityDrawsOptions): WeightedPoints {
  const workspace = criterionWorkspace(posterior.design);
  return densityDraws(
    posterior.shape,
    (z) => posteriorPoint(posterior, z, workspace)?.logDensity ?? -Infinity,
    options,
  );
}

type PosteriorFrame = Omit<VariancePosterior, "shape">;

function solvedAt(
  { design, df, ceiling }: PosteriorFrame,
  eta: Float64Array,
  workspace?: CriterionWorkspace,
): PosteriorPoint | undefined {
  const theta = thetaOf(design, eta);
  const solution = solveMixedModel(design, "REML", theta, workspace);
  if (solution === undefined) return undefined;
  const likelihood = -0.5 * (solution.logDeterminants + df * Math.log(solution.penalizedSquares));
  return { solution, logDensity: likelihood + logPrior(design, ceiling, theta).value };
}

/** θ at which each effect alone, over the rows, would vary `FADING` times as much as the outcome does. */
function ceilings(fit: FittedLinearMixed): Float64Array {
  const { design, sigmaSquared } = fit;
  const outcome = Math.sqrt(design.residualSquares / (design.rows - design.fixedCount));
  const result = new Float64Array(design.layout.length);
  design.blocks.forEach(({ size, levels, offset }, b) => {
    for (let row = 0; row < size; row++) {
      let squares = 0;
      for (let level = 0; level < levels; level++) {
        squares += design.cross.values[design.cross.columnStart[offset + level * size + row]!]!;
      }
      const spread = Math.sqrt(squares / design.rows) * Math.sqrt(sigmaSquared);
      for (let column = 0; column <= row; column++) {
        result[design.layout.start[b]! + thetaPlace(size, row, column)] = (FADING * outcome) / spread;
      }
    }
  });
  return result;
}

function thetaOf(design: LinearMixedDesign, eta: Float64Array): Float64Array {
  const theta = Float64Array.from(eta);
  for (const k of diagonalPlaces(design.blocks)) theta[k] = Math.exp(Math.min(eta[k]!, 300));
  return theta;
}

/** −log density of η, its gradient, and half the average information in these coordinates. */
function slopeAt(
  { design, df, ceiling }: PosteriorFrame,
  diagonal: readonly number[],
  eta: Float64Array,
  workspace: CriterionWorkspace,
): Slope {
  const theta = thetaOf(design, eta);
  const count = theta.length;
  const solution = solveMixedModel(design, "REML", theta, workspace);
  if (solution === undefined) return { value: Number.NaN, gradient: new Float64Array(count) };
  const parts = differentiateCriterion(design, "REML", solution, workspace);
  const prior = logPrior(design, ceiling, theta);
  const chain = Float64Array.from(theta, (value, k) => (diagonal.includes(k) ? value : 1));
  const likelihood = Float64Array.from(
    theta,
    (_, k) =>
      0.5 *
      chain[k]! *
      (parts.logDeterminants[k]! + (df * parts.penalizedSquares[k]!) / solution.penalizedSquares),
  );
  const hessian = averageInformation(design, solution);
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < count; j++) hessian.values[i * count + j]! *= 0.5 * chain[i]! * chain[j]!;
  }
  for (const k of diagonal) {
    const fading = 8 * (theta[k]! / ceiling[k]!) ** 4;
    hessian.values[k * (count + 1)]! += 2 * Math.max(0, likelihood[k]!) + fading;
  }
  return {
    value: 0.5 * (solution.logDeterminants + df * Math.log(solution.penalizedSquares)) - prior.value,
    gradient: likelihood.map((g, k) => g - prior.gradient[k]!),
    hessian,
  };
}

/**
 * Log prior density of η and its gradient. Row a of T (from 0) is a standard deviation s times a direction; flat in s
 * and uniform over correlation matrices makes the density of the row s^−a (T_aa/s)^(c−a), c the block's size
 * (Lewandowski, Kurowicka and Joe 2009, J. Multivar. Anal. 100, 1989-2001); the logarithm of T_aa adds one factor T_aa.
 */
function logPrior(
  design: LinearMixedDesign,
  ceiling: Float64Array,
  theta: Float64Array,
): { value: number; gradient: Float64Array } {
  const gradient = new Float64Array(theta.length);
  let value = 0;
  design.blocks.forEach(({ size }, b) => {
    const start = design.layout.start[b]!;
    for (let a = 0; a < size; a++) {
      const own = start + thetaPlace(size, a, a);
      value += Math.log(theta[own]!);
      gradient[own]! += 1;
      const places = Array.from({ length: a + 1 }, (_, j) => start + thetaPlace(size, a, j));
      const squares = places.reduce((sum, k) => sum + theta[k]! ** 2, 0);
      const share = squares / ceiling[own]! ** 2;
      value -= 0.5 * share * share;
      for (const k of places) {
        gradient[k]! -= ((2 * share * theta[k]!) / ceiling[own]! ** 2) * (k === own ? theta[k]! : 1);
      }
      if (a === 0) continue;
      value += (size - a) * Math.log(theta[own]!) - (size / 2) * Math.log(squares);
      gradient[own]! += size - a;
      for (const k of places) {
        gradient[k]! -= ((size * theta[k]!) / squares) * (k === own ? theta[k]! : 1);
      }
    }
  });
  return { value, gradient };
}
