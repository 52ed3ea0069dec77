import { expect, it } from "vitest";
import { matrixFromRows } from "../../../src/statistics/linear-algebra/dense-matrix.ts";
import { symmetricEigen } from "../../../src/statistics/linear-algebra/symmetric-eigen.ts";

it("finds the eigenvalues 2 − 2 cos(kπ/(n+1)) of the second-difference matrix", () => {
  // Closed form: Golub and Van Loan, Matrix Computations, section 4.8 (from memory).
  const n = 9;
  const a = matrixFromRows(
    Array.from({ length: n }, (_, i) =>
      Array.from({ length: n }, (_, j) => (i === j ? 2 : Math.abs(i - j) === 1 ? -1 : 0)),
    ),
  );
  const { values, vectors } = symmetricEigen(a);
  for (let k = 0; k < n; k++) {
    expect(values[k]).toBeCloseTo(2 - 2 * Math.cos(((k + 1) * Math.PI) / (n + 1)), 12);
    for (let i = 0; i < n; i++) {
      let product = 0;
      for (let j = 0; j < n; j++) product += a.values[i * n + j]! * vectors.values[j * n + k]!;
      expect(product).toBeCloseTo(values[k]! * vectors.values[i * n + k]!, 12);
    }
  }
});
