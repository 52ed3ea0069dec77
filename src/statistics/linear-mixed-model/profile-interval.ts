import { chiSquareQuantile } from "../distributions/chi-square.ts";
import { checkLevel, type Interval } from "../interval.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { minimizeBounded, type Slope } from "../optimise/bounded-quasi-newton.ts";
import { findRoot } from "../optimise/root.ts";
import type { Unfit } from "../verdict.ts";
import { criterionWorkspace, differentiateCriterion, solveMixedModel } from "./criterion.ts";
import { criterionCurvature } from "./curvature.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import { awayFromZero, diagonalPlaces, thetaPlace } from "./relative-covariance.ts";

/** The standard deviation of one effect of a term, or of the residual. */
export type DeviationOf = { readonly term: number; readonly effect?: number } | "residual";

/**
 * Profile likelihood limits of a standard deviation: where −2 log (restricted) likelihood, maximised over everything
 * else, lies above its minimum by the chi-square quantile with one degree of freedom. The lower limit is 0 where the
 * data do not rule zero out.
 */
export function profileInterval(fit: FittedLinearMixed, of: DeviationOf, level = 0.95): Interval | Unfit {
  checkLevel(level);
  const profile = profileOf(fit, of);
  const estimate = profile.estimate;
  const reach = Math.sqrt(chiSquareQuantile(level, 1));
  const minimum = fit.solution.criterion;
  const distance = (deviation: number): number => {
    const value = profile.minimumAt(deviation);
    return Math.sqrt(Math.max(0, value - minimum)) - reach;
  };
  const stuck: Unfit = { verdict: "failed", trouble: "not_converged", detail: "the profile has no limit" };
  const first = estimate > 0 ? estimate : profile.unit;
  const hi = limitBeyond(distance, estimate, (doubling) => first * (1 + 0.5 * 2 ** doubling));
  // The residual's deviation cannot be zero: there the search goes down by halves instead.
  const floor = of !== "residual" && (estimate === 0 || distance(0) <= 0);
  const lo = floor
    ? 0
    : limitBeyond(distance, estimate, (doubling) =>
        of === "residual" ? estimate / 1.5 ** (2 ** doubling) : 0,
      );
  return lo === null || hi === null ? stuck : { estimate, lo, hi };
}

/** The zero of `distance` between the estimate and the first of the places `reach(0)`, `reach(1)` … beyond it. */
function limitBeyond(
  distance: (deviation: number) => number,
  estimate: number,
  reach: (doubling: number) => number,
): number | null {
  let inner = estimate;
  for (let doubling = 0; doubling < 40; doubling++) {
    const outer = reach(doubling);
    const beyond = distance(outer);
    if (!Number.isFinite(beyond)) return null;
    if (beyond >= 0) {
      const root = findRoot(distance, inner, outer, { tolerance: 1e-9 * Math.max(inner, outer) });
      return root.found ? root.root : null;
    }
    inner = outer;
  }
  return null;
}

interface Profile {
  readonly estimate: number;
  /** A small standard deviation to start from where the estimate is zero. */
  readonly unit: number;
  /** Least −2 log-likelihood over the other parameters; the residual's deviation must be above zero. */
  readonly minimumAt: (deviation: number) => number;
}

/** The row of T (columns 0 to `row`) that makes up a standard deviation, and where it stands in θ. */
interface FactorRow {
  readonly row: number;
  readonly places: readonly number[];
}

function profileOf(fit: FittedLinearMixed, of: DeviationOf): Profile {
  const { design, method, solution, sigmaSquared } = fit;
  const degrees = method === "REML" ? design.rows - design.fixedCount : design.rows;
  const workspace = criterionWorkspace(design);
  const diagonal = diagonalPlaces(design.blocks);
  const held = of === "residual" ? null : factorRow(fit, of);
  const other = Array.from(solution.theta.keys()).filter((k) => held === null || !held.places.includes(k));
  const sigma = Math.sqrt(sigmaSquared);
  const relative = held === null ? 0 : Math.hypot(...held.places.map((k) => solution.theta[k]!));
  const estimate = held === null ? sigma : relative * sigma;
  // Free coordinates: the other entries of θ, log σ² (unless held), and angles of the held row of T.
  const angleCount = held === null ? 0 : held.row;
  const logPlace = other.length;
  const count = other.length + (held === null ? 0 : 1 + angleCount);
  const start = new Float64Array(count);
  other.forEach((k, i) => {
    start[i] = solution.theta[k]!;
  });
  if (held !== null) {
    start[logPlace] = Math.log(sigmaSquared);
    start.set(anglesOf(held.places.map((k) => solution.theta[k]!)), logPlace + 1);
  }
  const scale = Float64Array.from({ length: count }, (_, i) =>
    i < logPlace ? 1 / design.unit[other[i]!]! : i === logPlace ? Math.sqrt(2 / degrees) : 1,
  );
  const expand = (x: Float64Array, deviation: number): { theta: Float64Array; log: number } => {
    const theta = Float64Array.from(solution.theta);
    other.forEach((k, i) => {
      theta[k] = x[i]!;
    });
    if (held === null) return { theta, log: 2 * Math.log(deviation) };
    const log = x[logPlace]!;
    const length = deviation * Math.exp(-log / 2);
    directionOf(x.subarray(logPlace + 1)).forEach((d, j) => {
      theta[held.places[j]!] = length * d;
    });
    return { theta, log };
  };
  /** Derivatives of (θ, log σ²) by the free coordinates. */
  const jacobian = (x: Float64Array, deviation: number, theta: Float64Array): DenseMatrix => {
    const rows = theta.length + 1;
    const result = zeroMatrix(rows, count);
    other.forEach((k, i) => {
      result.values[k * count + i] = 1;
    });
    if (held === null) return result;
    result.values[theta.length * count + logPlace] = 1;
    const length = deviation * Math.exp(-x[logPlace]! / 2);
    const turns = directionDerivatives(x.subarray(logPlace + 1));
    held.places.forEach((k, j) => {
      result.values[k * count + logPlace] = -theta[k]! / 2;
      for (let a = 0; a < angleCount; a++)
        result.values[k * count + logPlace + 1 + a] = length * turns[a]![j]!;
    });
    return result;
  };
  const hessian = firstHessian(fit, jacobian(start, estimate, solution.theta), scale);
  let from: Float64Array = start;
  const minimumAt = (deviation: number): number => {
    const slope = (x: Float64Array): Slope => {
      const { theta: bare, log } = expand(x, deviation);
      const theta = awayFromZero(bare, diagonal, design.unit);
      const there = solveMixedModel(design, method, theta, workspace);
      if (there === undefined) return { value: Number.NaN, gradient: new Float64Array(count) };
      const parts = differentiateCriterion(design, method, there, workspace);
      const precision = Math.exp(-log);
      const value =
        there.logDeterminants + degrees * (Math.log(2 * Math.PI) + log) + there.penalizedSquares * precision;
      const inner = new Float64Array(theta.length + 1);
      for (let k = 0; k < theta.length; k++) {
        inner[k] = parts.logDeterminants[k]! + parts.penalizedSquares[k]! * precision;
      }
      inner[theta.length] = degrees - there.penalizedSquares * precision;
      const slopes = jacobian(x, deviation, bare);
      const gradient = new Float64Array(count);
      for (let k = 0; k < inner.length; k++) {
        for (let i = 0; i < count; i++) gradient[i]! += inner[k]! * slopes.values[k * count + i]!;
      }
      return { value, gradient };
    };
    if (count === 0) return slope(start).value;
    const found = minimizeBounded(slope, from, { scale, hessian, tolerance: 1e-11 });
    if (!found.converged) return Number.NaN;
    from = found.point;
    return found.value;
  };
  const unit = held === null ? sigma : sigma / design.unit[held.places[held.row]!]!;
  return { estimate, unit, minimumAt };
}

function factorRow(fit: FittedLinearMixed, of: { term: number; effect?: number }): FactorRow {
  const effect = of.effect ?? 0;
  const { blocks, layout } = fit.design;
  const b = blocks.findIndex(
    ({ term, firstEffect, size }) => term === of.term && effect >= firstEffect && effect < firstEffect + size,
  );
  if (b === -1) throw new RangeError(`no effect ${effect} in term ${of.term}`);
  const { firstEffect, size } = blocks[b]!;
  const row = effect - firstEffect;
  const places = Array.from(
    { length: row + 1 },
    (_, column) => layout.start[b]! + thetaPlace(size, row, column),
  );
  return { row, places };
}

/** J' H J with the curvature at the fit; coordinates that it leaves out get the unit of their scale. */
function firstHessian(fit: FittedLinearMixed, jacobian: DenseMatrix, scale: Float64Array): DenseMatrix {
  const { free, hessian } = criterionCurvature(fit.design, fit.method, fit.solution);
  const places = [...free, jacobian.rows - 1];
  const count = jacobian.columns;
  const result = zeroMatrix(count, count);
  places.forEach((k, a) => {
    places.forEach((m, b) => {
      const curvature = hessian.values[a * places.length + b]!;
      for (let i = 0; i < count; i++) {
        for (let j = 0; j < count; j++) {
          result.values[i * count + j]! +=
            jacobian.values[k * count + i]! * curvature * jacobian.values[m * count + j]!;
        }
      }
    });
  });
  for (let i = 0; i < count; i++) {
    const at = i * count + i;
    if (!(result.values[at]! > 1e-6 / scale[i]! ** 2)) result.values[at]! += 1 / scale[i]! ** 2;
  }
  return result;
}

/** Unit vector with these spherical angles; all zero for its last entry alone. */
function directionOf(angles: Float64Array): number[] {
  const result: number[] = [];
  let left = 1;
  for (const angle of angles) {
    result.push(left * Math.sin(angle));
    left *= Math.cos(angle);
  }
  result.push(left);
  return result;
}

function anglesOf(vector: readonly number[]): number[] {
  let left = Math.hypot(...vector);
  return vector.slice(0, -1).map((entry) => {
    const sine = left > 0 ? Math.min(1, Math.max(-1, entry / left)) : 0;
    left *= Math.sqrt(1 - sine * sine);
    return Math.asin(sine);
  });
}

/** Derivative of each entry of the unit vector by each angle: [angle][entry]. */
function directionDerivatives(angles: Float64Array): number[][] {
  return Array.from(angles, (_, a) =>
    Array.from({ length: angles.length + 1 }, (_, j) => {
      if (j < a) return 0;
      let product = 1;
      for (let k = 0; k < Math.min(j, angles.length); k++) {
        product *= k === a ? -Math.sin(angles[k]!) : Math.cos(angles[k]!);
      }
      if (j < angles.length) product *= j === a ? Math.cos(angles[j]!) : Math.sin(angles[j]!);
      return product;
    }),
  );
}
