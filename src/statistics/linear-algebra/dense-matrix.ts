/** A dense matrix; entry (i, j) stands at `values[i * columns + j]`. */
export interface DenseMatrix {
  readonly rows: number;
  readonly columns: number;
  readonly values: Float64Array;
}

/** A matrix of zeros. */
export function zeroMatrix(rows: number, columns: number): DenseMatrix {
  return { rows, columns, values: new Float64Array(rows * columns) };
}

/** The identity matrix of the given order. */
export function identityMatrix(order: number): DenseMatrix {
  const result = zeroMatrix(order, order);
  for (let i = 0; i < order; i++) result.values[i * order + i] = 1;
  return result;
}

/** A matrix from its rows, all of the same length. Throws RangeError when they differ in length. */
export function matrixFromRows(rows: readonly ArrayLike<number>[]): DenseMatrix {
  const columns = rows[0]?.length ?? 0;
  const result = zeroMatrix(rows.length, columns);
  rows.forEach((row, i) => {
    if (row.length !== columns) throw new RangeError(`row ${i} has ${row.length} entries, not ${columns}`);
    for (let j = 0; j < columns; j++) result.values[i * columns + j] = row[j]!;
  });
  return result;
}

/** A matrix from its columns, all of the same length. Throws RangeError when they differ in length. */
export function matrixFromColumns(columns: readonly ArrayLike<number>[]): DenseMatrix {
  return transpose(matrixFromRows(columns));
}

/** A'. */
export function transpose(a: DenseMatrix): DenseMatrix {
  const result = zeroMatrix(a.columns, a.rows);
  for (let i = 0; i < a.rows; i++) {
    for (let j = 0; j < a.columns; j++) result.values[j * a.rows + i] = a.values[i * a.columns + j]!;
  }
  return result;
}

/** A B. Throws RangeError when the inner sizes differ. */
export function multiply(a: DenseMatrix, b: DenseMatrix): DenseMatrix {
  if (a.columns !== b.rows) throw new RangeError(`inner sizes differ: ${a.columns} and ${b.rows}`);
  const result = zeroMatrix(a.rows, b.columns);
  for (let i = 0; i < a.rows; i++) {
    for (let k = 0; k < a.columns; k++) {
      const factor = a.values[i * a.columns + k]!;
      if (factor === 0) continue;
      for (let j = 0; j < b.columns; j++) {
        result.values[i * b.columns + j]! += factor * b.values[k * b.columns + j]!;
      }
    }
  }
  return result;
}

/** A x for a vector x. Throws RangeError when the sizes differ. */
export function multiplyVector(a: DenseMatrix, x: ArrayLike<number>): Float64Array {
  if (a.columns !== x.length) throw new RangeError(`inner sizes differ: ${a.columns} and ${x.length}`);
  const result = new Float64Array(a.rows);
  for (let i = 0; i < a.rows; i++) {
    let sum = 0;
    for (let j = 0; j < a.columns; j++) sum += a.values[i * a.columns + j]! * x[j]!;
    result[i] = sum;
  }
  return result;
}

/** A' diag(weights) B; weights of one where none are given. Throws RangeError when the row counts differ. */
export function crossProduct(a: DenseMatrix, b: DenseMatrix, weights?: ArrayLike<number>): DenseMatrix {
  if (a.rows !== b.rows) throw new RangeError(`row counts differ: ${a.rows} and ${b.rows}`);
  const result = zeroMatrix(a.columns, b.columns);
  for (let k = 0; k < a.rows; k++) {
    const weight = weights === undefined ? 1 : weights[k]!;
    for (let i = 0; i < a.columns; i++) {
      const factor = weight * a.values[k * a.columns + i]!;
      if (factor === 0) continue;
      for (let j = 0; j < b.columns; j++) {
        result.values[i * b.columns + j]! += factor * b.values[k * b.columns + j]!;
      }
    }
  }
  return result;
}

/** x' A y, A square. */
export function quadraticForm(a: DenseMatrix, x: ArrayLike<number>, y: ArrayLike<number> = x): number {
  let sum = 0;
  for (let i = 0; i < a.rows; i++) {
    let row = 0;
    for (let j = 0; j < a.columns; j++) row += a.values[i * a.columns + j]! * y[j]!;
    sum += x[i]! * row;
  }
  return sum;
}
