import { describe, expect, test } from "vitest";
import { benjaminiHochberg, bonferroni, holm } from "../../src/statistics/multiplicity.ts";
import reference from "../reference/multiplicity.json" with { type: "json" };

const { p, adjusted, p_with_na, adjusted_with_na } = reference.cases.p_adjust;

describe.each([
  ["BH", benjaminiHochberg],
  ["holm", holm],
  ["bonferroni", bonferroni],
] as const)("%s", (name, adjust) => {
  test("R p.adjust, with and without missing values", () => {
    near(adjust(p), adjusted[name]);
    near(adjust(p_with_na), adjusted_with_na[name]);
  });

  test("order of the family does not matter, and the order of its p-values is kept", () => {
    const shuffled = [7, 2, 14, 0, 9, 4, 11, 5, 1, 13, 3, 8, 10, 6, 12];
    const got = adjust(shuffled.map((i) => p[i]!));
    near(
      got,
      shuffled.map((i) => adjusted[name][i]!),
    );
  });

  test("one, none, and an impossible p", () => {
    expect(adjust([0.03])).toEqual([0.03]);
    expect(adjust([])).toEqual([]);
    expect(adjust([null, null])).toEqual([null, null]);
    expect(() => adjust([1.2])).toThrow(RangeError);
    expect(() => adjust([Number.NaN])).toThrow(RangeError);
  });
});

// Benjamini & Hochberg (1995), JRSS B 57:289-300: at 0.05 their method rejects 4 hypotheses, Bonferroni's and Holm's 3.
test("the example of Benjamini and Hochberg", () => {
  const rejected = (values: (number | null)[]) => values.filter((value) => value! <= 0.05).length;
  expect(rejected(benjaminiHochberg(p))).toBe(4);
  expect(rejected(bonferroni(p))).toBe(3);
  expect(rejected(holm(p))).toBe(3);
});

function near(got: readonly (number | null)[], want: readonly (number | null)[]) {
  expect(got).toHaveLength(want.length);
  want.forEach((value, i) => {
    if (value === null) expect(got[i]).toBeNull();
    else expect(got[i]!).toBeCloseTo(value, 12);
  });
}
