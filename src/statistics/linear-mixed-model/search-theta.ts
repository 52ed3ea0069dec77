import { minimizeBounded, type Slope } from "../optimise/bounded-quasi-newton.ts";
import type { Unfit } from "../verdict.ts";
import { averageInformation } from "./average-information.ts";
import { canonicalTheta, NEARLY_ZERO, type Settled } from "./canonical-theta.ts";
import {
  criterionWorkspace,
  differentiateCriterion,
  type LikelihoodMethod,
  solveMixedModel,
} from "./criterion.ts";
import type { LinearMixedDesign } from "./linear-mixed-design.ts";
import { awayFromZero, diagonalPlaces } from "./relative-covariance.ts";

/** Where the criterion is least. */
export interface FoundTheta {
  readonly theta: Float64Array;
  readonly evaluations: number;
  readonly largestGradient: number;
}

/**
 * Minimum of the criterion over θ by average-information steps within a trust region, zero variances checked from both
 * sides.
 */
export function searchTheta(
  design: LinearMixedDesign,
  method: LikelihoodMethod,
  start: Float64Array,
): FoundTheta | Unfit {
  if (start.length === 0) return { theta: start, evaluations: 0, largestGradient: 0 };
  const workspace = criterionWorkspace(design);
  const diagonal = diagonalPlaces(design.blocks);
  const degrees = method === "REML" ? design.rows - design.fixedCount : design.rows;
  const slope = (point: Float64Array) => {
    const theta = awayFromZero(point, diagonal, design.unit);
    const solution = solveMixedModel(design, method, theta, workspace);
    if (solution === undefined) return { value: Number.NaN, gradient: new Float64Array(theta.length) };
    const parts = differentiateCriterion(design, method, solution, workspace);
    const gradient = parts.logDeterminants.map(
      (d, k) => d + (degrees * parts.penalizedSquares[k]!) / solution.penalizedSquares,
    );
    const hessian = averageInformation(design, solution);
    // The criterion is even in θ along a diagonal: gradient / θ is the part of its curvature that the average
    // information lacks, and all of it where a variance goes to zero.
    for (const k of diagonal)
      hessian.values[k * (theta.length + 1)]! += Math.max(0, gradient[k]! / theta[k]!);
    return { value: solution.criterion, gradient, hessian };
  };
  let evaluations = 0;
  let from = start;
  for (let round = 0; round < 4; round++) {
    const result = minimizeBounded(slope, from, {
      scale: design.unit.map((u) => 1 / u),
      radius: Math.max(1, ...from.map((value, k) => value * design.unit[k]!)),
      tolerance: 1e-13,
      maximumEvaluations: 100,
    });
    evaluations += result.evaluations;
    if (!result.converged) {
      return stuck(`largest gradient ${result.largestGradient} after ${evaluations} evaluations`);
    }
    const settled = canonicalTheta(design, method, result.point, result.value);
    const inward = settled.zeroed.length === 0 ? null : fallsInward(design, settled, slope);
    if (inward === null) {
      return { theta: settled.theta, evaluations, largestGradient: result.largestGradient };
    }
    from = inward;
  }
  return stuck("a variance would not stay at zero");
}

/**
 * The criterion is even in a lone relative standard deviation, so zero is always stationary. Where it falls from
 * zero inward the search had stopped at a crest: the point to start again from; else null.
 */
function fallsInward(
  design: LinearMixedDesign,
  settled: Settled,
  slope: (point: Float64Array) => Slope,
): Float64Array | null {
  const probe = Float64Array.from(settled.theta);
  for (const k of settled.zeroed) probe[k] = (10 * NEARLY_ZERO) / design.unit[k]!;
  const { value, gradient } = slope(probe);
  if (!Number.isFinite(value)) return null;
  const falling = settled.zeroed.filter((k) => gradient[k]! < -1e-6 * design.unit[k]!);
  if (falling.length === 0) return null;
  for (const k of settled.zeroed) probe[k] = (falling.includes(k) ? 0.2 : NEARLY_ZERO) / design.unit[k]!;
  return probe;
}

function stuck(detail: string): Unfit {
  return { verdict: "failed", trouble: "not_converged", detail };
}
