import type { DenseMatrix } from "../linear-algebra/dense-matrix.ts";
import { minimizeBounded } from "../optimise/bounded-quasi-newton.ts";
import type { SearchRecord, Unfit } from "../verdict.ts";
import { unfit } from "./genetic-frame.ts";
import type { LogisticAnimalModel } from "./logistic-animal-model.ts";
import { type LaplacePoint, type LogisticData, laplaceAt, laplaceGradient } from "./logistic-laplace.ts";
import type { VarianceMap } from "./variance-map.ts";

/** Variances of greatest Laplace likelihood. They are biased in one flock: see `unbiasedVariances`. */
export interface FittedLogisticAnimalModel {
  readonly verdict: "converged" | "singular";
  readonly variances: Float64Array;
  readonly logLikelihood: number;
  readonly point: LaplacePoint;
  readonly search: SearchRecord;
  /** The search's estimate of the curvature of −log-likelihood, from which searches nearby may begin. */
  readonly curvature: DenseMatrix;
}

export interface LogisticSearch {
  /** Decrease of −log-likelihood below which the search ends (default 1e-8). */
  readonly tolerance?: number;
  /** Parameter that stays where it starts. */
  readonly held?: number;
  /** First guess of the curvature. */
  readonly curvature?: DenseMatrix;
  /** Accuracy of each mode (see `laplaceAt`). */
  readonly accuracy?: number;
  /** A point nearby, whose mode the first one is sought from; its storage is overwritten. */
  readonly near?: LaplacePoint;
}

/** Standard deviations below this on the liability are zero. */
const FLOOR = 1e-3;

/** Greatest Laplace likelihood over the standard deviations; `start` may give those to begin from. */
export function fitLogisticAnimalModel(
  model: LogisticAnimalModel,
  start?: Float64Array,
): FittedLogisticAnimalModel | Unfit {
  return fitLogisticData(model.data, model.map, start ?? new Float64Array(model.map.columns).fill(0.5));
}

/**
 * The same for any data of the model's design; parameters are the free standard deviations.
 */
export function fitLogisticData(
  data: LogisticData,
  map: VarianceMap,
  start: Float64Array,
  { tolerance = 1e-8, held = -1, curvature, accuracy, near }: LogisticSearch = {},
): FittedLogisticAnimalModel | Unfit {
  let last = near;
  let evaluations = 0;
  const at = (parameters: Float64Array): LaplacePoint | undefined => {
    evaluations++;
    const point = laplaceAt(data, mappedDeviations(map, parameters), last, accuracy);
    if (point !== undefined) last = point;
    return point;
  };
  const found = minimizeBounded(
    (parameters) => {
      const point = at(parameters);
      if (point === undefined) return { value: Number.NaN, gradient: parameters };
      const slope = laplaceGradient(data, point);
      const gradient = mappedSlope(map, slope).map((g, j) => (j === held ? 0 : parameters[j] < 0 ? g : -g));
      return { value: -point.logLikelihood, gradient };
    },
    start,
    // The likelihood is even in each standard deviation: no bound at zero is needed.
    { tolerance, radius: 0.5, ...(curvature === undefined ? {} : { hessian: curvature }) },
  );
  if (!Number.isFinite(found.value)) {
    return unfit("perfect_separation", "the fixed effects have no finite mode");
  }
  if (!found.converged) {
    return unfit("not_converged", `largest slope ${found.largestGradient.toExponential(2)}`);
  }
  const settled = settledParameters(at, found.point.map(Math.abs), -found.value, held);
  const point = at(settled);
  if (point === undefined) return unfit("not_converged", "no mode at the variances found");
  return {
    verdict: point.standardDeviations.includes(0) ? "singular" : "converged",
    variances: point.standardDeviations.map((s) => s * s),
    logLikelihood: point.logLikelihood,
    point,
    curvature: found.hessian,
    search: {
      start: [...start],
      end: [...settled],
      objective: point.logLikelihood,
      evaluations,
      largestGradient: found.largestGradient,
    },
  };
}

/** Small standard deviations become zero where that costs no likelihood. */
function settledParameters(
  at: (parameters: Float64Array) => LaplacePoint | undefined,
  found: Float64Array,
  logLikelihood: number,
  held: number,
): Float64Array {
  let settled = found;
  for (let j = 0; j < found.length; j++) {
    if (j === held || settled[j] === 0 || settled[j] > 20 * FLOOR) continue;
    const zeroed = settled.map((s, k) => (k === j ? 0 : s));
    const without = at(zeroed);
    if (without !== undefined && without.logLikelihood > logLikelihood - 1e-4) settled = zeroed;
  }
  return settled;
}

/** Standard deviations of all terms from the free ones: tied variances are multiples. */
export function mappedDeviations(map: VarianceMap, parameters: ArrayLike<number>): Float64Array {
  return Float64Array.from({ length: map.rows }, (_, k) => {
    let variance = 0;
    for (let j = 0; j < map.columns; j++) variance += map.values[k * map.columns + j] * parameters[j] ** 2;
    return Math.sqrt(variance);
  });
}

function mappedSlope(map: VarianceMap, slope: Float64Array): Float64Array {
  return Float64Array.from({ length: map.columns }, (_, j) => {
    let sum = 0;
    for (let k = 0; k < map.rows; k++) sum += Math.sqrt(map.values[k * map.columns + j]) * slope[k];
    return sum;
  });
}
