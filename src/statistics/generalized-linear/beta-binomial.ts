import { denseCholesky, inverseDense } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { SearchRecord, Unfit } from "../verdict.ts";
import { type Curved, minimiseByNewton } from "./damped-newton.ts";
import { links, meanArrays } from "./family.ts";
import { runGeneralizedLinearModel } from "./generalized-linear-model.ts";
import {
  type GeneralizedLinearInput,
  type LinearModelData,
  logLikelihoodConstant,
  parseLinearModel,
  unfit,
} from "./linear-model-input.ts";

/** A fit; `singular` when the trials of a row vary no more than binomial ones (correlation at its bound zero). */
export interface BetaBinomialFit {
  readonly verdict: "converged" | "singular";
  readonly coefficients: Float64Array;
  /** Covariance of the coefficients, the correlation taken as estimated. */
  readonly covariance: DenseMatrix;
  readonly standardErrors: Float64Array;
  /** Correlation ρ of two trials of one row. */
  readonly correlation: number;
  /** Standard error of log(ρ/(1 − ρ)); null at the bound. */
  readonly logitCorrelationStandardError: number | null;
  readonly logLikelihood: number;
  readonly fitted: Float64Array;
  readonly search: SearchRecord;
}

/**
 * Beta-binomial regression by maximum likelihood: logit of the mean linear in the columns, one correlation ρ
 * between the trials of a row (Williams 1975, Biometrics 31:949-952). The family of `input` must be binomial with
 * logit link. Beside the conditions of the binomial fit, `not_identified` where no row has two trials.
 */
export function fitBetaBinomial(input: GeneralizedLinearInput): BetaBinomialFit | Unfit {
  if (input.family.distribution !== "binomial" || input.family.link !== "logit") {
    return unfit("invalid_input", "the beta-binomial is written for the logit link");
  }
  const data = parseLinearModel(input);
  if ("verdict" in data) return data;
  if (!data.trials.some((n) => n > 1)) return unfit("not_identified", "no row has two trials", "flat");
  const binomial = runGeneralizedLinearModel(data);
  if (binomial.verdict !== "converged") return binomial;
  const constant = logLikelihoodConstant(data);
  const p = data.design.columns;
  const overdispersionScore = rowSums(data, binomial.coefficients, 0).spreadScore;
  if (overdispersionScore <= 0) {
    return {
      verdict: "singular",
      coefficients: binomial.coefficients,
      covariance: binomial.covariance,
      standardErrors: binomial.standardErrors,
      correlation: 0,
      logitCorrelationStandardError: null,
      logLikelihood: binomial.logLikelihood,
      fitted: binomial.fitted,
      search: binomial.search,
    };
  }
  const start = Float64Array.from([...binomial.coefficients, Math.log(0.1)]);
  const result = minimiseByNewton((point) => objective(data, point), start, { tolerance: 1e-16 });
  if (result === null || !result.converged) return unfit("not_converged", "beta-binomial likelihood");
  const factor = denseCholesky(result.state.hessian);
  if (!factor.positiveDefinite) return unfit("not_identified", "flat likelihood", "flat");
  const joint = inverseDense(factor);
  const covariance = zeroMatrix(p, p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) covariance.values[j * p + k] = joint.values[j * (p + 1) + k];
  }
  const coefficients = result.point.slice(0, p);
  return {
    verdict: "converged",
    coefficients,
    covariance,
    standardErrors: Float64Array.from({ length: p }, (_, j) => Math.sqrt(covariance.values[j * p + j])),
    correlation: 1 / (1 + Math.exp(-result.point[p])),
    logitCorrelationStandardError: Math.sqrt(joint.values[(p + 1) * (p + 1) - 1]),
    logLikelihood: constant - result.state.value,
    fitted: linearPredictor(data, coefficients).map(links.logit.mean),
    search: {
      start: Array.from(start),
      end: Array.from(result.point),
      objective: result.state.value,
      evaluations: result.evaluations,
      largestGradient: result.state.gradient.reduce((largest, g) => Math.max(largest, Math.abs(g)), 0),
    },
  };
}

/** Negative log-likelihood in (β, logit ρ); ρ/(1 − ρ) = φ, so logit ρ = log φ. */
function objective(data: LinearModelData, point: Float64Array): Curved | null {
  const { rows, columns: p, values } = data.design;
  const spread = Math.exp(point[p]);
  if (!Number.isFinite(spread)) return null;
  const sums = rowSums(data, point.subarray(0, p), spread);
  if (!Number.isFinite(sums.logLikelihood)) return null;
  const order = p + 1;
  const gradient = new Float64Array(order);
  const hessian = zeroMatrix(order, order);
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < p; j++) {
      const x = values[i * p + j];
      gradient[j] -= sums.etaScore[i] * x;
      hessian.values[j * order + p] -= sums.crossCurvature[i] * spread * x;
      for (let k = 0; k <= j; k++) {
        hessian.values[j * order + k] -= sums.etaCurvature[i] * x * values[i * p + k];
      }
    }
  }
  gradient[p] = -sums.spreadScore * spread;
  hessian.values[order * order - 1] = -(sums.spreadCurvature * spread + sums.spreadScore) * spread;
  for (let j = 0; j < p; j++) {
    hessian.values[p * order + j] = hessian.values[j * order + p];
    for (let k = 0; k < j; k++) hessian.values[k * order + j] = hessian.values[j * order + k];
  }
  return { value: -sums.logLikelihood, gradient, hessian };
}

interface RowSums {
  readonly logLikelihood: number;
  readonly etaScore: Float64Array;
  readonly etaCurvature: Float64Array;
  readonly crossCurvature: Float64Array;
  readonly spreadScore: number;
  readonly spreadCurvature: number;
}

/**
 * With y of n, mean μ, ν = 1 − μ and φ = ρ/(1 − ρ), a row's log-likelihood is
 * Σ_{j<y} log(μ + jφ) + Σ_{j<n−y} log(ν + jφ) − Σ_{j<n} log(1 + jφ), smooth down to the binomial at φ = 0.
 */
function rowSums(data: LinearModelData, coefficients: Float64Array, spread: number): RowSums {
  const { outcome, trials, priorWeights } = data;
  const eta = linearPredictor(data, coefficients);
  const rows = eta.length;
  const means = meanArrays(rows);
  links.logit.fill(eta, means);
  const etaScore = new Float64Array(rows);
  const etaCurvature = new Float64Array(rows);
  const crossCurvature = new Float64Array(rows);
  let logLikelihood = 0;
  let spreadScore = 0;
  let spreadCurvature = 0;
  for (let i = 0; i < rows; i++) {
    const mean = means.mean[i];
    const complement = means.complement[i];
    const yes = risingSums(mean, spread, outcome[i]);
    const no = risingSums(complement, spread, trials[i] - outcome[i]);
    const all = risingSums(1, spread, trials[i]);
    const weight = priorWeights[i];
    const slope = mean * complement;
    const meanScore = yes.inverse - no.inverse;
    logLikelihood += weight * (yes.log + no.log - all.log);
    etaScore[i] = weight * meanScore * slope;
    etaCurvature[i] =
      weight *
      (meanScore * slope * (complement - mean) - (yes.inverseSquare + no.inverseSquare) * slope * slope);
    crossCurvature[i] = weight * slope * (no.stepInverseSquare - yes.stepInverseSquare);
    spreadScore += weight * (yes.stepInverse + no.stepInverse - all.stepInverse);
    spreadCurvature += weight * (all.squareInverseSquare - yes.squareInverseSquare - no.squareInverseSquare);
  }
  return { logLikelihood, etaScore, etaCurvature, crossCurvature, spreadScore, spreadCurvature };
}

/** Sums over j < count of log(base + j·step) and of its derivatives by base and step. */
function risingSums(base: number, step: number, count: number) {
  let log = 0;
  let inverse = 0;
  let stepInverse = 0;
  let inverseSquare = 0;
  let stepInverseSquare = 0;
  let squareInverseSquare = 0;
  for (let j = 0; j < count; j++) {
    const value = base + j * step;
    const reciprocal = 1 / value;
    log += Math.log(value);
    inverse += reciprocal;
    stepInverse += j * reciprocal;
    inverseSquare += reciprocal * reciprocal;
    stepInverseSquare += j * reciprocal * reciprocal;
    squareInverseSquare += j * j * reciprocal * reciprocal;
  }
  return { log, inverse, stepInverse, inverseSquare, stepInverseSquare, squareInverseSquare };
}

function linearPredictor(data: LinearModelData, coefficients: Float64Array): Float64Array {
  const { rows, columns: p, values } = data.design;
  return Float64Array.from({ length: rows }, (_, i) => {
    let eta = data.offset[i];
    for (let j = 0; j < p; j++) eta += values[i * p + j] * coefficients[j];
    return eta;
  });
}
