import { describe, expect, test } from "vitest";
import { binomialTest } from "../../../src/statistics/proportions/binomial-test.ts";
import { fisherExact } from "../../../src/statistics/proportions/fisher-exact.ts";
import {
  hybridDifference,
  newcombeDifference,
} from "../../../src/statistics/proportions/newcombe-difference.ts";
import reference from "../../reference/proportions.json" with { type: "json" };

describe("Newcombe's difference", () => {
  test("R limits of the single proportions combined, and epiR", () => {
    const table = reference.cases.newcombe_difference;
    table.a.forEach((a, i) => {
      const got = newcombeDifference(a, table.n1[i]!, table.b[i]!, table.n2[i]!)!;
      expect(got.estimate).toBeCloseTo(table.diff[i]!, 12);
      expect(got.lo).toBeCloseTo(table.lower[i]!, 9);
      expect(got.hi).toBeCloseTo(table.upper[i]!, 9);
      expect(got.lo).toBeCloseTo(table.epiR_lower[i]!, 9);
      expect(got.hi).toBeCloseTo(table.epiR_upper[i]!, 9);
    });
  });

  // Newcombe (1998) Stat. Med. 17:873-890, Table II, from memory, recomputed.
  test.each([
    [56, 70, 48, 80, 0.2, 0.0524, 0.3339],
    [9, 10, 3, 10, 0.6, 0.1705, 0.809],
    [6, 7, 2, 7, 0.5714, 0.0582, 0.8062],
    [5, 56, 0, 29, 0.0893, -0.0381, 0.1926],
    [0, 10, 0, 20, 0, -0.1611, 0.2775],
    [0, 10, 0, 10, 0, -0.2775, 0.2775],
    [10, 10, 0, 20, 1, 0.6791, 1],
    [10, 10, 0, 10, 1, 0.6075, 1],
  ])("printed example %i/%i − %i/%i", (x1, n1, x2, n2, ...printed) => {
    const { estimate, lo, hi } = newcombeDifference(x1, n1, x2, n2)!;
    expect([estimate, lo, hi].map((v) => Math.round(v * 1e4) / 1e4)).toEqual(printed);
  });

  test("swapping the groups turns the sign", () => {
    const one = newcombeDifference(7, 20, 3, 31)!;
    const other = newcombeDifference(3, 31, 7, 20)!;
    expect(one.lo).toBeCloseTo(-other.hi, 14);
    expect(one.hi).toBeCloseTo(-other.lo, 14);
    expect(newcombeDifference(0, 0, 3, 31)).toBeUndefined();
    expect(newcombeDifference(3, 31, 0, 0)).toBeUndefined();
  });

  // by hand: Zou & Donner (2008), lo = d − √(a² + b² − 2rab) with the limits' distances a = 2, b = 2 below, 3 and 1 above
  test("of two estimates that go together", () => {
    const [first, second] = [
      { estimate: 10, lo: 8, hi: 13 },
      { estimate: 4, lo: 3, hi: 6 },
    ];
    const together = hybridDifference(first, second, 0.5);
    expect(together.estimate).toBe(6);
    expect(together.lo).toBeCloseTo(6 - 2, 12);
    expect(together.hi).toBeCloseTo(6 + Math.sqrt(7), 12);
    expect(hybridDifference(first, second).lo).toBeCloseTo(6 - Math.sqrt(8), 12);
    expect(hybridDifference(first, second, 1).lo).toBe(6);
  });
});

describe("binomial test", () => {
  test("R binom.test", () => {
    const table = reference.cases.binom_test_p;
    table.x.forEach((x, i) => {
      const want = table.p_value[i]!;
      expect(Math.abs(binomialTest(x, table.n[i]!, table.p[i]!)! - want)).toBeLessThanOrEqual(
        1e-9 * want + 1e-12,
      );
    });
  });
  test("sure things and nothing", () => {
    expect(binomialTest(0, 5, 0)).toBe(1);
    expect(binomialTest(1, 5, 0)).toBe(0);
    expect(binomialTest(5, 5, 1)).toBe(1);
    expect(binomialTest(4, 5, 1)).toBe(0);
    expect(binomialTest(2, 4, 0.5)).toBe(1);
    expect(binomialTest(0, 0, 0.3)).toBeUndefined();
    expect(() => binomialTest(6, 5, 0.5)).toThrow(RangeError);
  });
});

describe("Fisher's exact test", () => {
  // fisher.test searches the odds ratio and its limits, or their inverses above one, to an absolute 1.2e-4.
  test.each(reference.cases.prop_test_two_sample)("R fisher.test: $a/$n1 against $b/$n2", (row) => {
    const got = fisherExact(row.a, row.n1 - row.a, row.b, row.n2 - row.b)!;
    expect(got.p).toBeCloseTo(row.fisher_p, 9);
    expect(got.pLess).toBeCloseTo(row.fisher_p_less, 9);
    expect(got.pGreater).toBeCloseTo(row.fisher_p_greater, 9);
    if (row.a + row.b === 0) {
      expect(got.oddsRatio).toBeUndefined();
      return;
    }
    near(got.oddsRatio!.estimate, row.fisher_cmle_or);
    near(got.oddsRatio!.lo, row.fisher_ci[0]!);
    near(got.oddsRatio!.hi, row.fisher_ci[1]!);
  });

  test("the lady tasting tea: one-sided p 17/70 (Fisher 1935)", () => {
    const got = fisherExact(3, 1, 1, 3)!;
    expect(got.pGreater).toBeCloseTo(17 / 70, 12);
    near(got.oddsRatio!.estimate, 6.408308867005788); // R 4.2.2 fisher.test
  });

  test("the limits leave exactly the tail outside, the estimate has the seen count as its mean", () => {
    const [a, b, c, d] = [8, 3, 2, 10];
    const { estimate, lo, hi } = fisherExact(a, b, c, d)!.oddsRatio!;
    const choose = (n: number, k: number): number => (k === 0 ? 1 : (choose(n - 1, k - 1) * n) / k);
    const law = (odds: number) => {
      const weights = Array.from({ length: 11 }, (_, k) => choose(11, k) * choose(12, 10 - k) * odds ** k);
      const total = weights.reduce((sum, w) => sum + w, 0);
      return weights.map((w) => w / total);
    };
    const tail = (odds: number, from: number, to: number) =>
      law(odds)
        .slice(from, to + 1)
        .reduce((sum, p) => sum + p, 0);
    expect(tail(hi, 0, a)).toBeCloseTo(0.025, 10);
    expect(tail(lo, a, 10)).toBeCloseTo(0.025, 10);
    expect(law(estimate).reduce((mean, p, k) => mean + k * p, 0)).toBeCloseTo(a, 9);
  });

  test("transposing changes nothing, swapping rows inverts the ratio", () => {
    const one = fisherExact(8, 3, 2, 10)!;
    const transposed = fisherExact(8, 2, 3, 10)!;
    const swapped = fisherExact(2, 10, 8, 3)!;
    expect(transposed.p).toBeCloseTo(one.p, 12);
    expect(transposed.oddsRatio!.lo).toBeCloseTo(one.oddsRatio!.lo, 9);
    expect(swapped.pLess).toBeCloseTo(one.pGreater, 12);
    expect(1 / swapped.oddsRatio!.hi).toBeCloseTo(one.oddsRatio!.lo, 9);
    expect(fisherExact(0, 0, 0, 0)).toBeUndefined();
    expect(() => fisherExact(1.5, 0, 0, 0)).toThrow(RangeError);
  });
});

function near(got: number, want: number | string) {
  if (want === "Inf") expect(got).toBe(Infinity);
  else if (Number(want) > 1) expect(Math.abs(1 / got - 1 / Number(want))).toBeLessThanOrEqual(1.3e-4);
  else expect(Math.abs(got - Number(want))).toBeLessThanOrEqual(1.3e-4);
}
