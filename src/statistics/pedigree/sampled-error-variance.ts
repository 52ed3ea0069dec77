import type { Random } from "../random.ts";
import type { Unfit } from "../verdict.ts";
import type { AnimalModelInput } from "./animal-model.ts";
import { breedingPart, type IterativeOptions, solveIteratively } from "./iterative-breeding-values.ts";
import type { IterativeEquations } from "./iterative-equations.ts";
import { eachParentWeight } from "./parent-links.ts";
import { designProduct } from "./sparse-design.ts";

export interface SamplingOptions {
  readonly random: Random;
  readonly samples: number;
  readonly solver: IterativeOptions;
}

export interface SampledErrorVariance {
  readonly errorVariance: Float64Array;
  readonly reliability: Float64Array;
  readonly samplingError: Float64Array;
}

/**
 * Prediction error variances by simulation (Garcia-Cortes, Moreno, Varona & Altarriba 1995, J. Anim. Breed.
 * Genet. 112:176-182; Hickey et al. 2009, Genet. Sel. Evol. 41:23): effects and records are drawn from the
 * model and predicted again. The error and the prediction are independent, their variances P and V - P with V
 * known, so that P joins the mean squares of both by inverse variance.
 */
export function sampledErrorVariance(
  input: AnimalModelInput,
  variances: Float64Array,
  equations: IterativeEquations,
  { random, samples, solver }: SamplingOptions,
): SampledErrorVariance | Unfit {
  const { animals } = equations;
  const errorSquares = new Float64Array(animals);
  const predictionSquares = new Float64Array(animals);
  for (let s = 0; s < samples; s++) {
    const effects = drawnEffects(input, variances, equations, random);
    const y = designProduct(equations.design, effects);
    const residual = variances[variances.length - 1];
    for (let r = 0; r < y.length; r++)
      y[r] += Math.sqrt(residual / (input.weights?.[r] ?? 1)) * random.normal();
    const answer = solveIteratively(equations, equations.load(y), solver);
    if ("verdict" in answer) return answer;
    const truth = breedingPart(equations, effects);
    const predicted = breedingPart(equations, answer.solution);
    for (let i = 0; i < animals; i++) {
      errorSquares[i] += (truth[i] - predicted[i]) ** 2 / samples;
      predictionSquares[i] += predicted[i] ** 2 / samples;
    }
  }
  const errorVariance = new Float64Array(animals);
  const reliability = new Float64Array(animals);
  const samplingError = new Float64Array(animals);
  for (let i = 0; i < animals; i++) {
    const whole = trueVariance(equations, variances, i);
    const error = joined(errorSquares[i], whole - predictionSquares[i], whole);
    errorVariance[i] = error;
    reliability[i] = Math.max(0, 1 - error / whole);
    samplingError[i] =
      Math.sqrt(2 / samples) * ((error * (whole - error)) / Math.hypot(error, whole - error));
  }
  return { errorVariance, reliability, samplingError };
}

function drawnEffects(
  input: AnimalModelInput,
  variances: Float64Array,
  { order, animals, fixedStart, shares, kin }: IterativeEquations,
  random: Random,
): Float64Array {
  const effects = new Float64Array(order);
  for (const i of input.pedigree.order) {
    let value = Math.sqrt(variances[0] * kin.mendelianVariance[i]) * random.normal();
    eachParentWeight(input.pedigree, i, (parent, share) => {
      value += share * effects[parent];
    });
    effects[i] = value;
  }
  const lengths = [
    ...(shares === null ? [] : [shares.columns]),
    ...(input.others ?? []).map((t) => t.design.columns),
  ];
  let start = animals;
  lengths.forEach((length, k) => {
    for (let i = start; i < start + length; i++) effects[i] = Math.sqrt(variances[k + 1]) * random.normal();
    start += length;
  });
  if (start !== fixedStart) throw new RangeError("terms and equations differ");
  return effects;
}

function trueVariance({ shares, kin }: IterativeEquations, variances: Float64Array, animal: number): number {
  let variance = variances[0] * (1 + kin.coefficient[animal]);
  if (shares === null) return variance;
  for (let e = shares.rowStart[animal]; e < shares.rowStart[animal + 1]; e++) {
    variance += variances[1] * shares.value[e] ** 2;
  }
  return variance;
}

/** Two estimates of P with variances proportional to P^2 and (V - P)^2, joined; within 0 and V. */
function joined(first: number, second: number, whole: number): number {
  const inside = (p: number): number => Math.min(whole * (1 - 1e-9), Math.max(whole * 1e-9, p));
  let error = inside((first + second) / 2);
  for (let round = 0; round < 30; round++) {
    const own = (whole - error) ** 2;
    const other = error ** 2;
    error = inside((own * first + other * second) / (own + other));
  }
  return error;
}
