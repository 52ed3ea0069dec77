import type { SolvedEffects } from "./breeding-values.ts";
import { densityDraws } from "./variance-draws.ts";
import { densityGrid, type WeightedPosition } from "./variance-grid.ts";

/**
 * Variances as a set of weighted points. Given the point, effects have a t distribution with `freedom` degrees
 * of freedom (infinite: normal).
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
  /** Squared scale of the effects' distribution. */
  readonly residualScale: number;
  /** The equations solved at the ratios. */
  solution(): SolvedEffects;
}

export interface VarianceAverageOptions {
  readonly seed: number;
  /** Multiplications that all factorisations together may cost before the estimates are plugged in instead. */
  readonly mostOperations?: number;
}

/** What is averaged over: a density of the free standard deviations and the equations at each of them. */
export interface AveragedModel {
  readonly start: Float64Array;
  readonly freedom: number;
  /** Multiplications of one factorisation, and nonzeros of one factor. */
  readonly operations: number;
  readonly nonzeros: number;
  logDensity(position: Float64Array): number;
  /** Undefined where the equations cannot be solved. */
  solve(position: Float64Array): SolvedPoint | undefined;
}

export interface SolvedPoint {
  readonly ratios: Float64Array;
  readonly residualScale: number;
  readonly solution: SolvedEffects;
}

const MOST_GRID_DIMENSIONS = 3;
const DRAWS = 200;
const EXPECTED_POINTS = 300;
/** Solutions of all points are kept as long as their factors together have no more nonzeros than this. */
const MOST_KEPT_NONZEROS = 2e7;

/**
 * Weighted points of a density of standard deviations: a grid for up to three of them, else seeded draws on
 * their logarithms; the start alone where either would cost too much.
 */
export function weightedPoints(model: AveragedModel, options: VarianceAverageOptions): VarianceAverage {
  const { start, freedom } = model;
  const tooDear = model.operations * EXPECTED_POINTS > (options.mostOperations ?? 2e10);
  const method = tooDear ? "plug-in" : start.length <= MOST_GRID_DIMENSIONS ? "grid" : "draws";
  const heavy = withoutNegligible(positions(model, method, options.seed));
  const keep = heavy.length * model.nonzeros < MOST_KEPT_NONZEROS;
  const points = heavy.map(({ position, weight }) => {
    const solve = (): SolvedPoint => {
      const solved = model.solve(position);
      if (solved === undefined) throw new RangeError("the mixed-model equations are not positive definite");
      return solved;
    };
    const { ratios, residualScale, solution } = solve();
    return { ratios, residualScale, weight, solution: keep ? () => solution : () => solve().solution };
  });
  return { points, freedom, method, effectiveSize: 1 / points.reduce((sum, p) => sum + p.weight ** 2, 0) };
}

function positions(
  { start, logDensity }: AveragedModel,
  method: VarianceAverage["method"],
  seed: number,
): readonly WeightedPosition[] {
  if (method === "plug-in") return [{ position: start, weight: 1 }];
  return method === "grid" ? densityGrid(logDensity, start) : densityDraws(logDensity, start, DRAWS, seed);
}

/** The heaviest points that hold all but a thousandth of the weight. */
function withoutNegligible(points: readonly WeightedPosition[]): WeightedPosition[] {
  const sorted = [...points].sort((a, b) => b.weight - a.weight);
  let held = 0;
  const heavy = sorted.filter(({ weight }) => {
    const wanted = held < 1 - 1e-3;
    if (wanted) held += weight;
    return wanted;
  });
  return heavy.map(({ position, weight }) => ({ position, weight: weight / held }));
}
