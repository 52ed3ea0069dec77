import { priorVariance } from "./breeding-value-scale.ts";
import { type BreedingValues, breedingValuesFrom, meanOf } from "./breeding-values.ts";
import { type FittedLogisticAnimalModel, mappedDeviations } from "./fit-logistic-animal-model.ts";
import type { LogisticAnimalModel } from "./logistic-animal-model.ts";
import { type LaplacePoint, laplaceAt } from "./logistic-laplace.ts";
import { type VarianceAverage, type VarianceAverageOptions, weightedPoints } from "./variance-average.ts";

/**
 * Breeding values on the liability at given variances: the joint mode, with error variances from the curvature
 * there. `base` as in `breedingValues`. Throws RangeError where there is no mode.
 */
export function liabilityValues(
  model: LogisticAnimalModel,
  variances: Float64Array,
  base?: ArrayLike<number>,
): BreedingValues {
  const point = laplaceAt(model.data, variances.map(Math.sqrt));
  if (point === undefined) throw new RangeError(`no mode at variances ${[...variances].join(", ")}`);
  const weights = base === undefined ? null : meanOf(base);
  return breedingValuesFrom(model, point, 1, weights, priorVariance(model, variances, weights));
}

/**
 * Averages over the uncertainty of the variances: Laplace likelihood times a flat prior on each standard
 * deviation. Each standard deviation is stretched by what the removal of its bias did to it.
 */
export function averageOverLiabilityVariances(
  model: LogisticAnimalModel,
  fit: FittedLogisticAnimalModel,
  unbiased: Float64Array,
  options: VarianceAverageOptions,
): VarianceAverage {
  const { data, map } = model;
  const stretch = unbiased.map((v, k) =>
    v > 0 && fit.variances[k] > 0 ? Math.sqrt(v / fit.variances[k]) : 1,
  );
  let last: LaplacePoint | undefined;
  return weightedPoints(
    {
      start: Float64Array.from(fit.search.end),
      freedom: Number.POSITIVE_INFINITY,
      operations: 6 * data.symbolic.operations,
      nonzeros: data.symbolic.nonzeros,
      logDensity: (position) => {
        const point = laplaceAt(data, mappedDeviations(map, position), last);
        if (point !== undefined) last = point;
        return point?.logLikelihood ?? Number.NEGATIVE_INFINITY;
      },
      solve: (position) => {
        const ratios = mappedDeviations(map, position).map((sd, k) => sd * stretch[k]);
        const solution = laplaceAt(data, ratios);
        return solution === undefined ? undefined : { ratios, residualScale: 1, solution };
      },
    },
    options,
  );
}
