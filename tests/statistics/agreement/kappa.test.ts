import { describe, expect, test } from "vitest";
import { fleissKappa } from "../../../src/statistics/agreement/fleiss-kappa.ts";
import {
  cohenKappa,
  type Kappa,
  type KappaWeights,
  ratingTable,
} from "../../../src/statistics/agreement/kappa.ts";
import reference from "../../reference/agreement.json" with { type: "json" };

describe("Cohen's kappa against vcd::Kappa and psych::cohen.kappa", () => {
  test.each(["kappa_mspatients_winnipeg", "kappa_sexualfun"] as const)("%s", (id) => {
    const want = reference.cases[id];
    const table = square(want.table.row_major);
    for (const [weights, expected] of [
      ["none", want.unweighted],
      ["linear", want.linear],
      ["quadratic", want.quadratic],
    ] as const) {
      const got = converged(table, weights);
      expect(got.estimate).toBeCloseTo(expected.value, 9);
      expect(got.standardError).toBeCloseTo(expected.ase, 9);
    }
    expect(converged(table).standardError ** 2).toBeCloseTo(want.psych_unweighted.var, 9);
  });

  // psych's variance of weighted kappa is another estimator; the published one follows from the delta method.
  test.each(["none", "linear", "quadratic"] as const)("error by numerical delta method: %s", (weights) => {
    const table = square(reference.cases.kappa_mspatients_winnipeg.table.row_major);
    const n = table.flat().reduce((sum, count) => sum + count, 0);
    let mean = 0;
    let squares = 0;
    table.forEach((row, i) => {
      row.forEach((count, j) => {
        const moved = (shift: number) =>
          table.map((r, a) => r.map((c, b) => (a === i && b === j ? c + shift : c)));
        const slope =
          (converged(moved(1e-4), weights).estimate - converged(moved(-1e-4), weights).estimate) / 2e-4;
        mean += count * slope;
        squares += count * slope * slope;
      });
    });
    expect(converged(table, weights).standardError).toBeCloseTo(Math.sqrt(squares - (mean * mean) / n), 6);
  });

  test("epiR::epi.kappa, 2 × 2 with limits", () => {
    const want = reference.cases.kappa_2x2_epir;
    const got = converged([
      [19, 10],
      [6, 256],
    ]);
    expect(got.estimate).toBeCloseTo(want.kappa.est[0]!, 9);
    expect(got.observedAgreement).toBeCloseTo(want["prop.agree"].obs[0]!, 9);
    expect(got.chanceAgreement).toBeCloseTo(want["prop.agree"].exp[0]!, 9);
  });
});

describe("printed examples", () => {
  // Recomputed.
  test("20, 5; 10, 15", () => {
    const got = converged([
      [20, 5],
      [10, 15],
    ]);
    expect([got.observedAgreement, got.chanceAgreement, got.estimate].map(round)).toEqual([0.7, 0.5, 0.4]);
  });

  // Cohen (1968), Psychol. Bull. 70:213-220, from memory, recomputed.
  test("three diagnoses, 200 patients, disagreement weights 1, 3 and 6", () => {
    const table = [
      [88, 14, 18],
      [10, 40, 10],
      [2, 6, 12],
    ];
    const own = [
      [0, 1, 3],
      [1, 0, 6],
      [3, 6, 0],
    ];
    expect(round(converged(table).estimate)).toBe(0.4915);
    expect(round(converged(table, own).estimate)).toBe(0.3478);
    expect(round(converged(table, "linear").estimate)).toBe(0.4737);
    expect(round(converged(table, "quadratic").estimate)).toBe(0.4545);
  });

  // Agresti, married couples, from memory, recomputed.
  test("couples", () => {
    const table = square([7, 7, 2, 3, 2, 8, 3, 7, 1, 5, 4, 9, 2, 8, 9, 14]);
    const got = (["none", "linear", "quadratic"] as const).map((w) => round(converged(table, w).estimate));
    expect(got).toEqual([0.1293, 0.2374, 0.332]);
  });
});

describe("Cohen's kappa: what may not matter, and what cannot be told", () => {
  const table = [
    [9, 2, 0],
    [3, 7, 1],
    [0, 4, 5],
  ];
  test("swapping the raters, and relabelling categories for plain kappa", () => {
    const swapped = table.map((_, j) => table.map((row) => row[j]!));
    for (const weights of ["none", "linear", "quadratic"] as const) {
      expect(converged(swapped, weights).standardError).toBeCloseTo(
        converged(table, weights).standardError,
        12,
      );
    }
    const order = [2, 0, 1];
    const relabelled = order.map((i) => order.map((j) => table[i]![j]!));
    expect(converged(relabelled).estimate).toBeCloseTo(converged(table).estimate, 12);
    expect(converged(table, "none", 0.9).lo).toBeGreaterThan(converged(table).lo);
  });
  test("perfect agreement is 1 with no error", () => {
    expect(
      converged([
        [5, 0],
        [0, 3],
      ]),
    ).toMatchObject({ estimate: 1, lo: 1, hi: 1 });
  });
  test("counting pairs, nulls left out", () => {
    expect(ratingTable([0, 1, null, 1], [0, 0, 1, null], 2)).toEqual([
      [1, 0],
      [1, 0],
    ]);
    expect(() => ratingTable([2], [0], 2)).toThrow(RangeError);
    expect(() => ratingTable([0], [0, 1], 2)).toThrow(RangeError);
  });
  test("no pairs, one category only, not square", () => {
    expect(
      cohenKappa([
        [0, 0],
        [0, 0],
      ]),
    ).toMatchObject({ verdict: "failed", trouble: "no_rows" });
    expect(
      cohenKappa([
        [8, 0],
        [0, 0],
      ]),
    ).toMatchObject({ verdict: "flat", trouble: "constant_outcome" });
    expect(cohenKappa([[8], [0]])).toMatchObject({ trouble: "invalid_input" });
    expect(
      cohenKappa(
        [
          [1, 0],
          [0, 1],
        ],
        [[0]],
      ),
    ).toMatchObject({ trouble: "invalid_input" });
  });
});

describe("Fleiss's kappa", () => {
  const counts = rows(reference.cases.fleiss_kappa_formula.counts.row_major, 5);

  test("ten subjects, fourteen raters, by formula in R", () => {
    const want = reference.cases.fleiss_kappa_formula;
    const got = fleissKappa(counts);
    if (got.verdict !== "converged") throw new Error(got.detail);
    expect(got.estimate).toBeCloseTo(want.kappa, 10);
    expect(got.standardErrorUnderChance).toBeCloseTo(want.se_null, 10);
    expect(got.z).toBeCloseTo(want.z, 8);
    expect(got.observedAgreement).toBeCloseTo(want.P_bar, 10);
    expect(got.chanceAgreement).toBeCloseTo(want.Pe, 10);
    got.byCategory.forEach((kappa, j) => {
      expect(kappa).toBeCloseTo(want.category_kappa[j]!, 10);
    });
    // The example as widely printed, from memory.
    expect(
      [got.observedAgreement, got.chanceAgreement, got.estimate].map((v) => Number(v.toFixed(4))),
    ).toEqual([0.378, 0.2128, 0.2099]);
  });

  test("order of subjects and categories does not matter", () => {
    const turned = [...counts].reverse().map((row) => [...row].reverse());
    const [one, other] = [fleissKappa(counts), fleissKappa(turned)];
    if (one.verdict !== "converged" || other.verdict !== "converged") throw new Error("no kappa");
    expect(other.estimate).toBeCloseTo(one.estimate, 12);
  });

  test("what cannot be told", () => {
    expect(fleissKappa([])).toMatchObject({ trouble: "no_rows" });
    expect(
      fleissKappa([
        [2, 1],
        [1, 1],
      ]),
    ).toMatchObject({ trouble: "invalid_input" });
    expect(fleissKappa([[1, 0]])).toMatchObject({ trouble: "invalid_input" });
    expect(
      fleissKappa([
        [3, 0],
        [3, 0],
      ]),
    ).toMatchObject({ verdict: "flat", trouble: "constant_outcome" });
  });
});

function converged(table: number[][], weights: KappaWeights = "none", level = 0.95): Kappa {
  const got = cohenKappa(table, weights, level);
  if (got.verdict !== "converged") throw new Error(got.detail);
  return got;
}

function square(rowMajor: readonly number[]): number[][] {
  return rows(rowMajor, Math.sqrt(rowMajor.length));
}

function rows(rowMajor: readonly number[], columns: number): number[][] {
  return Array.from({ length: rowMajor.length / columns }, (_, i) =>
    rowMajor.slice(i * columns, (i + 1) * columns),
  );
}

function round(value: number): number {
  return Number(value.toFixed(4));
}
