import { priorVariance } from "./breeding-value-scale.ts";
import { type BreedingValues, breedingValuesFrom, meanOf } from "./breeding-values.ts";
import { type FittedLogisticAnimalModel, mappedDeviations } from "./fit-logistic-animal-model.ts";
import type { LogisticAnimalModel } from "./logistic-animal-model.ts";
import { COARSE, laplaceAt, laplaceGradient } from "./logistic-laplace.ts";
import { type VarianceAverage, type VarianceAverageOptions, weightedPoints } from "./variance-average.ts";
import { freeSlope } from "./variance-map.ts";

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
  let nearby: Float64Array | undefined;
  return weightedPoints(
    {
      start: Float64Array.from(fit.search.end),
      freedom: Number.POSITIVE_INFINITY,
      operations: 6 * data.symbolic.operations,
      nonzeros: data.symbolic.nonzeros,
      at: (position) => {
        const deviations = mappedDeviations(map, position);
        const point = laplaceAt(data, deviations, { standardized: nearby }, COARSE);
        if (point === undefined) return undefined;
        const { standardized } = point;
        nearby = standardized;
        const ratios = deviations.map((sd, k) => sd * stretch[k]);
        return {
          logDensity: point.logLikelihood,
          ratios,
          residualScale: 1,
          slope: () =>
            freeSlope(
              map,
              laplaceGradient(data, point).map((g, k) => g * deviations[k]),
            ),
          solution: () => laplaceAt(data, ratios, { standardized }, COARSE),
        };
      },
    },
    options,
  );
}
