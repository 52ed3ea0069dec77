import { fUpperTail } from "../distributions/f.ts";
import { tQuantile, tTwoSided } from "../distributions/student-t.ts";
import { denseCholesky, solveLowerDense } from "../linear-algebra/dense-cholesky.ts";
import {
  type DenseMatrix,
  multiply,
  multiplyVector,
  quadraticForm,
  transpose,
} from "../linear-algebra/dense-matrix.ts";
import { symmetricEigen } from "../linear-algebra/symmetric-eigen.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import { type KenwardRoger, kenwardRogerDf } from "./kenward-roger.ts";
import { type Satterthwaite, satterthwaiteDf } from "./satterthwaite.ts";

/** A contrast l'β with its t test and confidence limits. */
export interface ContrastTest {
  readonly estimate: number;
  readonly standardError: number;
  readonly df: number;
  readonly t: number;
  /** Two-sided. */
  readonly p: number;
  readonly lo: number;
  readonly hi: number;
}

/** An F test that several contrasts are all zero. */
export interface JointTest {
  readonly f: number;
  readonly numeratorDf: number;
  readonly denominatorDf: number;
  readonly p: number;
}

/** The t test of one contrast, its standard error that of the approximation. Limits at `level` (default 0.95). */
export function testContrast(
  fit: FittedLinearMixed,
  approximation: Satterthwaite | KenwardRoger,
  contrast: ArrayLike<number>,
  level = 0.95,
): ContrastTest {
  let estimate = 0;
  for (let k = 0; k < contrast.length; k++) estimate += contrast[k]! * fit.fixedEffects[k]!;
  const standardError = Math.sqrt(quadraticForm(covarianceIn(approximation), contrast));
  const df =
    approximation.kind === "satterthwaite"
      ? satterthwaiteDf(approximation, contrast)
      : kenwardRogerDf(approximation, {
          rows: 1,
          columns: contrast.length,
          values: Float64Array.from(contrast),
        }).df;
  const t = estimate / standardError;
  const reach = tQuantile(0.5 + level / 2, df) * standardError;
  return { estimate, standardError, df, t, p: tTwoSided(t, df), lo: estimate - reach, hi: estimate + reach };
}

/** The F test of some linearly independent contrasts, one a row of `contrasts`. */
export function testJointly(
  fit: FittedLinearMixed,
  approximation: Satterthwaite | KenwardRoger,
  contrasts: DenseMatrix,
): JointTest {
  const numeratorDf = contrasts.rows;
  const estimates = multiplyVector(contrasts, fit.fixedEffects);
  const covariance = multiply(multiply(contrasts, covarianceIn(approximation)), transpose(contrasts));
  const factor = denseCholesky(covariance, 1e-12);
  if (!factor.positiveDefinite) throw new RangeError("the contrasts are not linearly independent");
  let f = 0;
  for (const value of solveLowerDense(factor, estimates)) f += (value * value) / numeratorDf;
  let denominatorDf: number;
  if (approximation.kind === "satterthwaite") {
    denominatorDf = jointSatterthwaiteDf(approximation, contrasts, covariance);
  } else {
    const { df, scale } = kenwardRogerDf(approximation, contrasts);
    denominatorDf = df;
    f *= scale;
  }
  return { f, numeratorDf, denominatorDf, p: fUpperTail(f, numeratorDf, denominatorDf) };
}

function covarianceIn(approximation: Satterthwaite | KenwardRoger): DenseMatrix {
  return approximation.kind === "satterthwaite" ? approximation.covariance : approximation.adjustedCovariance;
}

/**
 * The contrasts are turned into uncorrelated ones with ν_k degrees of freedom each; the F statistic then has the mean
 * E = Σ ν_k/(ν_k − 2), hence 2E/(E − q) degrees of freedom (Fai and Cornelius 1996).
 */
function jointSatterthwaiteDf(
  approximation: Satterthwaite,
  contrasts: DenseMatrix,
  covariance: DenseMatrix,
): number {
  const { vectors } = symmetricEigen(covariance);
  const turned = multiply(transpose(vectors), contrasts);
  const each = Array.from({ length: turned.rows }, (_, k) =>
    satterthwaiteDf(approximation, turned.values.subarray(k * turned.columns, (k + 1) * turned.columns)),
  );
  const first = each[0]!;
  if (each.every((df) => Math.abs(df - first) < 1e-8)) return first;
  if (each.some((df) => df <= 2)) return 2;
  const mean = each.reduce((sum, df) => sum + df / (df - 2), 0);
  return (2 * mean) / (mean - each.length);
}
