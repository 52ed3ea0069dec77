import { describe, expect, test } from "vitest";
import { type BlockedSample, blockedDifference } from "../../src/statistics/blocked-difference.ts";

const inOne = (values: readonly number[]): BlockedSample => ({ values, blocks: values.map(() => 0) });

describe("hours of extra sleep of ten patients on two drugs (Student 1908, Biometrika 6:1-25)", () => {
  const first = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0, 2];
  const second = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];

  // R's t.test on its data set `sleep`, equal variances (from memory): t = -1.8608, df = 18, p = 0.07919.
  test("in one block it is Student's two-sample t", () => {
    const found = blockedDifference(inOne(first), inOne(second))!;
    expect(found.df).toBe(18);
    expect(found.difference).toBeCloseTo(-1.58, 12);
    expect(found.p).toBeCloseTo(0.07919, 5);
    expect(found.lo).toBeCloseTo(-3.363874, 6);
    expect(found.hi).toBeCloseTo(0.203874, 6);
  });

  // The same, paired: t = -4.0621, df = 9, p = 0.002833.
  test("with patients as blocks it is the paired t", () => {
    const blocks = first.map((_, patient) => patient);
    const found = blockedDifference({ values: first, blocks }, { values: second, blocks })!;
    expect(found.df).toBe(9);
    expect(found.p).toBeCloseTo(0.002833, 6);
    expect(found.lo).toBeCloseTo(-2.4598858, 7);
    expect(found.hi).toBeCloseTo(-0.7001142, 7);
  });
});

test("blocks of unequal numbers, by hand", () => {
  // Differences 6 − 4 and 3 − 1.5, both with weight 2·1/3; squares 2 + 0.5 within cells and 2·⅔·0.25² between blocks.
  const found = blockedDifference(
    { values: [5, 7, 3], blocks: [0, 0, 1] },
    { values: [4, 2, 1], blocks: [0, 1, 1] },
  )!;
  expect(found.difference).toBeCloseTo(1.75, 12);
  expect(found.df).toBe(3);
  const t95 = 3.182446305284263;
  expect(found.hi - found.difference).toBeCloseTo(t95 * Math.sqrt((2.5 + 1 / 12) / 3 / (4 / 3)), 9);
});

test("a block with one sample alone adds to the variance, not to the difference", () => {
  const base = blockedDifference({ values: [5, 7], blocks: [0, 0] }, { values: [4, 2], blocks: [0, 0] })!;
  const more = blockedDifference(
    { values: [5, 7, 90, 92], blocks: [0, 0, 1, 1] },
    { values: [4, 2], blocks: [0, 0] },
  )!;
  expect(more.difference).toBe(base.difference);
  expect(more.df).toBe(base.df + 1);
});

test("nothing where no block holds both, nothing is left over, or nothing varies", () => {
  expect(blockedDifference({ values: [1, 2], blocks: [0, 0] }, { values: [3, 5], blocks: [1, 1] })).toBe(
    undefined,
  );
  expect(blockedDifference(inOne([1]), inOne([2]))).toBe(undefined);
  expect(blockedDifference(inOne([1, 1]), inOne([2, 2]))).toBe(undefined);
  expect(blockedDifference(inOne([]), inOne([2, 3]))).toBe(undefined);
});
