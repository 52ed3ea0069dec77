import {
  type DenseFactor,
  denseCholesky,
  inverseDense,
  logDeterminantDense,
} from "../../../src/statistics/linear-algebra/dense-cholesky.ts";
import {
  crossProduct,
  type DenseMatrix,
  matrixFromColumns,
  multiply,
  multiplyVector,
  quadraticForm,
  transpose,
  zeroMatrix,
} from "../../../src/statistics/linear-algebra/dense-matrix.ts";
import type { LinearMixedInput } from "../../../src/statistics/linear-mixed-model/linear-mixed-design.ts";
import { effectCount } from "../../../src/statistics/linear-mixed-model/random-columns.ts";

/** The textbook form of the model for small data: all matrices dense, V inverted outright. */
export interface DenseModel {
  readonly z: DenseMatrix;
  readonly x: DenseMatrix;
  /** Var(b). */
  readonly g: DenseMatrix;
  readonly inverseOfV: DenseMatrix;
  readonly fixedEffects: Float64Array;
  readonly fixedCovariance: DenseMatrix;
  readonly effects: Float64Array;
  readonly minusTwoLogLikelihood: number;
  readonly minusTwoRestricted: number;
}

function positive(matrix: DenseMatrix): DenseFactor {
  const factor = denseCholesky(matrix);
  if (!factor.positiveDefinite) throw new Error(`pivot ${factor.failedColumn}`);
  return factor;
}

/** Everything from V = Z G Z' + σ² W⁻¹ at given variances; columns of Z go term by term, level by level. */
export function denseModel(
  input: LinearMixedInput,
  covariances: readonly DenseMatrix[],
  sigmaSquared: number,
): DenseModel {
  const n = input.outcome.length;
  const counts = input.random.map((term) => term.levels * effectCount(term));
  const q = counts.reduce((a, b) => a + b, 0);
  const z = zeroMatrix(n, q);
  const g = zeroMatrix(q, q);
  let offset = 0;
  input.random.forEach((term, t) => {
    const effects = effectCount(term);
    const load = (row: number, level: number, weight: number): void => {
      for (let e = 0; e < effects; e++) {
        const value = term.effects === undefined ? 1 : term.effects[e]![row]!;
        z.values[row * q + offset + level * effects + e]! += weight * value;
      }
    };
    for (let row = 0; row < n; row++) {
      const { membership } = term;
      if (membership instanceof Int32Array) {
        if (membership[row]! >= 0) load(row, membership[row]!, 1);
      } else {
        for (let k = membership.rowStart[row]!; k < membership.rowStart[row + 1]!; k++) {
          load(row, membership.level[k]!, membership.weight[k]!);
        }
      }
    }
    for (let level = 0; level < term.levels; level++) {
      for (let a = 0; a < effects; a++) {
        for (let b = 0; b < effects; b++) {
          g.values[(offset + level * effects + a) * q + offset + level * effects + b] =
            covariances[t]!.values[a * effects + b]!;
        }
      }
    }
    offset += term.levels * effects;
  });
  const x = matrixFromColumns(input.fixed.columns);
  const v = multiply(multiply(z, g), transpose(z));
  for (let i = 0; i < n; i++) v.values[i * n + i]! += sigmaSquared / (input.weights?.[i] ?? 1);
  const factorOfV = positive(v);
  const inverseOfV = inverseDense(factorOfV);
  const information = positive(crossProduct(x, multiply(inverseOfV, x)));
  const fixedCovariance = inverseDense(information);
  const y = input.outcome.map((value, i) => value - (input.offset?.[i] ?? 0));
  const fixedEffects = multiplyVector(
    fixedCovariance,
    multiplyVector(transpose(x), multiplyVector(inverseOfV, y)),
  );
  const fit = multiplyVector(x, fixedEffects);
  const residual = y.map((value, i) => value - fit[i]!);
  const weighted = multiplyVector(inverseOfV, residual);
  const squares = quadraticForm(inverseOfV, residual);
  const p = x.columns;
  const determinant = logDeterminantDense(factorOfV);
  return {
    z,
    x,
    g,
    inverseOfV,
    fixedEffects,
    fixedCovariance,
    effects: multiplyVector(g, multiplyVector(transpose(z), weighted)),
    minusTwoLogLikelihood: n * Math.log(2 * Math.PI) + determinant + squares,
    minusTwoRestricted:
      (n - p) * Math.log(2 * Math.PI) + determinant + squares + logDeterminantDense(information),
  };
}

/** Var(k'(β̂ − β) + m'(b̂ − b)) for every pair of rows of (k, m), from V: Searle, Casella and McCulloch 1992, ch. 7. */
export function denseErrorCovariance(model: DenseModel, k: DenseMatrix, m: DenseMatrix): DenseMatrix {
  const { z, x, g, inverseOfV, fixedCovariance } = model;
  const shrink = multiply(multiply(g, transpose(z)), inverseOfV);
  const onEffects = multiply(shrink, x);
  const effectPart = multiply(multiply(shrink, z), g);
  const remaining = { ...g, values: g.values.map((value, e) => value - effectPart.values[e]!) };
  const through = multiply(m, onEffects);
  const loaded = { ...k, values: k.values.map((value, e) => value - through.values[e]!) };
  const first = multiply(multiply(m, remaining), transpose(m));
  const second = multiply(multiply(loaded, fixedCovariance), transpose(loaded));
  return { ...first, values: first.values.map((value, e) => value + second.values[e]!) };
}
