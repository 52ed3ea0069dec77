import { type DenseMatrix, multiply, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { symmetricEigen } from "../linear-algebra/symmetric-eigen.ts";
import type { Unfit } from "../verdict.ts";
import { links, meanArrays } from "./family.ts";
import type { GeneralizedLinearFit } from "./generalized-linear-model.ts";
import { unfit } from "./linear-model-input.ts";
import { clusterRows, sandwich, unscaledInverse } from "./sandwich.ts";

/**
 * CR0 is the plain clustered sandwich; CR1 multiplies it by G/(G − 1), CR1S also by (n − 1)/(n − p); CR2 adjusts
 * each cluster's residuals so that the covariance is unbiased when the working model holds.
 */
export type ClusterRobustType = "CR0" | "CR1" | "CR1S" | "CR2";

export interface ClusterRobustCovariance {
  readonly clusters: number;
  readonly covariance: DenseMatrix;
  readonly standardErrors: Float64Array;
  /** Degrees of freedom for a t test of each coefficient: Satterthwaite's for CR2, clusters − 1 otherwise. */
  readonly degreesOfFreedom: Float64Array;
}

/**
 * Covariance of the coefficients when rows within a cluster depend on each other in any way (Liang & Zeger 1986;
 * CR2 with its degrees of freedom: Bell & McCaffrey 2002, Survey Methodology 28:169-181, in the weighted form of
 * Pustejovsky & Tipton 2018, J. Bus. Econ. Stat. 36:672-683). `cluster` holds one whole number a row.
 * CR2 costs the cube of the cluster size.
 */
export function clusterRobustCovariance(
  fit: GeneralizedLinearFit,
  cluster: ArrayLike<number>,
  type: ClusterRobustType,
): ClusterRobustCovariance | Unfit {
  const { rows, columns: p } = fit.data.design;
  if (cluster.length !== rows) return unfit("invalid_input", `cluster has ${cluster.length} of ${rows} rows`);
  const clusters = clusterRows(cluster);
  const count = clusters.length;
  if (count < 2) return unfit("too_few_groups", `${count} cluster`);
  const bread = unscaledInverse(fit);
  if (type === "CR2") return biasReduced(fit, clusters, bread);
  const meat = zeroMatrix(p, p);
  for (const members of clusters) addOuter(meat, clusterScore(fit, members, fit.rowScores));
  const factor = type === "CR0" ? 1 : (count / (count - 1)) * (type === "CR1S" ? (rows - 1) / (rows - p) : 1);
  return report(sandwich(bread, meat, factor), count, new Float64Array(p).fill(count - 1));
}

function biasReduced(
  fit: GeneralizedLinearFit,
  clusters: readonly Int32Array[],
  bread: DenseMatrix,
): ClusterRobustCovariance {
  const { columns: p } = fit.data.design;
  const meat = zeroMatrix(p, p);
  const scales = clusters.map((members) => meanScale(fit, members));
  const lifts: DenseMatrix[] = [];
  for (const scale of scales) {
    const adjusted = adjustedDesign(scale, bread);
    const score = new Float64Array(p);
    scale.residual.forEach((residual, a) => {
      for (let j = 0; j < p; j++) score[j] += adjusted.values[a * p + j] * residual;
    });
    addOuter(meat, score);
    lifts.push(multiply(adjusted, bread));
  }
  const degreesOfFreedom = new Float64Array(p);
  for (let c = 0; c < p; c++) {
    const diagonal: number[] = [];
    const loadings: Float64Array[] = [];
    scales.forEach(({ design, variance }, g) => {
      let own = 0;
      const loading = new Float64Array(p);
      variance.forEach((v, a) => {
        const lift = lifts[g].values[a * p + c];
        own += lift ** 2 * v;
        for (let j = 0; j < p; j++) loading[j] += design.values[a * p + j] * lift;
      });
      diagonal.push(own);
      loadings.push(loading);
    });
    degreesOfFreedom[c] = satterthwaite(diagonal, loadings, bread);
  }
  return report(sandwich(bread, meat), clusters.length, degreesOfFreedom);
}

/** One cluster's rows on the scale of the mean: ∂μ/∂β, the variance that the model gives, the residual. */
interface MeanScale {
  readonly design: DenseMatrix;
  readonly variance: Float64Array;
  readonly residual: Float64Array;
}

function meanScale(fit: GeneralizedLinearFit, members: Int32Array): MeanScale {
  const { design, family } = fit.data;
  const p = design.columns;
  const informative = members.filter((i) => fit.workingWeights[i] > 0);
  const means = meanArrays(informative.length);
  links[family.link].fill(
    Float64Array.from(informative, (i) => fit.linearPredictor[i]),
    means,
  );
  const slopes = means.slope;
  const own = zeroMatrix(informative.length, p);
  informative.forEach((i, a) => {
    for (let j = 0; j < p; j++) own.values[a * p + j] = slopes[a] * design.values[i * p + j];
  });
  return {
    design: own,
    variance: slopes.map((slope, a) => slope ** 2 / fit.workingWeights[informative[a]]),
    residual: slopes.map((slope, a) => {
      return (slope * fit.rowScores[informative[a]]) / fit.workingWeights[informative[a]];
    }),
  };
}

/**
 * A W X of one cluster, W = Φ⁻¹ for its model variances Φ, A = D B^(−½) D with D = Φ^½ and
 * B = D (Φ − X (X'WX)⁻¹ X') D. Directions that the fit leaves without residual get zero (generalised inverse).
 */
function adjustedDesign(cluster: MeanScale, bread: DenseMatrix): DenseMatrix {
  const { design, variance } = cluster;
  const { rows: n, columns: p } = design;
  const scale = variance.map(Math.sqrt);
  const lifted = multiply(design, bread);
  const b = zeroMatrix(n, n);
  for (let a = 0; a < n; a++) {
    for (let c = 0; c < n; c++) {
      let hat = 0;
      for (let j = 0; j < p; j++) hat += lifted.values[a * p + j] * design.values[c * p + j];
      b.values[a * n + c] = scale[a] * scale[c] * ((a === c ? variance[a] : 0) - hat);
    }
  }
  const { values: eigenvalues, vectors } = symmetricEigen(b);
  const floor = 1e-10 * Math.max(...eigenvalues);
  const adjusted = zeroMatrix(n, p);
  for (let k = 0; k < n; k++) {
    if (eigenvalues[k] <= floor) continue;
    const root = 1 / Math.sqrt(eigenvalues[k]);
    for (let j = 0; j < p; j++) {
      let sum = 0;
      for (let a = 0; a < n; a++) {
        sum += (vectors.values[a * n + k] * design.values[a * p + j]) / scale[a];
      }
      for (let a = 0; a < n; a++) {
        adjusted.values[a * p + j] += root * sum * scale[a] * vectors.values[a * n + k];
      }
    }
  }
  return adjusted;
}

/** (tr P)²/tr(P²) for P = diag(d) − Q M Q', rows of Q the loadings. */
function satterthwaite(
  diagonal: readonly number[],
  loadings: readonly Float64Array[],
  m: DenseMatrix,
): number {
  const p = m.rows;
  const gram = zeroMatrix(p, p);
  let trace = 0;
  let traceOfSquare = 0;
  loadings.forEach((q, g) => {
    let form = 0;
    for (let j = 0; j < p; j++) {
      for (let k = 0; k < p; k++) {
        form += q[j] * m.values[j * p + k] * q[k];
        gram.values[j * p + k] += q[j] * q[k];
      }
    }
    trace += diagonal[g] - form;
    traceOfSquare += diagonal[g] ** 2 - 2 * diagonal[g] * form;
  });
  const product = multiply(m, gram);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) traceOfSquare += product.values[j * p + k] * product.values[k * p + j];
  }
  return trace ** 2 / traceOfSquare;
}

function clusterScore(fit: GeneralizedLinearFit, members: Int32Array, rowScores: Float64Array): Float64Array {
  const { columns: p, values } = fit.data.design;
  const score = new Float64Array(p);
  for (const i of members) {
    for (let j = 0; j < p; j++) score[j] += values[i * p + j] * rowScores[i];
  }
  return score;
}

function addOuter(target: DenseMatrix, vector: Float64Array): void {
  const p = vector.length;
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) target.values[j * p + k] += vector[j] * vector[k];
  }
}

function report(covariance: DenseMatrix, clusters: number, df: Float64Array): ClusterRobustCovariance {
  const p = covariance.rows;
  const standardErrors = Float64Array.from({ length: p }, (_, j) => Math.sqrt(covariance.values[j * p + j]));
  return { clusters, covariance, standardErrors, degreesOfFreedom: df };
}
