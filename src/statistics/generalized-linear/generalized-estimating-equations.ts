import { denseCholesky, inverseDense, solveDense } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, multiplyVector, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { SearchRecord, Unfit } from "../verdict.ts";
import { dispersions, links, meanArrays } from "./family.ts";
import { type GeneralizedLinearFit, runGeneralizedLinearModel } from "./generalized-linear-model.ts";
import {
  type GeneralizedLinearInput,
  type LinearModelData,
  parseLinearModel,
  unfit,
} from "./linear-model-input.ts";
import { clusterRows, sandwich } from "./sandwich.ts";

/**
 * `exchangeable`: any two rows of a cluster have the same working correlation. `divisor` sets what the moment
 * estimates of dispersion and correlation are divided by: the number of rows and of pairs, or these less the
 * number of coefficients. `smallSample` corrects the sandwich for few clusters (Mancl & DeRouen 2001,
 * Biometrics 57:126-134).
 */
export interface EstimatingEquationOptions {
  readonly correlation: "independence" | "exchangeable";
  readonly divisor?: "observations" | "residual";
  readonly smallSample?: "none" | "mancl-derouen";
}

export interface EstimatingEquationFit {
  readonly verdict: "converged";
  readonly data: LinearModelData;
  readonly clusters: number;
  readonly coefficients: Float64Array;
  /** The sandwich, valid whatever the correlation within clusters. */
  readonly covariance: DenseMatrix;
  readonly standardErrors: Float64Array;
  /** Valid only if the working correlation holds. */
  readonly modelCovariance: DenseMatrix;
  readonly modelStandardErrors: Float64Array;
  /** Working correlation of two rows of one cluster. */
  readonly correlation: number;
  readonly dispersion: number;
  readonly fitted: Float64Array;
  readonly search: SearchRecord;
}

/**
 * Generalized estimating equations (Liang & Zeger 1986, Biometrika 73:13-22) with independent or exchangeable
 * working correlation. `cluster` holds one whole number a row; rows of a cluster need not stand together.
 */
export function fitEstimatingEquations(
  input: GeneralizedLinearInput,
  cluster: ArrayLike<number>,
  options: EstimatingEquationOptions,
): EstimatingEquationFit | Unfit {
  const data = parseLinearModel(input);
  if ("verdict" in data) return data;
  if (cluster.length !== data.design.rows) {
    return unfit("invalid_input", `cluster has ${cluster.length} of ${data.design.rows} rows`);
  }
  const clusters = clusterRows(cluster);
  if (clusters.length < 2) return unfit("too_few_groups", `${clusters.length} cluster`);
  const independent = runGeneralizedLinearModel(data);
  if (independent.verdict !== "converged") return independent;
  return runEstimatingEquations(data, clusters, independent, options);
}

const MAX_ITERATIONS = 100;

function runEstimatingEquations(
  data: LinearModelData,
  clusters: readonly Int32Array[],
  independent: GeneralizedLinearFit,
  options: EstimatingEquationOptions,
): EstimatingEquationFit | Unfit {
  let coefficients = independent.coefficients;
  for (let iteration = 1; iteration <= MAX_ITERATIONS; iteration++) {
    const scaled = scaleRows(data, coefficients);
    if (scaled === null) return unfit("not_converged", "a step left the parameter space");
    const moments = estimateMoments(data, clusters, scaled, options);
    if (!workingCorrelationExists(moments.correlation, clusters)) {
      return unfit("not_converged", `working correlation ${moments.correlation}`);
    }
    const equations = assemble(data, clusters, scaled, moments.correlation);
    const factor = denseCholesky(equations.information);
    if (!factor.positiveDefinite) return unfit("not_identified", data.names[factor.failedColumn], "flat");
    const step = solveDense(factor, equations.score);
    const decrement = step.reduce((sum, s, j) => sum + s * equations.score[j], 0);
    if (decrement < 1e-20 * (1 + moments.dispersion) * data.design.rows) {
      const inverse = inverseDense(factor);
      const covariance = robustCovariance(equations, inverse, options.smallSample ?? "none");
      if ("verdict" in covariance) return covariance;
      const modelCovariance = { ...inverse, values: inverse.values.map((v) => v * moments.dispersion) };
      return {
        verdict: "converged",
        data,
        clusters: clusters.length,
        coefficients,
        covariance,
        standardErrors: rootDiagonal(covariance),
        modelCovariance,
        modelStandardErrors: rootDiagonal(modelCovariance),
        correlation: moments.correlation,
        dispersion: moments.dispersion,
        fitted: scaled.mean,
        search: {
          start: Array.from(independent.coefficients),
          end: Array.from(coefficients),
          objective: decrement,
          evaluations: iteration,
          largestGradient: equations.score.reduce((largest, s) => Math.max(largest, Math.abs(s)), 0),
        },
      };
    }
    coefficients = coefficients.map((b, j) => b + step[j]);
  }
  return unfit("not_converged", `${MAX_ITERATIONS} iterations`);
}

/** Rows in units of their standard deviation: Pearson residuals and the root weights of the design. */
interface ScaledRows {
  readonly mean: Float64Array;
  readonly residual: Float64Array;
  readonly rootWeight: Float64Array;
}

function scaleRows(data: LinearModelData, coefficients: Float64Array): ScaledRows | null {
  const { design, outcome, trials, offset, priorWeights, family } = data;
  const { rows, columns: p, values } = design;
  const dispersion = dispersions[family.distribution];
  const eta = new Float64Array(rows);
  for (let i = 0; i < rows; i++) {
    eta[i] = offset[i];
    for (let j = 0; j < p; j++) eta[i] += values[i * p + j] * coefficients[j];
  }
  const { mean, complement, slope } = meanArrays(rows);
  links[family.link].fill(eta, { mean, complement, slope });
  const residual = new Float64Array(rows);
  const rootWeight = new Float64Array(rows);
  for (let i = 0; i < rows; i++) {
    if (!dispersion.allows(mean[i], complement[i])) return null;
    if (trials[i] === 0) continue;
    const precision = Math.sqrt(priorWeights[i] / (trials[i] * dispersion.variance(mean[i], complement[i])));
    residual[i] = (outcome[i] - trials[i] * mean[i]) * precision;
    rootWeight[i] = trials[i] * slope[i] * precision;
  }
  return { mean, residual, rootWeight };
}

function estimateMoments(
  data: LinearModelData,
  clusters: readonly Int32Array[],
  scaled: ScaledRows,
  options: EstimatingEquationOptions,
): { dispersion: number; correlation: number } {
  const { rows, columns } = data.design;
  const lost = options.divisor === "residual" ? columns : 0;
  const squares = scaled.residual.reduce((sum, r) => sum + r * r, 0);
  const dispersion = squares / (rows - lost);
  if (options.correlation === "independence") return { dispersion, correlation: 0 };
  let products = 0;
  let pairs = 0;
  for (const members of clusters) {
    let sum = 0;
    let own = 0;
    for (const i of members) {
      sum += scaled.residual[i];
      own += scaled.residual[i] ** 2;
    }
    products += (sum * sum - own) / 2;
    pairs += (members.length * (members.length - 1)) / 2;
  }
  return { dispersion, correlation: pairs > lost ? products / dispersion / (pairs - lost) : 0 };
}

function workingCorrelationExists(correlation: number, clusters: readonly Int32Array[]): boolean {
  const largest = clusters.reduce((most, members) => Math.max(most, members.length), 1);
  return correlation < 1 && 1 + (largest - 1) * correlation > 0;
}

interface Equations {
  readonly score: Float64Array;
  readonly information: DenseMatrix;
  readonly clusterScores: readonly Float64Array[];
  readonly clusterInformation: readonly DenseMatrix[];
}

/** Σ X'R⁻¹r and Σ X'R⁻¹X over clusters, R⁻¹v = (v − c·Σv)/(1 − α) with c = α/(1 + (n − 1)α). */
function assemble(
  data: LinearModelData,
  clusters: readonly Int32Array[],
  scaled: ScaledRows,
  correlation: number,
): Equations {
  const { columns: p, values } = data.design;
  const score = new Float64Array(p);
  const information = zeroMatrix(p, p);
  const clusterScores: Float64Array[] = [];
  const clusterInformation: DenseMatrix[] = [];
  for (const members of clusters) {
    const shared = correlation / (1 + (members.length - 1) * correlation);
    const own = zeroMatrix(p, p);
    const ownScore = new Float64Array(p);
    const columnSums = new Float64Array(p);
    let residualSum = 0;
    for (const i of members) {
      residualSum += scaled.residual[i];
      for (let j = 0; j < p; j++) {
        const x = scaled.rootWeight[i] * values[i * p + j];
        columnSums[j] += x;
        ownScore[j] += x * scaled.residual[i];
        for (let k = 0; k < p; k++) own.values[j * p + k] += x * scaled.rootWeight[i] * values[i * p + k];
      }
    }
    for (let j = 0; j < p; j++) {
      ownScore[j] = (ownScore[j] - shared * columnSums[j] * residualSum) / (1 - correlation);
      score[j] += ownScore[j];
      for (let k = 0; k < p; k++) {
        const at = j * p + k;
        own.values[at] = (own.values[at] - shared * columnSums[j] * columnSums[k]) / (1 - correlation);
        information.values[at] += own.values[at];
      }
    }
    clusterScores.push(ownScore);
    clusterInformation.push(own);
  }
  return { score, information, clusterScores, clusterInformation };
}

/**
 * B⁻¹ (Σ s s') B⁻¹. The correction multiplies a cluster's residuals by (I − H)⁻¹, which turns its score s into
 * B (B − K)⁻¹ s, K the cluster's own part of the information B.
 */
function robustCovariance(
  equations: Equations,
  inverse: DenseMatrix,
  smallSample: "none" | "mancl-derouen",
): DenseMatrix | Unfit {
  const { information, clusterScores, clusterInformation } = equations;
  const p = information.rows;
  const meat = zeroMatrix(p, p);
  for (let g = 0; g < clusterScores.length; g++) {
    let s = clusterScores[g];
    if (smallSample === "mancl-derouen") {
      const others = information.values.map((v, at) => v - clusterInformation[g].values[at]);
      const factor = denseCholesky({ rows: p, columns: p, values: others }, 1e-10);
      if (!factor.positiveDefinite) {
        return unfit("too_few_groups", "a coefficient rests on one cluster alone");
      }
      s = multiplyVector(information, solveDense(factor, s));
    }
    for (let j = 0; j < p; j++) {
      for (let k = 0; k < p; k++) meat.values[j * p + k] += s[j] * s[k];
    }
  }
  return sandwich(inverse, meat);
}

function rootDiagonal(matrix: DenseMatrix): Float64Array {
  return Float64Array.from({ length: matrix.rows }, (_, j) => Math.sqrt(matrix.values[j * matrix.rows + j]));
}
