import { chiSquareQuantile } from "../distributions/chi-square.ts";
import { checkLevel, type Interval } from "../interval.ts";
import { findRoot } from "../optimise/root.ts";
import { type FittedLogisticAnimalModel, fitLogisticData } from "./fit-logistic-animal-model.ts";
import type { LiabilityBootstrap } from "./liability-bootstrap.ts";
import { LOGISTIC_VARIANCE, type LogisticAnimalModel } from "./logistic-animal-model.ts";
import { parameterOf } from "./variance-map.ts";

/** A figure of a fit with its bias removed. */
export interface LiabilityEstimate extends Interval {
  /** As fitted, bias and all. */
  readonly fitted: number;
}

/**
 * The additive variance on the liability, its bias removed by one round of parametric bootstrap (Kuk 1995,
 * J. R. Stat. Soc. B 57:395-407). The limits are those of the profile Laplace likelihood, moved in the same ratio as
 * the estimate. The lower one may be zero, and they need not be centred on the estimate.
 */
export function liabilityVariance(
  model: LogisticAnimalModel,
  fit: FittedLogisticAnimalModel,
  bootstrap: LiabilityBootstrap | undefined,
  level = 0.95,
): LiabilityEstimate {
  checkLevel(level);
  const allowed = chiSquareQuantile(level, 1) / 2;
  const fitted = fit.variances[0];
  const estimate = unbiasedVariances(fit, bootstrap)[0];
  const moved = fitted > 0 && estimate > 0 ? estimate / fitted : 1;
  const top = Math.sqrt(fitted);
  const depth = (sd: number): number => profileLogLikelihood(model, fit, sd) - fit.logLikelihood + allowed;
  return {
    fitted,
    estimate,
    lo: top === 0 || depth(0) >= 0 ? 0 : moved * limit(depth, 0, top),
    hi: moved * limit(depth, top, upperBracket(depth, top)),
  };
}

/** Whether the interval of `liabilityVariance` lies above zero, for the cost of one fit. */
export function additiveVarianceShows(
  model: LogisticAnimalModel,
  fit: FittedLogisticAnimalModel,
  level = 0.95,
): boolean {
  checkLevel(level);
  const allowed = chiSquareQuantile(level, 1) / 2;
  return fit.variances[0] > 0 && profileLogLikelihood(model, fit, 0) < fit.logLikelihood - allowed;
}

/**
 * Heritability of the liability: additive over all variances and that of the logistic distribution, the other
 * variances at their estimates.
 */
export function liabilityHeritability(
  fit: FittedLogisticAnimalModel,
  bootstrap: LiabilityBootstrap | undefined,
  additive: LiabilityEstimate,
): LiabilityEstimate {
  const rest = (variances: Float64Array): number =>
    variances.subarray(1).reduce((sum, v) => sum + v, LOGISTIC_VARIANCE);
  const others = rest(unbiasedVariances(fit, bootstrap));
  return {
    fitted: additive.fitted / (additive.fitted + rest(fit.variances)),
    estimate: additive.estimate / (additive.estimate + others),
    lo: additive.lo / (additive.lo + others),
    hi: additive.hi === Number.POSITIVE_INFINITY ? 1 : additive.hi / (additive.hi + others),
  };
}

/** All variances with their bias removed, at which values are to be predicted; as fitted without a bootstrap. */
export function unbiasedVariances(
  fit: FittedLogisticAnimalModel,
  bootstrap: LiabilityBootstrap | undefined,
): Float64Array {
  if (bootstrap === undefined) return fit.variances;
  return fit.variances.map((fitted, k) => Math.max(0, 2 * fitted - bootstrap.mean[k]));
}

function profileLogLikelihood(
  model: LogisticAnimalModel,
  fit: FittedLogisticAnimalModel,
  sd: number,
): number {
  const held = parameterOf(model.map, 0);
  const start = Float64Array.from(fit.search.end, (s, j) => (j === held ? sd : Math.max(s, 0.1)));
  const best = fitLogisticData(model.data, model.map, start, { tolerance: 1e-5, held });
  return "trouble" in best ? fit.logLikelihood - 1e6 : best.logLikelihood;
}

function upperBracket(depth: (sd: number) => number, top: number): number {
  let high = Math.max(0.5, 2 * top);
  while (high < 30 && depth(high) > 0) high *= 2;
  return high;
}

function limit(depth: (sd: number) => number, low: number, high: number): number {
  const answer = findRoot(depth, low, high, { tolerance: 1e-3 });
  return answer.found ? answer.root ** 2 : Number.POSITIVE_INFINITY;
}
