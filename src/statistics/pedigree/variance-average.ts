import { densityDraws } from "../density/density-draws.ts";
import { densityGrid, type WeightedPosition } from "../density/density-grid.ts";
import { densityShape, placeAt } from "../density/density-shape.ts";
import type { Slope } from "../optimise/bounded-quasi-newton.ts";
import type { SolvedEffects } from "./breeding-values.ts";

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
  /** Undefined where there is no density. */
  at(position: Float64Array): DensityPoint | undefined;
}

export interface DensityPoint {
  readonly logDensity: number;
  readonly ratios: Float64Array;
  readonly residualScale: number;
  /** The log-density's derivative by the logarithm of each position. */
  slope(): Float64Array;
  /** The equations solved at the ratios. Undefined where they cannot be. */
  solution(): SolvedEffects | undefined;
}

const MOST_GRID_DIMENSIONS = 3;
const DRAWS = 80;
/** Draws are evenly spread, so that a sample worth this share of them is enough. */
const ENOUGH = 0.6;
const EXPECTED_POINTS = 300;
/** Solutions of all points are kept as long as their factors together have no more nonzeros than this. */
const MOST_KEPT_NONZEROS = 2e7;

/**
 * Weighted points of a density of standard deviations: a grid for up to three of them, else seeded draws on
 * their logarithms; the start alone where either would cost too much.
 */
export function weightedPoints(model: AveragedModel, options: VarianceAverageOptions): VarianceAverage {
  const { start, freedom, nonzeros } = model;
  const tooDear = model.operations * EXPECTED_POINTS > (options.mostOperations ?? 2e10);
  const method = tooDear ? "plug-in" : start.length <= MOST_GRID_DIMENSIONS ? "grid" : "draws";
  const met = new Map<Float64Array, DensityPoint>();
  const logDensity = (position: Float64Array): number => {
    const point = model.at(position);
    if (point === undefined) return Number.NEGATIVE_INFINITY;
    if (met.size * nonzeros < MOST_KEPT_NONZEROS) met.set(position, point);
    return point.logDensity;
  };
  const heavy = withoutNegligible(positionsOf(model, logDensity, method, options.seed));
  const keep = heavy.length * nonzeros < MOST_KEPT_NONZEROS;
  const points = heavy.map(({ position, weight }) => {
    const point = met.get(position) ?? model.at(position);
    if (point === undefined) throw unsolved();
    const solve = (): SolvedEffects => {
      const solution = point.solution();
      if (solution === undefined) throw unsolved();
      return solution;
    };
    const { ratios, residualScale } = point;
    return { ratios, residualScale, weight, solution: keep ? once(solve) : solve };
  });
  const effectiveSize = 1 / points.reduce((sum, { weight }) => sum + weight ** 2, 0);
  return { points, freedom, method, effectiveSize };
}

function unsolved(): RangeError {
  return new RangeError("the mixed-model equations are not positive definite");
}

function once<T>(work: () => T): () => T {
  let done: { readonly value: T } | undefined;
  return () => {
    done ??= { value: work() };
    return done.value;
  };
}

function positionsOf(
  model: AveragedModel,
  logDensity: (position: Float64Array) => number,
  method: VarianceAverage["method"],
  seed: number,
): readonly WeightedPosition[] {
  const { start } = model;
  if (method === "grid") return densityGrid(logDensity, start);
  const drawn = method === "draws" ? drawnPositions(model, logDensity, seed) : undefined;
  return drawn ?? [{ position: start, weight: 1 }];
}

/** Draws of the logarithms of the standard deviations; undefined where their density has no mode. */
function drawnPositions(
  model: AveragedModel,
  logDensity: (position: Float64Array) => number,
  seed: number,
): readonly WeightedPosition[] | undefined {
  const { start } = model;
  const onLogs = (value: number, logs: Float64Array): number => logs.reduce((sum, log) => sum + log, value);
  const slope = (logs: Float64Array): Slope => {
    const point = model.at(logs.map(Math.exp));
    if (point === undefined) return { value: Number.NaN, gradient: logs };
    return { value: -onLogs(point.logDensity, logs), gradient: point.slope().map((g) => -(g + 1)) };
  };
  const atLogs = (logs: Float64Array): number =>
    onLogs(model.at(logs.map(Math.exp))?.logDensity ?? Number.NEGATIVE_INFINITY, logs);
  const least = 0.1 * start.reduce((most, x) => Math.max(most, x), 0.1);
  const first = start.map((x) => Math.log(Math.max(x, least)));
  const shape = densityShape(slope, atLogs, first, new Float64Array(start.length).fill(1), 1e-4);
  if (shape === undefined) return undefined;
  const positions: Float64Array[] = [];
  const { weights, evaluation } = densityDraws(
    shape,
    (z) => {
      const logs = placeAt(shape, z);
      const position = logs.map(Math.exp);
      positions.push(position);
      return onLogs(logDensity(position), logs);
    },
    { seed, draws: DRAWS, enough: ENOUGH },
  );
  return evaluation.map((at, i) => ({ position: positions[at]!, weight: weights[i]! }));
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
