import { drawPosterior, posteriorPoint, type VariancePosterior } from "./variance-posterior.ts";

/** A few points need no large sample behind them: one worth this share of its draws is enough. */
const ENOUGH = 0.5;

/** A point of θ and its share of all points. */
export interface VariancePoint {
  readonly theta: Float64Array;
  readonly weight: number;
}

/**
 * A few points of equal weight that stand for the posterior of the variances: `draws` draws, thinned to at most `points`
 * by systematic resampling at evenly spaced levels.
 */
export function variancePoints(
  posterior: VariancePosterior,
  seed: number,
  draws: number,
  points: number,
): VariancePoint[] {
  const { z, weights } = drawPosterior(posterior, { seed, draws, enough: ENOUGH });
  return thinned(weights, points).flatMap(({ place, weight }) => {
    const there = posteriorPoint(posterior, z[place]!);
    return there === undefined ? [] : [{ theta: there.solution.theta, weight }];
  });
}

/** Positions drawn in proportion to weights that add up to one, at `count` evenly spaced levels, with their shares. */
export function thinned(weights: ArrayLike<number>, count: number): { place: number; weight: number }[] {
  const kept: { place: number; weight: number }[] = [];
  let below = 0;
  let taken = 0;
  for (let place = 0; place < weights.length; place++) {
    below += weights[place]!;
    const reached = place === weights.length - 1 ? count : Math.ceil(below * count - 0.5);
    if (reached > taken) kept.push({ place, weight: (reached - taken) / count });
    taken = Math.max(taken, reached);
  }
  return kept;
}
