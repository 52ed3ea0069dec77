import { chiSquareQuantile } from "../distributions/chi-square.ts";
import { empiricalQuantile } from "../empirical-quantile.ts";
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
 * Variance of a term on the liability, its bias removed by one round of parametric bootstrap (Kuk 1995,
 * J. R. Stat. Soc. B 57:395-407), with the basic bootstrap interval on the standard deviation (Davison & Hinkley
 * 1997, Bootstrap Methods and their Application, section 5.2). The upper limit of a variance that fits to zero,
 * of which the bootstrap knows nothing, is that of the profile likelihood.
 */
export function liabilityVariance(
  model: LogisticAnimalModel,
  fit: FittedLogisticAnimalModel,
  bootstrap: LiabilityBootstrap,
  term: number,
  level = 0.95,
): LiabilityEstimate {
  const fitted = fit.variances[term];
  const corrected = biasRemoved(
    fitted,
    bootstrap.variances.map((v) => v[term]),
    level,
  );
  return fitted > 0 ? corrected : { ...corrected, hi: profileUpperLimit(model, fit, term, level) };
}

/** Heritability of the liability: additive over all variances and that of the logistic distribution. */
export function liabilityHeritability(
  fit: FittedLogisticAnimalModel,
  bootstrap: LiabilityBootstrap,
  level = 0.95,
): LiabilityEstimate {
  return biasRemoved(share(fit.variances), bootstrap.variances.map(share), level);
}

/** All variances with their bias removed, at which values are to be predicted. */
export function unbiasedVariances(
  fit: FittedLogisticAnimalModel,
  bootstrap: LiabilityBootstrap,
): Float64Array {
  return fit.variances.map(
    (v, k) =>
      biasRemoved(
        v,
        bootstrap.variances.map((row) => row[k]),
        0.95,
      ).estimate,
  );
}

function share(variances: Float64Array): number {
  return variances[0] / variances.reduce((sum, v) => sum + v, LOGISTIC_VARIANCE);
}

/** Both the mean and the spread of the replicates around what they were drawn from are those of the fit. */
function biasRemoved(fitted: number, replicates: readonly number[], level: number): LiabilityEstimate {
  checkLevel(level);
  const mean = replicates.reduce((sum, v) => sum + v, 0) / replicates.length;
  const roots = replicates.map(Math.sqrt).sort((a, b) => a - b);
  const reflected = (p: number): number =>
    Math.max(0, 2 * Math.sqrt(fitted) - (empiricalQuantile(roots, p) ?? Number.NaN)) ** 2;
  return {
    fitted,
    estimate: Math.max(0, 2 * fitted - mean),
    lo: reflected((1 + level) / 2),
    hi: reflected((1 - level) / 2),
  };
}

function profileUpperLimit(
  model: LogisticAnimalModel,
  fit: FittedLogisticAnimalModel,
  term: number,
  level: number,
): number {
  const held = parameterOf(model.map, term);
  const allowed = chiSquareQuantile(level, 1) / 2;
  const depth = (sd: number): number => {
    const start = Float64Array.from(fit.search.end, (s, j) => (j === held ? sd : Math.max(s, 0.1)));
    const best = fitLogisticData(model.data, model.map, start, 1e-6, held);
    const reached =
      best.verdict === "flat" || best.verdict === "failed" ? Number.NEGATIVE_INFINITY : best.logLikelihood;
    return Math.max(-1e6, reached - fit.logLikelihood + allowed);
  };
  let high = 0.5;
  while (high < 30 && depth(high) > 0) high *= 2;
  const answer = findRoot(depth, 0, high, { tolerance: 1e-3 });
  return answer.found ? answer.root ** 2 : Number.POSITIVE_INFINITY;
}
