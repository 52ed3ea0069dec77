import { Random } from "../random.ts";
import { type FittedLogisticAnimalModel, fitLogisticData } from "./fit-logistic-animal-model.ts";
import type { LogisticAnimalModel } from "./logistic-animal-model.ts";
import { withSuccesses } from "./logistic-laplace.ts";
import { eachParentWeight } from "./parent-links.ts";
import { designProduct } from "./sparse-design.ts";

export interface BootstrapOptions {
  readonly seed: number;
  /** Simulated flocks (default 100). */
  readonly samples?: number;
}

/** Variances refitted to flocks that were simulated from the fit, one row a flock that could be fitted. */
export interface LiabilityBootstrap {
  readonly variances: readonly Float64Array[];
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
  let failed = 0;
  for (let s = 0; s < samples; s++) {
    const successes = simulatedSuccesses(model, fit, random.substream(s));
    const start = fit.search.end.map((sd) => Math.max(sd, 0.3));
    const refit = hasBoth(successes, model.data.trials)
      ? fitLogisticData(withSuccesses(model.data, successes), model.map, Float64Array.from(start), 1e-3)
      : undefined;
    if (refit === undefined || refit.verdict === "flat" || refit.verdict === "failed") failed++;
    else variances.push(refit.variances);
  }
  return { variances, failed };
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
