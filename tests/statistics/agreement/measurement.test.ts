import { describe, expect, test } from "vitest";
import { blandAltman } from "../../../src/statistics/agreement/bland-altman.ts";
import { linConcordance } from "../../../src/statistics/agreement/concordance.ts";
import {
  type IccForm,
  intraclassCorrelation,
} from "../../../src/statistics/agreement/intraclass-correlation.ts";
import { technicalError } from "../../../src/statistics/agreement/technical-error.ts";
import reference from "../../reference/agreement.json" with { type: "json" };

// Bland & Altman (1986), Lancet i:307-310: peak expiratory flow of 17 people; data and figures from memory, recomputed.
const wright = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427];
const wrightAgain = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421];
const mini = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451];

describe("limits of agreement", () => {
  test("large meter against small meter, two standard deviations as in the paper", () => {
    const got = blandAltman(wright, mini, 0.95, 2)!;
    expect(got.bias.estimate).toBeCloseTo(-2.118, 3);
    expect(got.sd).toBeCloseTo(38.765, 3);
    expect(got.lower.estimate).toBeCloseTo(-79.65, 2);
    expect(got.upper.estimate).toBeCloseTo(75.41, 2);
  });
  test("1.96 by default", () => {
    const got = blandAltman(wright, mini)!;
    expect(got.lower.estimate).toBeCloseTo(-78.1, 2);
    expect(got.upper.estimate).toBeCloseTo(73.86, 2);
  });
  test("swapping mirrors; nulls are left out; two pairs tell nothing", () => {
    const one = blandAltman(wright, mini)!;
    const other = blandAltman(mini, wright)!;
    expect(other.upper.hi).toBeCloseTo(-one.lower.lo, 9);
    expect(blandAltman([...wright, null, 5], [...mini, 400, null])).toEqual(one);
    expect(blandAltman([1, 2], [2, 3])).toBeUndefined();
    expect(blandAltman([3, 4, 5], [2, 3, 4])!.bias).toEqual({ estimate: 1, lo: 1, hi: 1 });
    expect(() => blandAltman([1], [1, 2])).toThrow(RangeError);
  });
});

describe("technical error of measurement", () => {
  test("two readings on the large meter", () => {
    const got = technicalError(wright.map((x, i) => [x, wrightAgain[i]!]))!;
    expect(got.estimate).toBeCloseTo(15.307, 3);
    expect(got.smallestDetectableChange).toBeCloseTo(42.43, 2);
    expect(got.df).toBe(17);
    // The share of chi-square left outside the limits is 2.5 % on either side, whatever the data.
    expect(got.lo).toBeLessThan(got.estimate);
    expect((got.estimate / got.lo) ** 2).toBeCloseTo(30.191 / 17, 3); // chi-square 0.975, 17 df (any handbook)
    expect((got.estimate / got.hi) ** 2).toBeCloseTo(7.564 / 17, 3);
  });
  test("three readings and one: the pooled within-subject variance", () => {
    // Squares about the means: 2 + 0.5; df 2 + 1.
    const got = technicalError([[1, 2, 3], [7, 8], [99]])!;
    expect(got.estimate).toBeCloseTo(Math.sqrt(2.5 / 3), 12);
    expect(got.subjects).toBe(2);
  });
  test("nothing read twice; no difference at all", () => {
    expect(technicalError([[4], [5]])).toBeUndefined();
    expect(technicalError([])).toBeUndefined();
    expect(
      technicalError([
        [4, 4],
        [5, 5],
      ]),
    ).toMatchObject({ estimate: 0, lo: 0, hi: 0 });
  });
});

describe("Lin's concordance", () => {
  test("large meter against small meter, and against itself", () => {
    const between = converged(linConcordance(wright, mini));
    expect(between.correlation).toBeCloseTo(0.9433, 4);
    expect(between.estimate).toBeCloseTo(0.9427, 4);
    expect(converged(linConcordance(wright, wrightAgain)).estimate).toBeCloseTo(0.9821, 4);
  });

  test("with equal means and spreads the limits are those of Fisher's z with n − 2", () => {
    // Concordance then equals correlation, and the variance of z is 1/(n − 2).
    const a = [1, 2, 3, 4, 5, 6, 7];
    const b = [2, 1, 3, 5, 4, 7, 6];
    const got = converged(linConcordance(a, b));
    expect(got.estimate).toBeCloseTo(got.correlation, 12);
    expect(Math.atanh(got.hi) - Math.atanh(got.estimate)).toBeCloseTo(1.959964 / Math.sqrt(5), 5);
  });

  test("swapping sides and changing units together does not matter; shifting one side lowers it", () => {
    const one = converged(linConcordance(wright, mini));
    const other = converged(
      linConcordance(
        mini.map((x) => x / 60),
        wright.map((x) => x / 60),
      ),
    );
    expect(other.estimate).toBeCloseTo(one.estimate, 12);
    expect(other.hi).toBeCloseTo(one.hi, 10);
    expect(
      converged(
        linConcordance(
          wright,
          mini.map((x) => x + 80),
        ),
      ).estimate,
    ).toBeLessThan(one.estimate);
  });

  test("what cannot be told", () => {
    expect(linConcordance([], [])).toMatchObject({ trouble: "no_rows" });
    expect(linConcordance([1, 2], [1, 2])).toMatchObject({ trouble: "too_few_rows" });
    expect(linConcordance([1, 1, 1], [1, 2, 3])).toMatchObject({
      verdict: "flat",
      trouble: "constant_outcome",
    });
    expect(linConcordance([1], [1, 2])).toMatchObject({ trouble: "invalid_input" });
    expect(linConcordance([1, 2, 3], [1, 2, 3])).toMatchObject({ estimate: 1, lo: 1, hi: 1 });
  });
});

describe("intraclass correlation", () => {
  const { ratings, table } = reference.cases.icc_shrout_fleiss;
  const rows = Array.from({ length: 6 }, (_, i) => ratings.row_major.slice(4 * i, 4 * i + 4));
  const forms: IccForm[] = ["1-single", "2-single", "3-single", "1-average", "2-average", "3-average"];

  test("Shrout and Fleiss (1979): psych::ICC, limits and tests", () => {
    const got = converged(intraclassCorrelation(rows));
    forms.forEach((form, k) => {
      const own = got.forms[form];
      expect(own.estimate).toBeCloseTo(table.ICC[k]!, 8);
      expect(own.lo).toBeCloseTo(table["lower bound"][k]!, 6);
      expect(own.hi).toBeCloseTo(table["upper bound"][k]!, 6);
      expect(own.f).toBeCloseTo(table.F[k]!, 8);
      expect(own.p).toBeCloseTo(table.p[k]!, 8);
      expect([own.df1, own.df2]).toEqual([table.df1[k], table.df2[k]]);
    });
  });

  test("the printed table", () => {
    const got = converged(intraclassCorrelation(rows));
    const squares = [got.betweenTargets, got.betweenJudges, got.residual, got.withinTargets];
    expect(squares.map((v) => Number(v.toFixed(4)))).toEqual([11.2417, 32.4861, 1.0194, 6.2639]);
    expect(forms.map((form) => Number(got.forms[form].estimate.toFixed(2)))).toEqual([
      0.17, 0.29, 0.71, 0.44, 0.62, 0.91,
    ]);
  });

  test("order of targets and judges, unit and origin do not matter", () => {
    const one = converged(intraclassCorrelation(rows));
    const turned = [...rows].reverse().map((row) => [...row].reverse().map((x) => 3 * x - 40));
    const other = converged(intraclassCorrelation(turned));
    for (const form of forms) expect(other.forms[form].hi).toBeCloseTo(one.forms[form].hi, 8);
  });

  test("what cannot be told", () => {
    expect(intraclassCorrelation([])).toMatchObject({ trouble: "no_rows" });
    expect(intraclassCorrelation([[1, 2]])).toMatchObject({ trouble: "too_few_rows" });
    expect(intraclassCorrelation([[1, 2], [3]])).toMatchObject({ trouble: "invalid_input" });
    expect(
      intraclassCorrelation([
        [2, 2],
        [2, 2],
      ]),
    ).toMatchObject({ verdict: "flat", trouble: "constant_outcome" });
    const perfect = converged(
      intraclassCorrelation([
        [1, 1],
        [2, 2],
        [5, 5],
      ]),
    );
    for (const form of forms) expect(perfect.forms[form].estimate).toBeCloseTo(1, 12);
  });
});

function converged<T extends { verdict: string }>(got: T): Extract<T, { verdict: "converged" }> {
  expect(got).toMatchObject({ verdict: "converged" });
  return got as Extract<T, { verdict: "converged" }>;
}
