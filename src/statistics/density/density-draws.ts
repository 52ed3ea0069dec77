import { logGamma } from "../distributions/log-gamma.ts";
import { tLogDensity, tQuantile } from "../distributions/student-t.ts";
import { denseCholesky } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { Random } from "../random.ts";
import type { DensityShape } from "./density-shape.ts";

/** Points of a density's coordinates z with weights that add up to one. */
export interface WeightedPoints {
  readonly z: readonly Float64Array[];
  readonly weights: Float64Array;
  /** Which evaluation of the density each point was, in order of their making. */
  readonly evaluation: readonly number[];
  /** How many equally weighted independent points the sample behind them is worth. */
  readonly effective: number;
}

/** Degrees of freedom of the tails of the first and of the later proposals. */
const FIRST_TAIL = 8;
const LATER_TAIL = 5;
/** Width of a later proposal's kernels against the spread of the points so far. */
const KERNEL_WIDTH = 0.6;
const MOST_ROUNDS = 8;

export interface DensityDrawsOptions {
  readonly seed: number;
  readonly draws: number;
  /** Rounds are added until the sample is worth this share of the draws (default 1). */
  readonly enough?: number;
}

/**
 * Draws from a density by adaptive importance sampling: a first round along the axes at the
 * mode, then, while the weights are too uneven, rounds from kernels around the heavier points, all rounds weighed
 * against the mixture of their proposals (Cornuet, Marin, Mira and Robert 2012, Scand. J. Stat. 39, 798-812). Later
 * rounds are thinned to `draws` points by systematic resampling.
 */
export function densityDraws(
  { stretch }: Pick<DensityShape, "stretch">,
  logDensity: (z: Float64Array) => number,
  { seed, draws, enough = 1 }: DensityDrawsOptions,
): WeightedPoints {
  const random = new Random(seed);
  const dimensions = stretch.length;
  const z: Float64Array[] = [];
  const logTarget: number[] = [];
  /** Σ over rounds of the proposal densities at each point. */
  const proposed: number[] = [];
  const proposals: ((point: Float64Array) => number)[] = [];
  const add = (points: Float64Array[], density: (point: Float64Array) => number): void => {
    z.forEach((point, i) => {
      proposed[i]! += density(point);
    });
    proposals.push(density);
    for (const point of points) {
      z.push(point);
      logTarget.push(logDensity(point));
      proposed.push(proposals.reduce((sum, other) => sum + other(point), 0));
    }
  };
  add(firstRound(stretch, random, draws), (point) => firstDensity(stretch, point));
  let logWeights = logTarget.map((log, i) => log - Math.log(proposed[i]!));
  let weights = normalised(logWeights);
  for (let round = 1; round < MOST_ROUNDS && worth(weights) < enough * draws; round++) {
    const tempered = temper(logWeights, Math.min(30, 0.2 * draws));
    const spread = spreadOf(z, tempered, dimensions);
    const centres = systematic(tempered, draws, random.uniform()).map((i) => z[i]!);
    add(
      centres.map((centre) => aroundCentre(centre, spread, random)),
      kernelDensity(centres, spread),
    );
    logWeights = logTarget.map((log, i) => log - Math.log(proposed[i]!));
    weights = normalised(logWeights);
  }
  const effective = worth(weights);
  if (z.length <= draws) return { z, weights, evaluation: Array.from(z.keys()), effective };
  const counts = new Map<number, number>();
  for (const i of systematic(weights, draws, random.uniform())) counts.set(i, (counts.get(i) ?? 0) + 1);
  const chosen = Array.from(counts.keys());
  return {
    z: chosen.map((i) => z[i]!),
    weights: Float64Array.from(chosen, (i) => counts.get(i)! / draws),
    evaluation: chosen,
    effective,
  };
}

/**
 * An additive-recurrence sequence (powers of the generalised golden ratio) from a seeded shift, through t quantiles
 * stretched to each side of the mode.
 */
function firstRound(stretch: DensityShape["stretch"], random: Random, draws: number): Float64Array[] {
  const dimensions = stretch.length;
  const shift = Float64Array.from({ length: dimensions }, () => random.uniform());
  let ratio = 1.5;
  for (let round = 0; round < 60; round++) ratio = (1 + ratio) ** (1 / (dimensions + 1));
  return Array.from({ length: draws }, (_, i) =>
    Float64Array.from(stretch, ({ down, up }, k) => {
      const u = (shift[k]! + (i + 1) * ratio ** -(k + 1)) % 1;
      const t = tQuantile(Math.min(Math.max(u, 1e-6), 1 - 1e-6), FIRST_TAIL);
      return t * (t < 0 ? down : up);
    }),
  );
}

function firstDensity(stretch: DensityShape["stretch"], point: Float64Array): number {
  let log = 0;
  stretch.forEach(({ down, up }, k) => {
    const width = point[k]! < 0 ? down : up;
    log += tLogDensity(point[k]! / width, FIRST_TAIL) - Math.log(width);
  });
  return Math.exp(log);
}

/** Cholesky factor of the kernels' covariance. */
interface Spread {
  readonly lower: Float64Array;
  readonly order: number;
  readonly logDeterminant: number;
}

/** Weighted covariance of the points, drawn toward the mode's own the fewer points it rests on, as kernel width. */
function spreadOf(z: readonly Float64Array[], weights: Float64Array, dimensions: number): Spread {
  const mean = new Float64Array(dimensions);
  z.forEach((point, i) => {
    for (let k = 0; k < dimensions; k++) mean[k]! += weights[i]! * point[k]!;
  });
  const covariance: DenseMatrix = zeroMatrix(dimensions, dimensions);
  z.forEach((point, i) => {
    if (weights[i] === 0) return;
    for (let a = 0; a < dimensions; a++) {
      for (let b = 0; b < dimensions; b++) {
        covariance.values[a * dimensions + b]! +=
          weights[i]! * (point[a]! - mean[a]!) * (point[b]! - mean[b]!);
      }
    }
  });
  const trust = worth(weights) / (worth(weights) + 5 * dimensions);
  for (let a = 0; a < dimensions; a++) {
    for (let b = 0; b < dimensions; b++) {
      const at = a * dimensions + b;
      covariance.values[at] =
        KERNEL_WIDTH ** 2 * (trust * covariance.values[at]! + (a === b ? 1 - trust : 0));
    }
  }
  const factor = denseCholesky(covariance);
  if (!factor.positiveDefinite) throw new RangeError("the points' covariance is not positive definite");
  let logDeterminant = 0;
  for (let k = 0; k < dimensions; k++) logDeterminant += Math.log(factor.lower[k * (dimensions + 1)]!);
  return { lower: factor.lower, order: dimensions, logDeterminant };
}

function aroundCentre(centre: Float64Array, { lower, order }: Spread, random: Random): Float64Array {
  const normals = Float64Array.from({ length: order }, () => random.normal());
  const tail = Math.sqrt(LATER_TAIL / random.chiSquare(LATER_TAIL));
  return centre.map((value, i) => {
    let sum = 0;
    for (let k = 0; k <= i; k++) sum += lower[i * order + k]! * normals[k]!;
    return value + tail * sum;
  });
}

/** Mean of multivariate t densities around the centres. */
function kernelDensity(centres: readonly Float64Array[], spread: Spread): (point: Float64Array) => number {
  const { lower, order, logDeterminant } = spread;
  const constant = Math.exp(tLogConstant(LATER_TAIL, order) - logDeterminant) / centres.length;
  const whiten = (point: Float64Array): Float64Array => {
    const x = Float64Array.from(point);
    for (let i = 0; i < order; i++) {
      for (let k = 0; k < i; k++) x[i]! -= lower[i * order + k]! * x[k]!;
      x[i]! /= lower[i * order + i]!;
    }
    return x;
  };
  const whitened = centres.map(whiten);
  return (point) => {
    const x = whiten(point);
    let sum = 0;
    for (const centre of whitened) {
      let squares = 0;
      for (let k = 0; k < order; k++) squares += (x[k]! - centre[k]!) ** 2;
      sum += (1 + squares / LATER_TAIL) ** (-(LATER_TAIL + order) / 2);
    }
    return constant * sum;
  };
}

/** Log of the normalising constant of a multivariate t density with unit scale. */
function tLogConstant(df: number, order: number): number {
  return logGamma((df + order) / 2) - logGamma(df / 2) - (order / 2) * Math.log(df * Math.PI);
}

function normalised(logs: readonly number[]): Float64Array {
  const largest = Math.max(...logs);
  const weights = Float64Array.from(logs, (log) => Math.exp(log - largest));
  const total = weights.reduce((a, b) => a + b, 0);
  return weights.map((w) => w / total);
}

/** Number of equal weights that these are worth. */
function worth(weights: Float64Array): number {
  let squares = 0;
  for (const weight of weights) squares += weight * weight;
  return 1 / squares;
}

/** Weights raised to the largest power, at most one, that makes them worth at least `least`. */
function temper(logs: readonly number[], least: number): Float64Array {
  let power = 1;
  let weights = normalised(logs);
  while (worth(weights) < least && power > 0.01) {
    power *= 0.8;
    weights = normalised(logs.map((log) => power * log));
  }
  return weights;
}

/** Indices drawn in proportion to the weights at `count` evenly spaced levels, the first at `shift`/count. */
function systematic(weights: Float64Array, count: number, shift: number): number[] {
  const chosen: number[] = [];
  let below = 0;
  let level = shift / count;
  weights.forEach((weight, i) => {
    below += weight;
    for (; level < below && chosen.length < count; level += 1 / count) chosen.push(i);
  });
  while (chosen.length < count) chosen.push(weights.length - 1);
  return chosen;
}
