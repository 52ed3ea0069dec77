import { chiSquareQuantile } from "../distributions/chi-square.ts";
import type { Interval } from "../interval.ts";
import { checkLevel } from "../interval.ts";
import { findRoot } from "../optimise/root.ts";
import type { AnimalModel } from "./animal-model.ts";
import { maximizeRestrictedLikelihood } from "./average-information.ts";
import type { FittedAnimalModel } from "./fit-animal-model.ts";
import { constrainedMap, parameterOf } from "./variance-map.ts";

/** A share of variance: one term's variance over a weighted sum of variances that includes it. */
export interface VarianceShare {
  /** Place of the term in the model's `names`. */
  readonly term: number;
  /** Weight of each variance in the denominator, the residual last; at least that of the term and the residual. */
  readonly denominator: ArrayLike<number>;
}

export interface ShareEstimate extends Interval {
  /** By the delta method from the average information; null where the share is at a bound. */
  readonly standardError: number | null;
}

/** Term over the sum of all variances (heritability for the animal term). */
export function shareOfTotal(model: AnimalModel, term: number): VarianceShare {
  return { term, denominator: model.names.map(() => 1) };
}

/** The estimate of a share and its standard error. */
export function shareEstimate(
  fit: FittedAnimalModel,
  share: VarianceShare,
): { readonly estimate: number; readonly standardError: number | null } {
  const { variances, varianceCovariance } = fit;
  const total = variances.reduce((sum, v, k) => sum + v * share.denominator[k], 0);
  const estimate = variances[share.term] / total;
  const slope = variances.map(
    (_, k) => ((k === share.term ? 1 : 0) - estimate * share.denominator[k]) / total,
  );
  let variance = 0;
  for (let j = 0; j < slope.length; j++) {
    for (let k = 0; k < slope.length; k++) {
      variance += slope[j] * slope[k] * varianceCovariance.values[j * slope.length + k];
    }
  }
  return { estimate, standardError: estimate > 0 && variance > 0 ? Math.sqrt(variance) : null };
}

/**
 * Estimate and profile restricted-likelihood interval of a share: all values whose best likelihood lies within
 * half the chi-square quantile of the top. A limit is 0 or 1 where the likelihood never falls that far.
 */
export function shareInterval(
  model: AnimalModel,
  fit: FittedAnimalModel,
  share: VarianceShare,
  level = 0.95,
): ShareEstimate {
  checkLevel(level);
  const { estimate, standardError } = shareEstimate(fit, share);
  const allowed = chiSquareQuantile(level, 1) / 2;
  const depth = (value: number): number => {
    const best = profileLogLikelihood(model, fit, share, value);
    return (best === undefined ? -1e6 : best) - fit.logLikelihood + allowed;
  };
  return {
    estimate,
    standardError,
    lo: estimate <= 0 || depth(0) >= 0 ? 0 : limit(depth, 0, estimate),
    hi: limit(depth, estimate, 1 - 1e-4),
  };
}

/** Best restricted log-likelihood with the share held at a value. */
export function profileLogLikelihood(
  model: AnimalModel,
  fit: FittedAnimalModel,
  share: VarianceShare,
  value: number,
): number | undefined {
  const { rows, columns, values } = model.map;
  const settled = parameterOf(model.map, share.term);
  const coefficients = Float64Array.from({ length: columns }, (_, j) => {
    let sum = 0;
    for (let i = 0; i < rows; i++) {
      const weight = (i === share.term ? 1 : 0) - value * share.denominator[i];
      sum += weight * values[i * columns + j];
    }
    return sum;
  });
  // Beyond this value the tied variances alone would exceed the denominator.
  if (!(coefficients[settled] > 0)) return undefined;
  const map = constrainedMap(model.map, coefficients, settled);
  const residual = fit.variances[rows - 1];
  const start: number[] = [];
  for (let j = 0; j < columns; j++) {
    if (j === settled) continue;
    const owner = Array.from({ length: rows }, (_, i) => i).find((i) => values[i * columns + j] === 1) ?? 0;
    start.push(Math.max(fit.variances[owner], 0.01 * residual));
  }
  return maximizeRestrictedLikelihood(model.gaussian, map, Float64Array.from(start))?.logLikelihood;
}

function limit(depth: (value: number) => number, low: number, high: number): number {
  const answer = findRoot(depth, low, high, { tolerance: 1e-5 });
  if (answer.found) return answer.root;
  return low === 0 ? 0 : 1;
}
