import { describe, expect, it } from "vitest";
import { matrixFromRows } from "../../../src/statistics/linear-algebra/dense-matrix.ts";
import {
  dependentColumns,
  leastSquares,
  orthonormalBasis,
  pivotedQr,
} from "../../../src/statistics/linear-algebra/pivoted-qr.ts";
import { longley } from "../../reference/longley.ts";

describe("pivoted QR", () => {
  for (const pivoting of ["keep-order", "largest-first"] as const) {
    it(`reproduces the certified Longley coefficients (${pivoting})`, () => {
      const design = matrixFromRows(longley.rows.map((row) => [1, ...row.slice(1)]));
      const qr = pivotedQr(design, { pivoting, tolerance: 1e-12 });
      expect(qr.rank).toBe(7);
      const found = leastSquares(
        qr,
        longley.rows.map((row) => row[0]!),
      );
      longley.certifiedCoefficients.forEach((want, j) => {
        expect(Math.abs(found[j]! / want - 1)).toBeLessThan(1e-8);
      });
    });
  }

  it("keeps the earlier of collinear columns and names the later ones", () => {
    const rows = Array.from({ length: 8 }, (_, i) => {
      const x = Math.sin(i);
      return [1, x, 3 - 2 * x, i, x + i];
    });
    const qr = pivotedQr(matrixFromRows(rows));
    expect(qr.rank).toBe(3);
    expect(dependentColumns(qr)).toEqual([2, 4]);
  });

  it("spans the same space with orthonormal columns", () => {
    const design = matrixFromRows(Array.from({ length: 9 }, (_, i) => [1, i, i * i]));
    const basis = orthonormalBasis(pivotedQr(design));
    for (let a = 0; a < 3; a++) {
      for (let b = 0; b < 3; b++) {
        let dot = 0;
        for (let i = 0; i < 9; i++) dot += basis.values[i * 3 + a]! * basis.values[i * 3 + b]!;
        expect(dot).toBeCloseTo(a === b ? 1 : 0, 13);
      }
    }
    for (let j = 0; j < 3; j++) {
      const column = Array.from({ length: 9 }, (_, i) => design.values[i * 3 + j]!);
      const onBasis = [0, 1, 2].map((k) => column.reduce((s, v, i) => s + v * basis.values[i * 3 + k]!, 0));
      column.forEach((value, i) => {
        const back = onBasis.reduce((s, c, k) => s + c * basis.values[i * 3 + k]!, 0);
        expect(back).toBeCloseTo(value, 11);
      });
    }
  });
});
