import { denseCholesky, solveDense, solveLowerDense } from "./linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, matrixFromColumns, zeroMatrix } from "./linear-algebra/dense-matrix.ts";

/** Regression of estimates on what is known of their units. */
export interface MetaRegression {
  readonly coefficients: Float64Array;
  readonly standardErrors: Float64Array;
  readonly df: number;
  /** Variance between units beyond the estimates' own. */
  readonly betweenVariance: number;
}

/**
 * Regresses estimates with a known covariance matrix on columns (an intercept is a column of ones), weighting by the
 * sum of their own variance and one between units. The latter makes the generalized Q statistic equal its degrees of
 * freedom (Paule & Mandel 1982, J. Res. NBS 87:377-385), zero at least; standard errors grow with Q where even zero is
 * too much (Knapp & Hartung 2003, Stat. Med. 22:2693-2710). undefined without a degree of freedom or where a column is
 * made up of others.
 */
export function metaRegression(
  estimates: ArrayLike<number>,
  covariance: DenseMatrix,
  columns: readonly ArrayLike<number>[],
): MetaRegression | undefined {
  const n = estimates.length;
  const df = n - columns.length;
  if (df < 1) return undefined;
  const fitAt = (betweenVariance: number): WeightedFit | undefined =>
    weightedFit(estimates, covariance, columns, betweenVariance);
  const atZero = fitAt(0);
  if (atZero === undefined) return undefined;
  let fit = atZero;
  let betweenVariance = 0;
  if (atZero.q > df) {
    let low = 0;
    let high = Math.max(1e-12, ...Array.from({ length: n }, (_, i) => covariance.values[i * (n + 1)]!));
    while ((fitAt(high)?.q ?? 0) > df) high *= 4;
    for (let step = 0; step < 80; step++) {
      betweenVariance = (low + high) / 2;
      fit = fitAt(betweenVariance)!;
      if (fit.q > df) low = betweenVariance;
      else high = betweenVariance;
    }
  }
  const grown = Math.max(1, fit.q / df);
  return {
    coefficients: fit.coefficients,
    standardErrors: fit.variances.map((variance) => Math.sqrt(variance * grown)),
    df,
    betweenVariance,
  };
}

interface WeightedFit {
  readonly coefficients: Float64Array;
  readonly variances: Float64Array;
  readonly q: number;
}

function weightedFit(
  estimates: ArrayLike<number>,
  covariance: DenseMatrix,
  columns: readonly ArrayLike<number>[],
  betweenVariance: number,
): WeightedFit | undefined {
  const n = estimates.length;
  const p = columns.length;
  const total = { ...covariance, values: covariance.values.slice() };
  for (let i = 0; i < n; i++) total.values[i * (n + 1)]! += betweenVariance;
  const factor = denseCholesky(total);
  if (!factor.positiveDefinite) return undefined;
  const white = matrixFromColumns([...columns, estimates].map((column) => solveLowerDense(factor, column)));
  const cross = zeroMatrix(p, p);
  const right = new Float64Array(p);
  for (let k = 0; k < n; k++) {
    for (let i = 0; i < p; i++) {
      const a = white.values[k * (p + 1) + i]!;
      right[i]! += a * white.values[k * (p + 1) + p]!;
      for (let j = 0; j < p; j++) cross.values[i * p + j]! += a * white.values[k * (p + 1) + j]!;
    }
  }
  const solved = denseCholesky(cross, 1e-10);
  if (!solved.positiveDefinite) return undefined;
  const coefficients = solveDense(solved, right);
  let q = 0;
  for (let k = 0; k < n; k++) {
    let residual = white.values[k * (p + 1) + p]!;
    for (let i = 0; i < p; i++) residual -= white.values[k * (p + 1) + i]! * coefficients[i]!;
    q += residual * residual;
  }
  const variances = Float64Array.from({ length: p }, (_, i) => {
    const unit = new Float64Array(p);
    unit[i] = 1;
    return solveDense(solved, unit)[i]!;
  });
  return { coefficients, variances, q };
}
