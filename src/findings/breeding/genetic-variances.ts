import { code } from "../../records/codes.ts";
import type { AnimalModel } from "../../statistics/pedigree/animal-model.ts";
import type { FittedAnimalModel } from "../../statistics/pedigree/fit-animal-model.ts";
import type { VarianceAverage } from "../../statistics/pedigree/variance-average.ts";
import type { VarianceRow } from "../variance.ts";

/** The name under which a term of the genetic model stands in `variance`. */
export function componentOf(term: string): string {
  return term === "animal" ? "additive" : term === "group" ? "line" : term;
}

/**
 * Variances of the genetic model of growth, with their shares of the growth rates' variance that stays with
 * animal, line and place; limits over what the records leave open of the variances.
 */
export function geneticVariances(
  flock: string,
  model: AnimalModel,
  fit: FittedAnimalModel,
  average: VarianceAverage,
): readonly VarianceRow[] {
  const terms = model.names.length - 1;
  const points = average.points.map(({ ratios, weight }) => {
    const squares = Array.from(ratios.subarray(0, terms), (ratio) => ratio * ratio);
    const sum = squares.reduce((all, square) => all + square, 0);
    return { weight, shares: squares.map((square) => (sum > 0 ? square / sum : 0)) };
  });
  const whole = fit.variances.subarray(0, terms).reduce((sum, variance) => sum + variance, 0);
  const limit = (k: number, p: number): number | null =>
    k === terms
      ? null
      : weightedQuantile(
          points.map(({ shares, weight }) => [shares[k]!, weight]),
          p,
        );
  return model.names.map((name, k) => ({
    flock,
    trait: "growth",
    model: "breeding",
    component: componentOf(name),
    variance: fit.variances[k]!,
    se: Math.sqrt(Math.max(0, fit.varianceCovariance.values[k * model.names.length + k]!)),
    // the residual is that of an interval's mean and depends on how often claws were read: no part of a share
    share: k === terms ? null : fit.variances[k]! / whole,
    share_lo: limit(k, 0.025),
    share_hi: limit(k, 0.975),
    caution: fit.variances[k] === 0 ? code("not_heritable_here") : null,
  }));
}

/** The smallest value by which a share `p` of the weight is reached. */
function weightedQuantile(values: readonly (readonly [number, number])[], p: number): number {
  const sorted = [...values].sort((a, b) => a[0] - b[0]);
  const all = sorted.reduce((sum, [, weight]) => sum + weight, 0);
  let reached = 0;
  for (const [value, weight] of sorted) {
    reached += weight;
    if (reached >= p * all) return value;
  }
  return sorted.at(-1)![0];
}
