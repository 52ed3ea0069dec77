import type { AnimalModel } from "./animal-model.ts";
import { type EquationsSolution, solveEquations } from "./restricted-likelihood.ts";
import { densityDraws } from "./variance-draws.ts";
import { densityGrid, type WeightedPosition } from "./variance-grid.ts";
import { parameterOf } from "./variance-map.ts";

/**
 * Variances as a set of weighted points. At each point the residual variance is integrated out exactly:
 * given the ratios, effects have a t distribution with `freedom` degrees of freedom.
 */
export interface VarianceAverage {
  readonly points: readonly VariancePoint[];
  readonly freedom: number;
  readonly method: "grid" | "draws" | "plug-in";
  /** Number of equally weighted points of the same worth: 1 / sum of squared weights. */
  readonly effectiveSize: number;
}

export interface VariancePoint {
  /** Each term's sd over the residual sd. */
  readonly ratios: Float64Array;
  readonly weight: number;
  /** Squared scale of the t distribution: y'Py at residual variance 1, over the degrees of freedom. */
  readonly residualScale: number;
  /** The equations solved at the ratios. */
  solution(): EquationsSolution;
}

export interface VarianceAverageOptions {
  readonly seed: number;
  /** Multiplications that all factorisations together may cost before the estimates are plugged in instead. */
  readonly mostOperations?: number;
}

const MOST_GRID_DIMENSIONS = 3;
const DRAWS = 200;
const EXPECTED_POINTS = 300;
/** Solutions of all points are kept as long as their factors together have no more nonzeros than this. */
const MOST_KEPT_NONZEROS = 2e7;

/**
 * Averages over the uncertainty of the variances: restricted likelihood times a flat prior on each standard
 * deviation. A grid for up to three free terms, else seeded draws on the log standard deviations.
 * `variances` is where to begin (the fitted ones). Undefined where too few records are left for an average.
 *
 * Flat in sd_1 .. sd_K and sd_e means flat in the ratios times sd_e^K; the integral over sd_e then leaves
 * |C|^-1/2 (y'Py)^-f/2 with f = N - p - K - 1 degrees of freedom.
 */
export function averageOverVariances(
  model: AnimalModel,
  variances: Float64Array,
  options: VarianceAverageOptions,
): VarianceAverage | undefined {
  const space = ratioSpace(model, variances);
  const freedom = model.gaussian.y.length - model.equations.fixedCount - space.dimensions - 1;
  if (freedom < 1) return undefined;
  const logDensity = (position: Float64Array): number => {
    const solution = solveEquations(model.gaussian, space.ratios(position));
    return solution === undefined ? Number.NEGATIVE_INFINITY : marginalLogDensity(solution, freedom);
  };
  const affordable = options.mostOperations ?? 2e10;
  const tooDear = model.gaussian.symbolic.operations * EXPECTED_POINTS > affordable;
  const weighted = tooDear
    ? [{ position: space.start, weight: 1 }]
    : space.dimensions <= MOST_GRID_DIMENSIONS
      ? densityGrid(logDensity, space.start)
      : densityDraws(logDensity, space.start, DRAWS, options.seed);
  const heavy = withoutNegligible(weighted);
  const keep = heavy.length * model.gaussian.symbolic.nonzeros < MOST_KEPT_NONZEROS;
  const points = heavy.map(({ position, weight }) => {
    const ratios = space.ratios(position);
    const solve = (): EquationsSolution => {
      const solution = solveEquations(model.gaussian, ratios);
      if (solution === undefined) throw new RangeError("the mixed-model equations are not positive definite");
      return solution;
    };
    const solved = solve();
    return {
      ratios,
      weight,
      residualScale: solved.sumOfSquares / freedom,
      solution: keep ? () => solved : solve,
    };
  });
  return {
    points,
    freedom,
    method: tooDear ? "plug-in" : space.dimensions <= MOST_GRID_DIMENSIONS ? "grid" : "draws",
    effectiveSize: 1 / points.reduce((sum, p) => sum + p.weight ** 2, 0),
  };
}

/** The heaviest points that hold all but a ten-thousandth of the weight. */
function withoutNegligible(points: readonly WeightedPosition[]): WeightedPosition[] {
  const sorted = [...points].sort((a, b) => b.weight - a.weight);
  let held = 0;
  const heavy = sorted.filter(({ weight }) => {
    const wanted = held < 1 - 1e-4;
    if (wanted) held += weight;
    return wanted;
  });
  return heavy.map(({ position, weight }) => ({ position, weight: weight / held }));
}

function marginalLogDensity(solution: EquationsSolution, freedom: number): number {
  return -0.5 * (solution.logDeterminant + freedom * Math.log(solution.sumOfSquares));
}

interface RatioSpace {
  readonly dimensions: number;
  readonly start: Float64Array;
  ratios(position: Float64Array): Float64Array;
}

/** The free ratios; tied terms follow the one they are tied to. */
function ratioSpace(model: AnimalModel, variances: Float64Array): RatioSpace {
  const terms = model.names.length - 1;
  const { columns, values } = model.map;
  const dimensions = columns - 1;
  const start = new Float64Array(dimensions);
  const residual = variances[terms];
  for (let k = 0; k < terms; k++) {
    const j = parameterOf(model.map, k);
    if (values[k * columns + j] === 1) start[j] = Math.sqrt(variances[k] / residual);
  }
  const ratios = (position: Float64Array): Float64Array =>
    Float64Array.from({ length: terms }, (_, k) => {
      const j = parameterOf(model.map, k);
      return Math.sqrt(values[k * columns + j]) * position[j];
    });
  return { dimensions, start, ratios };
}
