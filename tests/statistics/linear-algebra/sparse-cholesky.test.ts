import { describe, expect, it } from "vitest";
import {
  denseCholesky,
  inverseDense,
  logDeterminantDense,
} from "../../../src/statistics/linear-algebra/dense-cholesky.ts";
import { zeroMatrix } from "../../../src/statistics/linear-algebra/dense-matrix.ts";
import {
  inverseDiagonal,
  inverseEntry,
  inverseOnPattern,
  selectedInverse,
} from "../../../src/statistics/linear-algebra/selected-inverse.ts";
import {
  factorize,
  logDeterminant,
  pathsToRoot,
  type SparseFactor,
  solve,
  solveLower,
  solveLowerAlong,
  solveLowerTransposed,
} from "../../../src/statistics/linear-algebra/sparse-cholesky.ts";
import {
  type SparseSymmetric,
  sparseEntry,
  sparseFromTriplets,
  sparseMultiply,
} from "../../../src/statistics/linear-algebra/sparse-symmetric.ts";
import {
  forecastFactor,
  symbolicCholesky,
} from "../../../src/statistics/linear-algebra/symbolic-cholesky.ts";
import { randomSparse, uniforms } from "./random-sparse.ts";

function factorOf(matrix: SparseSymmetric, last = 0): SparseFactor {
  const factor = factorize(symbolicCholesky(matrix, { last }), matrix.values);
  if (!factor.positiveDefinite) throw new Error(`row ${factor.failedRow}`);
  return factor;
}

/** The five-point Laplace matrix of an m by m grid, shifted by `shift`. */
function grid(m: number, shift: number): SparseSymmetric {
  const rows: number[] = [];
  const columns: number[] = [];
  const values: number[] = [];
  const add = (i: number, j: number, value: number): void => {
    rows.push(i);
    columns.push(j);
    values.push(value);
  };
  for (let i = 0; i < m; i++) {
    for (let j = 0; j < m; j++) {
      const k = i * m + j;
      add(k, k, 4 + shift);
      if (i + 1 < m) add(k + m, k, -1);
      if (j + 1 < m) add(k, k + 1, -1);
    }
  }
  return sparseFromTriplets(m * m, rows, columns, values);
}

/** Nonzeros of the factor by playing the elimination through on the pattern. */
function eliminate(matrix: SparseSymmetric, pivotOrder: Int32Array): number {
  const n = matrix.order;
  const filled = new Uint8Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      filled[i * n + j] = i === j || sparseEntry(matrix, pivotOrder[i]!, pivotOrder[j]!) !== 0 ? 1 : 0;
    }
  }
  let count = 0;
  for (let k = 0; k < n; k++) {
    const below: number[] = [];
    for (let i = k + 1; i < n; i++) if (filled[i * n + k] === 1) below.push(i);
    count += 1 + below.length;
    for (const i of below) for (const j of below) filled[i * n + j] = 1;
  }
  return count;
}

const cases = Array.from({ length: 60 }, (_, t) => {
  const next = uniforms(t * 7 + 11);
  next();
  next();
  const order = 1 + Math.floor(next() * 90);
  return { order, matrix: randomSparse(order, next() * 3, t + 1000, t % 5 === 0 ? 1 + (t % 3) : 0), next, t };
});

describe("sparse Cholesky", () => {
  it("counts the nonzeros that the elimination makes, for a full permutation of the rows", () => {
    for (const { matrix, order, t } of cases) {
      const forecast = forecastFactor(matrix, { last: t % 3 === 0 ? Math.min(order, 3) : 0 });
      expect(new Set(forecast.pivotOrder).size).toBe(order);
      expect(forecast.nonzeros).toBe(eliminate(matrix, forecast.pivotOrder));
    }
  });

  it("agrees with the dense factor: determinant, solutions, inverse on the pattern", () => {
    for (const { matrix, order, next, t } of cases) {
      const dense = zeroMatrix(order, order);
      for (let i = 0; i < order; i++) {
        for (let j = 0; j < order; j++) dense.values[i * order + j] = sparseEntry(matrix, i, j);
      }
      const reference = denseCholesky(dense);
      if (!reference.positiveDefinite) throw new Error("test matrix");
      const inverse = inverseDense(reference);
      const factor = factorOf(matrix, t % 3 === 0 ? Math.min(order, 3) : 0);
      expect(logDeterminant(factor)).toBeCloseTo(logDeterminantDense(reference), 10);
      const b = Float64Array.from({ length: order }, () => next());
      const back = sparseMultiply(matrix, solve(factor, b));
      b.forEach((value, i) => {
        expect(back[i]).toBeCloseTo(value, 11);
      });
      const selected = selectedInverse(factor);
      const diagonal = inverseDiagonal(selected);
      for (let i = 0; i < order; i++) {
        expect(diagonal[i]).toBeCloseTo(inverse.values[i * order + i]!, 11);
        for (let j = 0; j <= i; j++) {
          const entry = inverseEntry(selected, i, j);
          if (entry !== undefined) expect(entry).toBeCloseTo(inverse.values[i * order + j]!, 11);
          else expect(sparseEntry(matrix, i, j)).toBe(0);
        }
      }
    }
  });

  it("gives the grid's determinant as the product of its known eigenvalues", () => {
    // Eigenvalues 4 − 2 cos(iπ/(m+1)) − 2 cos(jπ/(m+1)): Golub and Van Loan, Matrix Computations, section 4.8.
    const m = 40;
    let want = 0;
    for (let i = 1; i <= m; i++) {
      for (let j = 1; j <= m; j++) {
        want += Math.log(4 - 2 * Math.cos((i * Math.PI) / (m + 1)) - 2 * Math.cos((j * Math.PI) / (m + 1)));
      }
    }
    expect(logDeterminant(factorOf(grid(m, 0)))).toBeCloseTo(want, 9);
  });

  it("keeps the fill of a 60 by 60 grid well under that of the natural order", () => {
    const matrix = grid(60, 0);
    const natural = Int32Array.from({ length: 3600 }, (_, i) => i);
    const ordered = forecastFactor(matrix).nonzeros;
    expect(ordered).toBeLessThan(forecastFactor(matrix, { pivotOrder: natural }).nonzeros / 2.5);
  });

  it("reuses one analysis and one store for new values", () => {
    const matrix = grid(12, 0);
    const symbolic = symbolicCholesky(matrix);
    const first = factorOf(matrix);
    const doubled = factorize(
      symbolic,
      matrix.values.map((v) => 2 * v),
    );
    if (!doubled.positiveDefinite) throw new Error("not positive definite");
    expect(logDeterminant(doubled)).toBeCloseTo(logDeterminant(first) + 144 * Math.log(2), 10);
    const again = factorize(symbolic, matrix.values, doubled);
    if (!again.positiveDefinite) throw new Error("not positive definite");
    expect(again.values).toBe(doubled.values);
    expect(logDeterminant(again)).toBeCloseTo(logDeterminant(first), 12);
  });

  it("splits the determinant over rows held back to the end: |A| = |A₁₁| · |Schur complement|", () => {
    const matrix = randomSparse(40, 2, 5, 1);
    const border = sparseFromTriplets(42, ...withBorder(matrix, 2));
    const factor = factorOf(border, 2);
    const head = logDeterminant(factorOf(matrix));
    expect(logDeterminant(factor) - logDeterminant(factor, 2)).toBeCloseTo(head, 11);
  });

  it("solves in halves, and for a sparse right-hand side along its path alone", () => {
    const matrix = randomSparse(70, 1.5, 9);
    const factor = factorOf(matrix);
    const b = new Float64Array(70);
    b[3] = 2;
    b[41] = -1;
    const half = solveLower(factor, b);
    const work = new Float64Array(70);
    work[factor.symbolic.place[3]!] = 2;
    work[factor.symbolic.place[41]!] = -1;
    solveLowerAlong(factor, pathsToRoot(factor.symbolic, [3, 41]), work);
    const whole = solve(factor, b);
    const joined = solveLowerTransposed(factor, half);
    for (let i = 0; i < 70; i++) {
      expect(work[i]).toBeCloseTo(half[i]!, 14);
      expect(joined[i]).toBe(whole[i]);
    }
  });

  it("hands the inverse back on the matrix's own pattern", () => {
    // Inverse of the second-difference matrix: min(i, j) (n + 1 − max(i, j)) / (n + 1).
    const n = 12;
    const rows = Array.from({ length: n - 1 }, (_, i) => i + 1);
    const diagonal = Array.from({ length: n }, (_, i) => i);
    const matrix = sparseFromTriplets(
      n,
      [...diagonal, ...rows],
      [...diagonal, ...rows.map((i) => i - 1)],
      [...diagonal.map(() => 2), ...rows.map(() => -1)],
    );
    const inverse = inverseOnPattern(selectedInverse(factorOf(matrix)), matrix);
    for (let i = 1; i <= n; i++) {
      expect(sparseEntry(inverse, i - 1, i - 1)).toBeCloseTo((i * (n + 1 - i)) / (n + 1), 12);
      if (i < n) expect(sparseEntry(inverse, i, i - 1)).toBeCloseTo((i * (n - i)) / (n + 1), 12);
    }
  });

  it("names the row at which a matrix that is not positive definite fails", () => {
    const matrix = sparseFromTriplets(3, [0, 1, 2, 1], [0, 1, 2, 0], [1, 1, 1, 2]);
    const natural = Int32Array.from([2, 0, 1]);
    expect(factorize(symbolicCholesky(matrix, { pivotOrder: natural }), matrix.values)).toEqual({
      positiveDefinite: false,
      failedRow: 1,
    });
  });

  it("refuses an entry outside the matrix", () => {
    expect(() => sparseFromTriplets(2, [2], [0], [1])).toThrow(RangeError);
  });
});

/** Triplets of the matrix with dense rows added below it. */
function withBorder(matrix: SparseSymmetric, added: number): [number[], number[], number[]] {
  const rows: number[] = [];
  const columns: number[] = [];
  const values: number[] = [];
  for (let j = 0; j < matrix.order; j++) {
    for (let e = matrix.columnStart[j]!; e < matrix.columnStart[j + 1]!; e++) {
      rows.push(matrix.rowIndex[e]!);
      columns.push(j);
      values.push(matrix.values[e]!);
    }
  }
  for (let k = 0; k < added; k++) {
    for (let j = 0; j <= matrix.order + k; j++) {
      rows.push(matrix.order + k);
      columns.push(j);
      values.push(j === matrix.order + k ? 100 : Math.sin(j + k));
    }
  }
  return [rows, columns, values];
}
