import { describe, expect, it } from "vitest";
import {
  denseCholesky,
  inverseDense,
  logDeterminantDense,
  solveDense,
  solveLowerDense,
  solveLowerTransposedDense,
} from "../../../src/statistics/linear-algebra/dense-cholesky.ts";
import { matrixFromRows } from "../../../src/statistics/linear-algebra/dense-matrix.ts";

// The Hilbert matrix of order 5; its inverse and determinant 1/266716800000 are printed in Todd, "Computational
// problems concerning the Hilbert matrix", J. Res. NBS 65B (1961) 19-22 (from memory).
const hilbert = matrixFromRows([1, 2, 3, 4, 5].map((i) => [1, 2, 3, 4, 5].map((j) => 1 / (i + j - 1))));
const hilbertInverse = [
  [25, -300, 1050, -1400, 630],
  [-300, 4800, -18900, 26880, -12600],
  [1050, -18900, 79380, -117600, 56700],
  [-1400, 26880, -117600, 179200, -88200],
  [630, -12600, 56700, -88200, 44100],
];

function factorOf(matrix: Parameters<typeof denseCholesky>[0]) {
  const factor = denseCholesky(matrix);
  if (!factor.positiveDefinite) throw new Error(`pivot ${factor.failedColumn}`);
  return factor;
}

describe("dense Cholesky", () => {
  it("inverts the Hilbert matrix of order 5 to its integer inverse", () => {
    const inverse = inverseDense(factorOf(hilbert));
    hilbertInverse.flat().forEach((want, k) => {
      expect(Math.abs(inverse.values[k]! - want)).toBeLessThan(1e-9 * Math.abs(want));
    });
  });

  it("gives its determinant", () => {
    expect(logDeterminantDense(factorOf(hilbert))).toBeCloseTo(-Math.log(266716800000), 9);
  });

  it("solves in halves: L'⁻¹ L⁻¹ b is A⁻¹ b", () => {
    const factor = factorOf(hilbert);
    const b = [1, -2, 3, 0, 5];
    const x = solveLowerTransposedDense(factor, solveLowerDense(factor, b));
    hilbertInverse.forEach((row, i) => {
      const want = row.reduce((sum, entry, j) => sum + entry * b[j]!, 0);
      expect(Math.abs(x[i]! - want)).toBeLessThan(1e-9 * Math.abs(want));
      expect(x[i]).toBe(solveDense(factor, b)[i]);
    });
  });

  it("names the pivot at which an indefinite matrix fails", () => {
    const indefinite = matrixFromRows([
      [4, 2, 0],
      [2, 1, 0],
      [0, 0, 1],
    ]);
    expect(denseCholesky(indefinite)).toEqual({ positiveDefinite: false, failedColumn: 1 });
  });
});
