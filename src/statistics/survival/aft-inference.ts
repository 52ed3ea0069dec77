import { tTwoSided, tUpperQuantile } from "../distributions/student-t.ts";
import { checkLevel, type Interval } from "../interval.ts";
import { type DenseMatrix, multiply, quadraticForm, transpose } from "../linear-algebra/dense-matrix.ts";
import type { Unfit } from "../verdict.ts";
import type { AftFit } from "./accelerated-failure-time.ts";
import { clusterScores } from "./aft-likelihood.ts";
import { unfit } from "./censored-times.ts";
import { errorLaws } from "./error-law.ts";

/** A covariance of (β, ln σ) and the degrees of freedom of Student's t that go with it. */
export interface AftUncertainty {
  readonly covariance: DenseMatrix;
  readonly df: number;
}

/** Cluster-robust covariance. */
export interface AftClusterCovariance extends AftUncertainty {
  readonly clusters: number;
  readonly standardErrors: Float64Array;
  /** G/(G − 1), already in the covariance. */
  readonly factor: number;
}

/** Uncertainty as the model has it: inverse information, normal quantiles. */
export function modelUncertainty(fit: AftFit): AftUncertainty {
  return { covariance: fit.covariance, df: Infinity };
}

/**
 * Sandwich covariance for rows that go together within clusters (Lin & Wei 1989, JASA 84:1074-1078), times
 * G/(G − 1), with t on G − 1 degrees of freedom. `cluster` gives a whole number for each row.
 */
export function clusterUncertainty(fit: AftFit, cluster: ArrayLike<number>): AftClusterCovariance | Unfit {
  const { data, parameters } = fit;
  if (cluster.length !== data.rows)
    return unfit("invalid_input", `cluster has ${cluster.length} of ${data.rows} rows`);
  const numbers = new Map<number, number>();
  const of = new Int32Array(data.rows);
  for (let i = 0; i < data.rows; i++) {
    if (data.weights[i] === 0) continue;
    const label = cluster[i];
    let number = numbers.get(label);
    if (number === undefined) {
      number = numbers.size;
      numbers.set(label, number);
    }
    of[i] = number;
  }
  const clusters = numbers.size;
  if (clusters <= 1) return unfit("too_few_groups", `${clusters} cluster`);
  const scores = clusterScores(data, Float64Array.from(fit.search.end), of, clusters);
  const factor = clusters / (clusters - 1);
  const meat = multiply(transpose(scores), scores);
  const product = multiply(multiply(fit.covariance, meat), fit.covariance);
  const covariance = { ...product, values: product.values.map((v) => v * factor) };
  return {
    covariance,
    df: clusters - 1,
    clusters,
    factor,
    standardErrors: Float64Array.from({ length: parameters }, (_, j) => {
      return Math.sqrt(covariance.values[j * parameters + j]);
    }),
  };
}

/** A ratio of times with its two-sided p-value. */
export interface TimeRatio extends Interval {
  readonly p: number;
}

/** exp(β): by how much a unit of the named covariate stretches the time. Throws on a name that is not in the fit. */
export function timeRatio(
  fit: AftFit,
  name: string,
  { covariance, df }: AftUncertainty = modelUncertainty(fit),
  level = 0.95,
): TimeRatio {
  checkLevel(level);
  const j = fit.data.names.indexOf(name);
  if (j < 0) throw new RangeError(`no covariate ${name} in this fit`);
  const beta = fit.coefficients[j];
  const se = Math.sqrt(covariance.values[j * covariance.columns + j]);
  const half = tUpperQuantile((1 - level) / 2, df) * se;
  return {
    estimate: Math.exp(beta),
    lo: Math.exp(beta - half),
    hi: Math.exp(beta + half),
    p: tTwoSided(beta / se, df),
  };
}

/** Time by which a fraction `p` has had the event at covariates `x`; limits on the log scale by the delta method. */
export function aftQuantile(
  fit: AftFit,
  x: ArrayLike<number>,
  p: number,
  { covariance, df }: AftUncertainty = modelUncertainty(fit),
  level = 0.95,
): Interval {
  checkLevel(level);
  if (!(p > 0 && p < 1)) throw new RangeError(`a fraction lies between 0 and 1, not ${p}`);
  const error = fit.scale * errorLaws[fit.data.distribution].quantile(p);
  const centre = linearPredictor(fit, x) + error;
  const half = tUpperQuantile((1 - level) / 2, df) * deltaError(fit, covariance, x, error);
  return { estimate: Math.exp(centre), lo: Math.exp(centre - half), hi: Math.exp(centre + half) };
}

/** P(T > t) at covariates `x`; limits on the scale of the standardised log time by the delta method. */
export function aftSurvival(
  fit: AftFit,
  x: ArrayLike<number>,
  t: number,
  { covariance, df }: AftUncertainty = modelUncertainty(fit),
  level = 0.95,
): Interval {
  checkLevel(level);
  if (!(t >= 0)) throw new RangeError(`a time is at least zero, not ${t}`);
  if (t === 0) return { estimate: 1, lo: 1, hi: 1 };
  const { logSurvival } = errorLaws[fit.data.distribution];
  const distance = Math.log(t) - linearPredictor(fit, x);
  const z = distance / fit.scale;
  const half = (tUpperQuantile((1 - level) / 2, df) * deltaError(fit, covariance, x, distance)) / fit.scale;
  return {
    estimate: Math.exp(logSurvival(z)),
    lo: Math.exp(logSurvival(z + half)),
    hi: Math.exp(logSurvival(z - half)),
  };
}

function linearPredictor(fit: AftFit, x: ArrayLike<number>): number {
  if (x.length !== fit.data.width)
    throw new RangeError(`${x.length} covariates for ${fit.data.width} coefficients`);
  return fit.coefficients.reduce((sum, beta, j) => sum + beta * x[j], 0);
}

/** Standard error of x'β + σ·w, where `error` = σ·w. */
function deltaError(fit: AftFit, covariance: DenseMatrix, x: ArrayLike<number>, error: number): number {
  const gradient = Float64Array.from({ length: fit.parameters }, (_, j) =>
    j < fit.data.width ? x[j] : error,
  );
  return Math.sqrt(quadraticForm(covariance, gradient));
}
