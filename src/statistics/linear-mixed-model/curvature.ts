import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { symmetricEigen } from "../linear-algebra/symmetric-eigen.ts";
import {
  criterionWorkspace,
  differentiateCriterion,
  type LikelihoodMethod,
  type MixedModelSolution,
  solveMixedModel,
} from "./criterion.ts";
import type { LinearMixedDesign } from "./linear-mixed-design.ts";
import { awayFromZero, diagonalPlaces, thetaPlace } from "./relative-covariance.ts";

/** Second derivatives of −2 log (restricted) likelihood in (θ, log σ²), entries of θ held at zero left out. */
export interface Curvature {
  /** Places in θ that are free to move; log σ² comes after them. */
  readonly free: readonly number[];
  readonly hessian: DenseMatrix;
}

/** Whether a Hessian is positive definite, nearly singular, or has a negative direction. */
export interface CurvatureVerdict {
  readonly definite: "positive" | "flat" | "saddle";
  /** Names of the terms that take part in the flat direction. */
  readonly terms: readonly string[];
}

/**
 * The curvature at a solution: the log-determinants and squares by central differences of their analytic
 * derivatives, σ² in closed form.
 */
export function criterionCurvature(
  design: LinearMixedDesign,
  method: LikelihoodMethod,
  solution: MixedModelSolution,
): Curvature {
  const { unit } = design;
  const free = freePlaces(design, solution.theta);
  const diagonal = diagonalPlaces(design.blocks);
  const size = free.length + 1;
  const hessian = zeroMatrix(size, size);
  const workspace = criterionWorkspace(design);
  const { sigmaSquared } = solution;
  const slopeAt = (theta: Float64Array): { slope: number[]; squares: Float64Array } | null => {
    const there = solveMixedModel(design, method, theta, workspace);
    if (there === undefined) return null;
    const parts = differentiateCriterion(design, method, there, workspace);
    return {
      slope: free.map((k) => parts.logDeterminants[k]! + parts.penalizedSquares[k]! / sigmaSquared),
      squares: parts.penalizedSquares,
    };
  };
  free.forEach((k, i) => {
    const step = (1e-3 * Math.max(Math.abs(solution.theta[k]!) * unit[k]!, 1e-2)) / unit[k]!;
    const theta = Float64Array.from(solution.theta);
    theta[k] = solution.theta[k]! + step;
    const above = slopeAt(awayFromZero(theta, diagonal, unit));
    theta[k] = solution.theta[k]! - step;
    const below = slopeAt(awayFromZero(theta, diagonal, unit));
    free.forEach((_, j) => {
      const difference =
        above === null || below === null ? Number.NaN : (above.slope[j]! - below.slope[j]!) / (2 * step);
      hessian.values[i * size + j] = difference;
    });
    if (above !== null && below !== null) {
      const slope = (above.squares[k]! + below.squares[k]!) / 2;
      hessian.values[i * size + free.length] = -slope / sigmaSquared;
      hessian.values[free.length * size + i] = -slope / sigmaSquared;
    }
  });
  for (let i = 0; i < free.length; i++) {
    for (let j = 0; j < i; j++) {
      const mean = 0.5 * (hessian.values[i * size + j]! + hessian.values[j * size + i]!);
      hessian.values[i * size + j] = mean;
      hessian.values[j * size + i] = mean;
    }
  }
  hessian.values[size * size - 1] = method === "REML" ? design.rows - design.fixedCount : design.rows;
  return { free, hessian };
}

/** Places of θ that are not held at zero: all entries of the columns of T whose diagonal is above zero. */
export function freePlaces(design: LinearMixedDesign, theta: Float64Array): number[] {
  return design.blocks.flatMap(({ size }, b) => {
    const start = design.layout.start[b]!;
    const places: number[] = [];
    for (let column = 0; column < size; column++) {
      if (theta[start + thetaPlace(size, column, column)] === 0) continue;
      for (let row = column; row < size; row++) places.push(start + thetaPlace(size, row, column));
    }
    return places;
  });
}

/** Judges a Hessian over the places `free` of θ (and log σ² after them, if it has one row more), units removed. */
export function judgeCurvature(
  design: LinearMixedDesign,
  free: readonly number[],
  hessian: DenseMatrix,
): CurvatureVerdict {
  const size = hessian.rows;
  if (size === 0) return { definite: "positive", terms: [] };
  const scale = Float64Array.from({ length: size }, (_, i) => {
    const diagonal = hessian.values[i * size + i]!;
    return diagonal > 0 ? 1 / Math.sqrt(diagonal) : 1;
  });
  const scaled = hessian.values.map((v, e) => v * scale[Math.floor(e / size)]! * scale[e % size]!);
  if (scaled.some((v) => !Number.isFinite(v))) return { definite: "saddle", terms: [] };
  const { values, vectors } = symmetricEigen({ rows: size, columns: size, values: scaled });
  const smallest = values[0]!;
  if (smallest > 1e-7) return { definite: "positive", terms: [] };
  const terms = new Set<string>();
  free.forEach((k, i) => {
    if (Math.abs(vectors.values[i * size]!) < 0.1) return;
    const block = design.blocks.findIndex(
      ({ size: s }, b) => k >= design.layout.start[b]! && k < design.layout.start[b]! + (s * (s + 1)) / 2,
    );
    terms.add(design.input.random[design.blocks[block]!.term]!.name);
  });
  return { definite: smallest > -1e-5 ? "flat" : "saddle", terms: Array.from(terms) };
}
