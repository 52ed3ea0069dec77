import { findRoot } from "../optimise/root.ts";
import { normalCumulative, normalQuantile } from "./normal.ts";
import { tCumulative, tQuantile } from "./student-t.ts";

/** A weighted mixture of shifted and scaled t distributions with common degrees of freedom (infinite: normals). */
export interface TMixture {
  readonly weights: ArrayLike<number>;
  readonly means: ArrayLike<number>;
  readonly scales: ArrayLike<number>;
  readonly freedom: number;
}

/** P(X <= x). A component of scale zero is a point mass. */
export function mixtureCumulative(mixture: TMixture, x: number): number {
  const { weights, means, scales, freedom } = mixture;
  let sum = 0;
  for (let j = 0; j < weights.length; j++) {
    const distance = x - means[j];
    sum += weights[j] * (scales[j] > 0 ? below(distance / scales[j], freedom) : pointMass(distance));
  }
  return sum;
}

/**
 * P(T <= t): a mixture asks for it very often, so from 30 degrees of freedom on by Wallace's normal transform (1959,
 * Ann. Math. Stat. 30, 1121-1130), there good to six digits.
 */
function below(t: number, freedom: number): number {
  if (freedom < 30) return tCumulative(t, freedom);
  if (freedom === Number.POSITIVE_INFINITY) return normalCumulative(t);
  const z = Math.sqrt(freedom * Math.log1p((t * t) / freedom)) * ((8 * freedom + 1) / (8 * freedom + 3));
  return normalCumulative(t < 0 ? -z : z);
}

/** A point mass counts half at its own place, so that ties favour neither side. */
function pointMass(distance: number): number {
  return distance === 0 ? 0.5 : Number(distance > 0);
}

export function mixtureMean({ weights, means }: TMixture): number {
  let sum = 0;
  for (let j = 0; j < weights.length; j++) sum += weights[j] * means[j];
  return sum;
}

/** Infinite for two degrees of freedom or fewer. */
export function mixtureVariance(mixture: TMixture): number {
  const { weights, means, scales, freedom } = mixture;
  if (freedom <= 2) return Number.POSITIVE_INFINITY;
  const spread = freedom === Number.POSITIVE_INFINITY ? 1 : freedom / (freedom - 2);
  const mean = mixtureMean(mixture);
  let sum = 0;
  for (let j = 0; j < weights.length; j++) {
    sum += weights[j] * (scales[j] ** 2 * spread + (means[j] - mean) ** 2);
  }
  return sum;
}

/** The x with P(X <= x) = p, to a millionth of its spread. */
export function mixtureQuantile(mixture: TMixture, p: number): number {
  const { weights, means, scales, freedom } = mixture;
  if (weights.length === 1) return means[0] + scales[0] * tQuantile(p, freedom);
  let widest = 0;
  for (let j = 0; j < weights.length; j++) widest = Math.max(widest, scales[j]);
  const mean = mixtureMean(mixture);
  const spread = Math.sqrt(mixtureVariance(mixture));
  if (spread === 0) return mean;
  const guess = Number.isFinite(spread) ? mean + normalQuantile(p) * spread : mean;
  let reach = 0.25 * (Number.isFinite(spread) ? spread : widest);
  while (mixtureCumulative(mixture, guess - reach) > p || mixtureCumulative(mixture, guess + reach) < p)
    reach *= 2;
  const answer = findRoot((x) => mixtureCumulative(mixture, x) - p, guess - reach, guess + reach, {
    tolerance: 1e-6 * Math.max(widest, Number.isFinite(spread) ? spread : 0),
  });
  return answer.found ? answer.root : Number.NaN;
}
