import { Random } from "../random.ts";
import { type FittedLogisticAnimalModel, fitLogisticData } from "./fit-logistic-animal-model.ts";
import type { LogisticAnimalModel } from "./logistic-animal-model.ts";
import { COARSE, laplaceAt, laplaceGradient, withSuccesses } from "./logistic-laplace.ts";
import { eachParentWeight } from "./parent-links.ts";
import { designProduct } from "./sparse-design.ts";

export interface BootstrapOptions {
  readonly seed: number;
  /** Simulated flocks to which the variances are refitted (default 10). */
  readonly refits?: number;
  /** Simulated flocks whose slope alone is taken, the refitted ones included (default 50). */
  readonly slopes?: number;
}

/** A thousandth of a unit of log-likelihood: far below the spread between simulated flocks. */
const REFIT_TOLERANCE = 1e-3;

/** What refits to flocks that were simulated from a fit come to. */
export interface LiabilityBootstrap {
  /** Mean of the refitted variances. */
  readonly mean: Float64Array;
  /** Its standard error by simulation. */
  readonly simulationError: Float64Array;
  /** Simulated flocks that could not be fitted (no events, separation). */
  readonly failed: number;
}

interface SimulatedFit {
  readonly slope: Float64Array;
  /** Missing where the slope alone was taken. */
  readonly variances: Float64Array | null;
}

/**
 * Parametric bootstrap: the same animals and records, liabilities and outcomes drawn anew from the fit. The slope of a
 * simulated flock's likelihood at the fit is had for a sixth of a refit and goes with what the refit comes to (0.8 to
 * 0.98 in simulated flocks), so that slopes of many flocks sharpen the mean over the refits of few: control variates
 * (Hesterberg & Nelson 1998, Management Science 44:1295-1312). Undefined where no flock could be fitted.
 */
export function liabilityBootstrap(
  model: LogisticAnimalModel,
  fit: FittedLogisticAnimalModel,
  { seed, refits = 10, slopes = 50 }: BootstrapOptions,
): LiabilityBootstrap | undefined {
  const random = new Random(seed);
  const fits: SimulatedFit[] = [];
  let failed = 0;
  for (let s = 0; s < slopes; s++) {
    const successes = simulatedSuccesses(model, fit, random.substream(s));
    const one = hasBoth(successes, model.data.trials)
      ? simulatedFit(model, fit, successes, s < refits)
      : undefined;
    if (one === undefined) failed++;
    else fits.push(one);
  }
  if (fits.every(({ variances }) => variances === null)) return undefined;
  const means = Array.from(fit.variances, (_, k) => controlledMean(fits, k));
  return {
    mean: Float64Array.from(means, ({ mean }) => mean),
    simulationError: Float64Array.from(means, ({ error }) => error),
    failed,
  };
}

/** Mean refit of variance k, moved by how far the slopes of the refitted flocks are off the mean of all slopes. */
function controlledMean(
  fits: readonly SimulatedFit[],
  k: number,
): { readonly mean: number; readonly error: number } {
  const refitted = fits.flatMap(({ variances, slope }) =>
    variances === null ? [] : [{ variance: variances[k]!, slope: slope[k]! }],
  );
  const count = refitted.length;
  const variance = meanOf(refitted.map((one) => one.variance));
  const slope = meanOf(refitted.map((one) => one.slope));
  let together = 0;
  let ofSlopes = 0;
  for (const one of refitted) {
    together += (one.variance - variance) * (one.slope - slope);
    ofSlopes += (one.slope - slope) ** 2;
  }
  const perSlope = ofSlopes > 0 ? together / ofSlopes : 0;
  const slopes = fits.map((one) => one.slope[k]!);
  const all = meanOf(slopes);
  const left = refitted.map((one) => one.variance - variance - perSlope * (one.slope - slope));
  const spreadOf = (values: readonly number[], middle: number): number =>
    values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / Math.max(1, values.length - 1);
  return {
    mean: variance + perSlope * (all - slope),
    error: Math.sqrt(spreadOf(left, 0) / count + (perSlope ** 2 * spreadOf(slopes, all)) / slopes.length),
  };
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** The slope at what the flock was drawn from and, where asked, the refit from there on. */
function simulatedFit(
  model: LogisticAnimalModel,
  fit: FittedLogisticAnimalModel,
  successes: Float64Array,
  refit: boolean,
): SimulatedFit | undefined {
  const data = withSuccesses(model.data, successes);
  const point = laplaceAt(data, fit.point.standardDeviations, undefined, COARSE);
  if (point === undefined) return undefined;
  const slope = laplaceGradient(data, point);
  if (!refit) return { slope, variances: null };
  const free = fitLogisticData(
    data,
    model.map,
    Float64Array.from(fit.search.end, (sd) => Math.max(sd, 0.3)),
    { tolerance: REFIT_TOLERANCE, curvature: fit.curvature, accuracy: COARSE, near: point },
  );
  return "trouble" in free ? undefined : { slope, variances: free.variances };
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
