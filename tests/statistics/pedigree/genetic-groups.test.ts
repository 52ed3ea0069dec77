import { describe, expect, it } from "vitest";
import {
  denseCholesky,
  inverseDense,
  logDeterminantDense,
} from "../../../src/statistics/linear-algebra/dense-cholesky.ts";
import {
  type DenseMatrix,
  multiply,
  transpose,
  zeroMatrix,
} from "../../../src/statistics/linear-algebra/dense-matrix.ts";
import {
  breedingCombinations,
  linesAgainstOthers,
} from "../../../src/statistics/pedigree/breeding-combinations.ts";
import { breedingValues, solvedAt } from "../../../src/statistics/pedigree/breeding-values.ts";
import { groupParts } from "../../../src/statistics/pedigree/group-parts.ts";
import { inbreeding } from "../../../src/statistics/pedigree/inbreeding.ts";
import { relationshipMatrix } from "../../../src/statistics/pedigree/relationship.ts";
import { restrictedLogLikelihood } from "../../../src/statistics/pedigree/restricted-likelihood.ts";
import { indexDesign, type SparseDesign } from "../../../src/statistics/pedigree/sparse-design.ts";
import { groupShares, linesAsGroups } from "../../../src/statistics/pedigree/unknown-parent-groups.ts";
import { checkedPedigree, largestDifference, referencePedigree } from "./reference-flocks.ts";
import { fitOf, modelOf, sim160Input, sim300Input } from "./reference-models.ts";

function written(design: SparseDesign): DenseMatrix {
  const full = zeroMatrix(design.rows, design.columns);
  for (let r = 0; r < design.rows; r++) {
    for (let e = design.rowStart[r]; e < design.rowStart[r + 1]; e++) {
      full.values[r * design.columns + design.column[e]] += design.value[e];
    }
  }
  return full;
}

const inverse = (a: DenseMatrix): DenseMatrix => {
  const factor = denseCholesky(a);
  if (!factor.positiveDefinite) throw new Error("not positive definite");
  return inverseDense(factor);
};

const logDeterminant = (a: DenseMatrix): number => {
  const factor = denseCholesky(a);
  if (!factor.positiveDefinite) throw new Error("not positive definite");
  return logDeterminantDense(factor);
};

const plus = (a: DenseMatrix, b: DenseMatrix, factor: number): DenseMatrix => ({
  ...a,
  values: a.values.map((x, i) => x + factor * b.values[i]),
});

describe("groupShares", () => {
  it("halves with each known parent and takes unknown parents from their group", () => {
    // 0 and 1 founders of lines 0 and 1; 2 their kid; 3 a kid of 2 with an unknown dam of line 1.
    const flock = checkedPedigree([-1, -1, 0, 2], [-1, -1, 1, -1]);
    const shares = written(groupShares(flock, linesAsGroups([0, 1, 0, 1], 2)));
    expect([...shares.values]).toEqual([1, 0, 0, 1, 0.5, 0.5, 0.25, 0.75]);
  });

  it("adds to 1 for every animal when every unknown parent has a group", () => {
    const flock = referencePedigree("sim300");
    const shares = written(
      groupShares(
        flock,
        linesAsGroups(
          Array.from({ length: 300 }, (_, i) => i % 4),
          4,
        ),
      ),
    );
    for (let i = 0; i < 300; i++) {
      const total = shares.values.subarray(4 * i, 4 * i + 4).reduce((sum, x) => sum + x, 0);
      expect(total).toBeCloseTo(1, 12);
    }
  });
});

describe("random genetic groups", () => {
  const lines = 5;
  const input = {
    ...sim300Input(),
    groups: linesAsGroups(
      Array.from({ length: 300 }, (_, i) => (i * i) % lines),
      lines,
    ),
  };
  const variances = Float64Array.of(4, 2, 1, 8);

  it("give the values, errors and likelihood of the covariance A va + Q Q' vg, formed in full", () => {
    const model = modelOf(input);
    const { equations } = model;
    const { y } = model.gaussian;
    const records = y.length;
    const shares = written(groupShares(input.pedigree, input.groups));
    const genetic: DenseMatrix = plus(
      {
        ...zeroMatrix(300, 300),
        values: relationshipMatrix(input.pedigree, inbreeding(input.pedigree)).map((a) => 4 * a),
      },
      multiply(shares, transpose(shares)),
      2,
    );
    const z = written(input.animal);
    const herd = written(input.others?.[0].design as SparseDesign);
    let v = multiply(multiply(z, genetic), transpose(z));
    v = plus(v, multiply(herd, transpose(herd)), 1);
    for (let r = 0; r < records; r++) v.values[r * records + r] += 8;
    const x: DenseMatrix = {
      rows: records,
      columns: 2,
      values: Float64Array.from({ length: 2 * records }, (_, k) => input.fixed[k % 2][k >> 1]),
    };
    const vInverse = inverse(v);
    const vx = multiply(vInverse, x);
    const xvx = multiply(transpose(x), vx);
    const p = plus(vInverse, multiply(multiply(vx, inverse(xvx)), transpose(vx)), -1);
    const py = multiply(p, { rows: records, columns: 1, values: y });
    const covariance = multiply(genetic, transpose(z));
    const value = multiply(covariance, py).values;
    const explained = multiply(multiply(covariance, p), transpose(covariance));
    const got = breedingValues(model, variances);
    expect(largestDifference(got.value, value)).toBeLessThan(1e-9);
    const error = got.value.map((_, i) => genetic.values[301 * i] - explained.values[301 * i]);
    expect(largestDifference(got.errorVariance, error)).toBeLessThan(1e-9);
    const sums = linesAgainstOthers([[5, 9, 40], [200, 201], [77]]);
    const combined = breedingCombinations(model, variances, sums);
    sums.forEach((a, j) => {
      sums.forEach((b, k) => {
        let want = 0;
        for (let s = 0; s < a.animals.length; s++) {
          for (let t = 0; t < b.animals.length; t++) {
            const at = a.animals[s] * 300 + b.animals[t];
            want += a.weights[s] * b.weights[t] * (genetic.values[at] - explained.values[at]);
          }
        }
        expect(combined.covariance.values[3 * j + k]).toBeCloseTo(want, 9);
      });
    });
    const { solution, residual } = solvedAt(model, variances);
    const parts = groupParts(model, solution, residual);
    if (parts === null) throw new Error("no groups");
    const groupCovariance = multiply(transpose(shares), transpose(z));
    const expected = multiply(groupCovariance, py).values.map((x) => 2 * x);
    expect(largestDifference(parts.groups, expected)).toBeLessThan(1e-9);
    const known = multiply(multiply(groupCovariance, p), transpose(groupCovariance));
    const left = known.values.map((x, e) => (e % (lines + 1) === 0 ? 2 : 0) - 4 * x);
    expect(largestDifference(parts.covariance.values, left)).toBeLessThan(1e-9);
    const together = parts.groupPart.map((part, i) => part + parts.withinPart[i]);
    expect(largestDifference(together, got.value)).toBeLessThan(1e-12);
    let form = 0;
    for (let r = 0; r < records; r++) form += y[r] * py.values[r];
    const dense =
      -0.5 * ((records - 2) * Math.log(2 * Math.PI) + logDeterminant(v) + logDeterminant(xvx) + form);
    expect(restrictedLogLikelihood(model.gaussian, solution, residual)).toBeCloseTo(dense, 8);
    expect(equations.terms.map((t) => t.name)).toEqual(["animal", "group", "herd"]);
  });

  it("with fewer than four lines have a quarter of the additive variance", () => {
    const three = {
      ...input,
      groups: linesAsGroups(
        Array.from({ length: 300 }, (_, i) => i % 3),
        3,
      ),
    };
    const { variances: fitted } = fitOf(modelOf(three));
    expect(fitted[0]).toBeGreaterThan(0);
    expect(fitted[1]).toBeCloseTo(fitted[0] / 4, 12);
  });

  it("with one line are left out: it is the mean", () => {
    const one = { ...sim160Input(), groups: linesAsGroups(new Array(160).fill(0), 1) };
    expect(modelOf(one).names).toEqual(["animal", "herd", "permanent", "residual"]);
  });

  it("do nothing to a slope-only record but load by its days", () => {
    const days = Array.from(input.y, (_, r) => 0.5 + (r % 5));
    const { column } = input.animal;
    const slope = modelOf({ ...input, animal: indexDesign(column, 300, days) });
    const at = 17;
    const { rowStart, column: effects, value } = slope.equations.design;
    const loads = new Map<number, number>();
    for (let e = rowStart[at]; e < rowStart[at + 1]; e++) loads.set(effects[e], value[e]);
    expect(loads.get(column[at])).toBe(days[at]);
    let groupLoad = 0;
    for (let g = 0; g < lines; g++) groupLoad += loads.get(300 + g) ?? 0;
    expect(groupLoad).toBeCloseTo(days[at], 12);
  });
});
