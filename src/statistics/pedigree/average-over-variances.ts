import { inverseOnPattern, selectedInverse } from "../linear-algebra/selected-inverse.ts";
import type { AnimalModel } from "./animal-model.ts";
import { precisionTrace } from "./mixed-model-equations.ts";
import { type EquationsSolution, type GaussianModel, solveEquations } from "./restricted-likelihood.ts";
import { type VarianceAverage, type VarianceAverageOptions, weightedPoints } from "./variance-average.ts";
import { freeSlope, parameterOf } from "./variance-map.ts";

/**
 * Averages over the uncertainty of the variances: restricted likelihood times a flat prior on each standard
 * deviation, from the fitted `variances` on. Undefined where too few records are left for an average.
 *
 * Flat in sd_1 .. sd_K and sd_e means flat in the ratios times sd_e^K; the integral over sd_e is exact and
 * leaves |C|^-1/2 (y'Py)^-f/2 with f = N - p - K - 1 degrees of freedom.
 */
export function averageOverVariances(
  model: AnimalModel,
  variances: Float64Array,
  options: VarianceAverageOptions,
): VarianceAverage | undefined {
  const { gaussian, map } = model;
  const start = freeRatios(model, variances);
  const freedom = gaussian.y.length - model.equations.fixedCount - start.length - 1;
  if (freedom < 1) return undefined;
  return weightedPoints(
    {
      start,
      freedom,
      operations: gaussian.symbolic.operations,
      nonzeros: gaussian.symbolic.nonzeros,
      at: (position) => {
        const ratios = allRatios(model, position);
        const solution = solveEquations(gaussian, ratios);
        if (solution === undefined) return undefined;
        return {
          logDensity: marginalLogDensity(solution, freedom),
          ratios,
          residualScale: solution.sumOfSquares / freedom,
          slope: () => freeSlope(map, marginalSlope(gaussian, solution, freedom)).subarray(0, start.length),
          solution: () => solution,
        };
      },
    },
    options,
  );
}

function marginalLogDensity(solution: EquationsSolution, freedom: number): number {
  return -0.5 * (solution.logDeterminant + freedom * Math.log(solution.sumOfSquares));
}

/** The log-density's derivative by the logarithm of each ratio. */
function marginalSlope(
  { equations }: GaussianModel,
  { factor, forms, sumOfSquares }: EquationsSolution,
  freedom: number,
): Float64Array {
  const inverse = inverseOnPattern(selectedInverse(factor), equations.product.pattern).values;
  return Float64Array.from(equations.terms, ({ design }, k) => {
    const determined = design.columns - precisionTrace(equations, k, inverse);
    return (freedom * forms[k]) / sumOfSquares - determined;
  });
}

/** Ratios that are free; tied terms follow the one they are tied to. */
function freeRatios({ map }: AnimalModel, variances: Float64Array): Float64Array {
  const terms = variances.length - 1;
  const ratios = new Float64Array(map.columns - 1);
  for (let k = 0; k < terms; k++) {
    const j = parameterOf(map, k);
    if (map.values[k * map.columns + j] === 1) ratios[j] = Math.sqrt(variances[k] / variances[terms]);
  }
  return ratios;
}

function allRatios({ map }: AnimalModel, free: Float64Array): Float64Array {
  return Float64Array.from({ length: map.rows - 1 }, (_, k) => {
    const j = parameterOf(map, k);
    return Math.sqrt(map.values[k * map.columns + j]) * free[j];
  });
}
