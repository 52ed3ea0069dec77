import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";

/** A regression worked out from cross-products alone. */
export interface GramRegression {
  /** Columns in the fit, by their place in the cross-products, in the order asked; those in the span of earlier ones are left out. */
  readonly columns: readonly number[];
  readonly estimates: Float64Array;
  /** Inverse of the columns' cross-products: their covariance where the covariance behind them is right. */
  readonly covariance: DenseMatrix;
  /** What the columns leave of the outcome's own cross-product. */
  readonly residual: number;
  /** log |X' V⁻¹ X|. */
  readonly logDeterminant: number;
}

/** Share of a column's own cross-product that must be left for it to count as independent. */
const TOLERANCE = 1e-9;

/** Regresses column `outcome` on the columns asked for. */
export function regressFromGram(
  gram: DenseMatrix,
  outcome: number,
  asked: readonly number[],
): GramRegression {
  const size = gram.columns;
  const lower: Float64Array[] = [];
  const columns: number[] = [];
  let logDeterminant = 0;
  for (const column of asked) {
    const row = new Float64Array(columns.length + 1);
    const own = gram.values[column * size + column]!;
    let left = own;
    columns.forEach((earlier, k) => {
      let sum = gram.values[column * size + earlier]!;
      for (let m = 0; m < k; m++) sum -= row[m]! * lower[k]![m]!;
      row[k] = sum / lower[k]![k]!;
      left -= row[k]! ** 2;
    });
    if (!(left > TOLERANCE * own)) continue;
    row[columns.length] = Math.sqrt(left);
    logDeterminant += Math.log(left);
    lower.push(row);
    columns.push(column);
  }
  const p = columns.length;
  const inverse = inverseLower(lower);
  const half = new Float64Array(p);
  let residual = gram.values[outcome * size + outcome]!;
  for (let k = 0; k < p; k++) {
    for (let m = 0; m <= k; m++) half[k]! += inverse[k]![m]! * gram.values[columns[m]! * size + outcome]!;
    residual -= half[k]! ** 2;
  }
  const estimates = new Float64Array(p);
  const covariance = zeroMatrix(p, p);
  for (let i = 0; i < p; i++) {
    for (let k = i; k < p; k++) estimates[i]! += inverse[k]![i]! * half[k]!;
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = i; k < p; k++) sum += inverse[k]![i]! * inverse[k]![j]!;
      covariance.values[i * p + j] = sum;
      covariance.values[j * p + i] = sum;
    }
  }
  return { columns, estimates, covariance, residual, logDeterminant };
}

function inverseLower(lower: readonly Float64Array[]): Float64Array[] {
  const p = lower.length;
  const inverse = lower.map((row) => new Float64Array(row.length));
  for (let j = 0; j < p; j++) {
    inverse[j]![j] = 1 / lower[j]![j]!;
    for (let i = j + 1; i < p; i++) {
      let sum = 0;
      for (let k = j; k < i; k++) sum -= lower[i]![k]! * inverse[k]![j]!;
      inverse[i]![j] = sum / lower[i]![i]!;
    }
  }
  return inverse;
}
