import { denseCholesky, inverseDense } from "../linear-algebra/dense-cholesky.ts";
import {
  crossProduct,
  type DenseMatrix,
  multiply,
  transpose,
  zeroMatrix,
} from "../linear-algebra/dense-matrix.ts";
import { solve } from "../linear-algebra/sparse-cholesky.ts";
import { sparseEntry, sparseMultiply } from "../linear-algebra/sparse-symmetric.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import { fixedEffectSolutions } from "./fixed-effect-solutions.ts";
import { applyFactors, applyFactorsTransposed, factorsOf } from "./relative-covariance.ts";
import type { NoApproximation } from "./satterthwaite.ts";

/** What Kenward-Roger tests of the fixed effects are computed from. */
export interface KenwardRoger {
  readonly kind: "kenward-roger";
  /** The fixed effects' covariance matrix, and the one adjusted for the variances having been estimated. */
  readonly covariance: DenseMatrix;
  readonly adjustedCovariance: DenseMatrix;
  /** Inverse of the expected information of the variance parameters: each block's (co)variances, then σ². */
  readonly parameterCovariance: DenseMatrix;
  /** Derivatives of `covariance` by each of them. */
  readonly derivatives: readonly DenseMatrix[];
}

/** Most random effects for which the method's dense matrix of cross-products is formed. */
const MOST_EFFECTS = 3000;

/**
 * Kenward and Roger's small-sample adjustment for a REML fit (Kenward and Roger 1997, Biometrics 53, 983-997; form
 * for covariances linear in their parameters, Halekoh and Højsgaard 2014, J. Stat. Softw. 59:9). With F = Z'V⁻¹XΦ
 * and H = Z'PZ the adjustment is 2 Σ W_ij F'E_i H E_j F, E_i the pattern of parameter i on the random effects.
 */
export function kenwardRoger(fit: FittedLinearMixed): KenwardRoger | NoApproximation {
  const { design, sigmaSquared } = fit;
  if (design.randomCount > MOST_EFFECTS) return { kind: "unavailable", reason: "too_many_effects" };
  const parameters = covarianceParameters(fit);
  const projected = projectedCrossProducts(fit);
  const scores = fixedScores(fit);
  const images = parameters.map((parameter) => patternTimes(fit, parameter, scores));
  const count = parameters.length + 1;
  const information = expectedInformation(fit, parameters, projected);
  const factor = denseCholesky(information);
  if (!factor.positiveDefinite) return { kind: "unavailable", reason: "flat" };
  const weights = inverseDense(factor);
  const p = design.fixedCount;
  // Σ_k ψ_k V_k + σ² V_0 = V lets everything about V_0 follow from the other parameters.
  const through = parameters.map((_, i) => {
    const onto = multiply(projected, images[i]!);
    return images.map((image) => crossProduct(image, onto));
  });
  const derivatives: DenseMatrix[] = images.map((image) => crossProduct(scores, image));
  const residualDerivative = copyOf(fit.fixedCovariance);
  parameters.forEach(({ value }, k) => {
    addTo(residualDerivative, derivatives[k]!, -value);
  });
  scaleBy(residualDerivative, 1 / sigmaSquared);
  derivatives.push(residualDerivative);
  const pair = (i: number, j: number): DenseMatrix => {
    if (i < parameters.length && j < parameters.length) return through[i]![j]!;
    const sum = zeroMatrix(p, p);
    parameters.forEach(({ value }, k) => {
      addTo(sum, i < parameters.length ? through[i]![k]! : pair(k, j), -value / sigmaSquared);
    });
    return sum;
  };
  const adjustment = zeroMatrix(p, p);
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < count; j++) addTo(adjustment, pair(i, j), 2 * weights.values[i * count + j]!);
  }
  const adjustedCovariance = copyOf(fit.fixedCovariance);
  for (let i = 0; i < p; i++) {
    for (let j = 0; j < p; j++) {
      adjustedCovariance.values[i * p + j]! +=
        0.5 * (adjustment.values[i * p + j]! + adjustment.values[j * p + i]!);
    }
  }
  return {
    kind: "kenward-roger",
    covariance: fit.fixedCovariance,
    adjustedCovariance,
    parameterCovariance: weights,
    derivatives,
  };
}

/** Denominator degrees of freedom of the F statistic of some contrasts (rows), and the factor to scale it by. */
export function kenwardRogerDf(
  approximation: KenwardRoger,
  contrasts: DenseMatrix,
): { readonly df: number; readonly scale: number } {
  const { covariance, derivatives, parameterCovariance } = approximation;
  const q = contrasts.rows;
  const transposed = transpose(contrasts);
  const middle = denseCholesky(multiply(multiply(contrasts, covariance), transposed));
  if (!middle.positiveDefinite) throw new RangeError("the contrasts are not linearly independent");
  const theta = multiply(multiply(transposed, inverseDense(middle)), contrasts);
  const products = derivatives.map((derivative) => multiply(theta, derivative));
  const traces = products.map(traceOf);
  let a1 = 0;
  let a2 = 0;
  products.forEach((left, i) => {
    products.forEach((right, j) => {
      const weight = parameterCovariance.values[i * products.length + j]!;
      a1 += weight * traces[i]! * traces[j]!;
      a2 += weight * traceOf(multiply(left, right));
    });
  });
  const b = (a1 + 6 * a2) / (2 * q);
  const g = ((q + 1) * a1 - (q + 4) * a2) / ((q + 2) * a2);
  const below = 3 * q + 2 * (1 - g);
  const c1 = g / below;
  const c2 = (q - g) / below;
  const c3 = (q + 2 - g) / below;
  const mean = 1 / (1 - a2 / q);
  const v0 = Math.abs(1 + c1 * b) < 1e-10 ? 0 : 1 + c1 * b;
  const ratio = nearZeroOver(1 - a2 / q, 1 - c2 * b);
  const rho = (ratio * ratio * v0) / (q * (1 - c3 * b));
  const df = 4 + (q + 2) / (q * rho - 1);
  return { df, scale: Math.abs(df - 2) < 1e-2 ? 1 : df / (mean * (df - 2)) };
}

/** One entry of a block's covariance matrix: its pattern is e_a e_b' + e_b e_a' (or e_a e_a') on every level. */
interface CovarianceParameter {
  readonly block: number;
  readonly a: number;
  readonly b: number;
  readonly value: number;
}

function covarianceParameters(fit: FittedLinearMixed): CovarianceParameter[] {
  const factors = factorsOf(fit.design.blocks, fit.solution.theta);
  return fit.design.blocks.flatMap(({ size }, block) => {
    const parameters: CovarianceParameter[] = [];
    for (let b = 0; b < size; b++) {
      for (let a = b; a < size; a++) {
        let sum = 0;
        for (let k = 0; k <= b; k++) sum += factors[block]![a * size + k]! * factors[block]![b * size + k]!;
        parameters.push({ block, a, b, value: fit.sigmaSquared * sum });
      }
    }
    return parameters;
  });
}

/** Z' P Z, dense. */
function projectedCrossProducts(fit: FittedLinearMixed): DenseMatrix {
  const { design, solution, sigmaSquared } = fit;
  const { randomCount: q, fixedCount: p, blocks, cross } = design;
  const factors = factorsOf(blocks, solution.theta);
  const result = zeroMatrix(q, q);
  const unit = new Float64Array(q + p);
  for (let j = 0; j < q; j++) {
    unit[j] = 1;
    const column = sparseMultiply(cross, unit);
    unit[j] = 0;
    const answer = solve(solution.factor, applyFactorsTransposed(blocks, factors, column));
    const explained = sparseMultiply(cross, applyFactors(blocks, factors, answer));
    for (let i = j; i < q; i++) {
      const value = (sparseEntry(cross, i, j) - explained[i]!) / sigmaSquared;
      result.values[i * q + j] = value;
      result.values[j * q + i] = value;
    }
  }
  return result;
}

/** F = Z' V⁻¹ X Φ, one column a fixed effect. */
function fixedScores(fit: FittedLinearMixed): DenseMatrix {
  const { randomCount: q, fixedCount: p } = fit.design;
  const result = zeroMatrix(q, p);
  fixedEffectSolutions(fit.design, fit.solution).forEach(({ score }, k) => {
    for (let i = 0; i < q; i++) result.values[i * p + k] = score[i]!;
  });
  return result;
}

/** E_i M for the pattern of one parameter. */
function patternTimes(fit: FittedLinearMixed, parameter: CovarianceParameter, m: DenseMatrix): DenseMatrix {
  const { offset, size, levels } = fit.design.blocks[parameter.block]!;
  const result = zeroMatrix(m.rows, m.columns);
  for (let level = 0; level < levels; level++) {
    const rowA = (offset + level * size + parameter.a) * m.columns;
    const rowB = (offset + level * size + parameter.b) * m.columns;
    for (let c = 0; c < m.columns; c++) {
      result.values[rowA + c] = m.values[rowB + c]!;
      if (rowA !== rowB) result.values[rowB + c] = m.values[rowA + c]!;
    }
  }
  return result;
}

/** ½ tr(P V_i P V_j) over the parameters and σ². */
function expectedInformation(
  fit: FittedLinearMixed,
  parameters: readonly CovarianceParameter[],
  projected: DenseMatrix,
): DenseMatrix {
  const { sigmaSquared, design } = fit;
  const count = parameters.length + 1;
  const last = count - 1;
  const traces = zeroMatrix(count, count);
  const single = parameters.map((parameter) => singleTrace(fit, parameter, projected));
  parameters.forEach((left, i) => {
    for (let j = 0; j <= i; j++) {
      const value = pairTrace(fit, left, parameters[j]!, projected);
      traces.values[i * count + j] = value;
      traces.values[j * count + i] = value;
    }
  });
  let corner = design.rows - design.fixedCount;
  parameters.forEach(({ value }, i) => {
    let sum = single[i]!;
    corner -= 2 * value * single[i]!;
    parameters.forEach((other, j) => {
      sum -= other.value * traces.values[i * count + j]!;
      corner += value * other.value * traces.values[i * count + j]!;
    });
    traces.values[i * count + last] = sum / sigmaSquared;
    traces.values[last * count + i] = sum / sigmaSquared;
  });
  traces.values[count * count - 1] = corner / sigmaSquared ** 2;
  return { ...traces, values: traces.values.map((v) => 0.5 * v) };
}

/** tr(H E_i). */
function singleTrace(fit: FittedLinearMixed, parameter: CovarianceParameter, projected: DenseMatrix): number {
  const { offset, size, levels } = fit.design.blocks[parameter.block]!;
  let sum = 0;
  for (let level = 0; level < levels; level++) {
    const at = offset + level * size;
    sum += projected.values[(at + parameter.a) * projected.columns + at + parameter.b]!;
  }
  return parameter.a === parameter.b ? sum : 2 * sum;
}

/** tr(H E_i H E_j). */
function pairTrace(
  fit: FittedLinearMixed,
  left: CovarianceParameter,
  right: CovarianceParameter,
  projected: DenseMatrix,
): number {
  const first = fit.design.blocks[left.block]!;
  const second = fit.design.blocks[right.block]!;
  const q = projected.columns;
  const h = projected.values;
  let sum = 0;
  for (let l = 0; l < first.levels; l++) {
    const atA = (first.offset + l * first.size + left.a) * q;
    const atB = (first.offset + l * first.size + left.b) * q;
    for (let m = 0; m < second.levels; m++) {
      const c = second.offset + m * second.size + right.a;
      const d = second.offset + m * second.size + right.b;
      const straight = h[atB + c]! * h[atA + d]!;
      const crossed = h[atA + c]! * h[atB + d]!;
      const leftSame = left.a === left.b;
      const rightSame = right.a === right.b;
      if (leftSame && rightSame) sum += straight;
      else if (leftSame || rightSame) sum += straight + crossed;
      else sum += 2 * (straight + crossed);
    }
  }
  return sum;
}

function copyOf(matrix: DenseMatrix): DenseMatrix {
  return { ...matrix, values: matrix.values.slice() };
}

function addTo(target: DenseMatrix, source: DenseMatrix, factor: number): void {
  for (let e = 0; e < target.values.length; e++) target.values[e]! += factor * source.values[e]!;
}

function scaleBy(target: DenseMatrix, factor: number): void {
  for (let e = 0; e < target.values.length; e++) target.values[e]! *= factor;
}

function traceOf(matrix: DenseMatrix): number {
  let sum = 0;
  for (let i = 0; i < matrix.rows; i++) sum += matrix.values[i * matrix.columns + i]!;
  return sum;
}

function nearZeroOver(above: number, below: number): number {
  return Math.abs(above) < 1e-14 && Math.abs(below) < 1e-14 ? 1 : above / below;
}
