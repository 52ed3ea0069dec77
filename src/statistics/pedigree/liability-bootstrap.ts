import { Random } from "../random.ts";
import { type FittedLogisticAnimalModel, fitLogisticData } from "./fit-logistic-animal-model.ts";
import type { LogisticAnimalModel } from "./logistic-animal-model.ts";
import { COARSE, withSuccesses } from "./logistic-laplace.ts";
import { eachParentWeight } from "./parent-links.ts";
import { designProduct } from "./sparse-design.ts";
import { parameterOf } from "./variance-map.ts";

export interface BootstrapOptions {
  readonly seed: number;
  /** Simulated flocks (default 100). */
  readonly samples?: number;
}

/** A thousandth of a unit of log-likelihood: far below the spread between simulated flocks. */
const REFIT_TOLERANCE = 1e-3;

/** Variances refitted to flocks that were simulated from the fit, one row a flock that could be fitted. */
export interface LiabilityBootstrap {
  readonly variances: readonly Float64Array[];
  /** Likelihood ratio statistic of the additive variance that each was drawn from, one a flock. */
  readonly ratioStatistics: readonly number[];
  /** Simulated flocks without a fit (no events, separation). */
  readonly failed: number;
}

/** Parametric bootstrap: the same animals and records, liabilities and outcomes drawn anew from the fit. */
export function liabilityBootstrap(
  model: LogisticAnimalModel,
  fit: FittedLogisticAnimalModel,
  { seed, samples = 100 }: BootstrapOptions,
): LiabilityBootstrap {
  const random = new Random(seed);
  const variances: Float64Array[] = [];
  const ratioStatistics: number[] = [];
  let failed = 0;
  for (let s = 0; s < samples; s++) {
    const successes = simulatedSuccesses(model, fit, random.substream(s));
    const refit = hasBoth(successes, model.data.trials) ? refitted(model, fit, successes) : undefined;
    if (refit === undefined) failed++;
    else {
      variances.push(refit.variances);
      ratioStatistics.push(refit.ratioStatistic);
    }
  }
  return { variances, ratioStatistics, failed };
}

/** Free fit and fit with the additive variance at what the flock was drawn from. */
function refitted(
  model: LogisticAnimalModel,
  fit: FittedLogisticAnimalModel,
  successes: Float64Array,
): { variances: Float64Array; ratioStatistic: number } | undefined {
  const data = withSuccesses(model.data, successes);
  const start = Float64Array.from(fit.search.end, (sd) => Math.max(sd, 0.3));
  const refit = { tolerance: REFIT_TOLERANCE, curvature: fit.curvature, accuracy: COARSE };
  const free = fitLogisticData(data, model.map, start, refit);
  if ("trouble" in free) return undefined;
  const additive = parameterOf(model.map, 0);
  const heldStart = Float64Array.from(free.search.end, (sd, j) =>
    j === additive ? fit.search.end[additive] : Math.max(sd, 0.1),
  );
  const held = fitLogisticData(data, model.map, heldStart, {
    ...refit,
    curvature: free.curvature,
    held: additive,
  });
  if ("trouble" in held) return undefined;
  return {
    variances: free.variances,
    ratioStatistic: Math.max(0, 2 * (free.logLikelihood - held.logLikelihood)),
  };
}

function simulatedSuccesses(
  model: LogisticAnimalModel,
  fit: FittedLogisticAnimalModel,
  random: Random,
): Float64Array {
  const { equations, pedigree, kin, data } = model;
  const { design, termStart, terms } = equations;
  const effects = new Float64Array(design.columns);
  const additive = fit.variances[0];
  for (const i of pedigree.order) {
    let value = Math.sqrt(additive * kin.mendelianVariance[i]) * random.normal();
    eachParentWeight(pedigree, i, (parent, share) => {
      value += share * effects[parent];
    });
    effects[i] = value;
  }
  for (let k = 1; k < terms.length; k++) {
    for (let i = termStart[k]; i < termStart[k + 1]; i++)
      effects[i] = Math.sqrt(fit.variances[k]) * random.normal();
  }
  const firstFixed = design.columns - equations.fixedCount;
  effects.set(fit.point.standardized.subarray(firstFixed), firstFixed);
  const eta = designProduct(design, effects);
  return eta.map((e, r) => random.binomial(data.trials[r], 1 / (1 + Math.exp(-e - data.offset[r]))));
}

function hasBoth(successes: Float64Array, trials: Float64Array): boolean {
  let events = 0;
  let total = 0;
  for (let r = 0; r < successes.length; r++) {
    events += successes[r];
    total += trials[r];
  }
  return events > 0 && events < total;
}
