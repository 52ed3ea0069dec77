import { describe, expect, test } from "vitest";
import { scoreOf } from "../../src/findings/forecast-score.ts";
import type { PastForecast } from "../../src/findings/past-forecasts.ts";

/** Student's t on 9 degrees of freedom, two-sided 95 %: any table. */
const T9 = 2.2621571627409915;

/** Three forecasts of each of some goats. */
function forecasts(goats: number, of: (goat: number, k: number) => Partial<PastForecast>): PastForecast[] {
  return Array.from({ length: goats }, (_, goat) =>
    [0, 1, 2].map((k) => ({
      animal: `G${goat}`,
      made: 0,
      day: 50,
      chance: 0.2,
      seen: false,
      daysSinceTrim: 50,
      ...of(goat, k),
    })),
  ).flat();
}

describe("ten goats with three forecasts each", () => {
  // The first five goats were forecast 0.8 each time and found over, but for one look; the others 0.1 and found short.
  const made = forecasts(10, (goat, k) =>
    goat < 5 ? { chance: 0.8, seen: !(goat === 0 && k === 0), daysSinceTrim: 60 } : { chance: 0.1 },
  );
  const row = scoreOf("flock", 0, made);

  // Brier 1950 (Mon. Weather Rev. 78:1-3): the mean squared difference of chance and outcome.
  test("are scored by the mean squared difference, beside looking every eight weeks", () => {
    expect(row).toMatchObject({ forecasts: 30, animals: 10, caution: null });
    expect(row.mean_forecast).toBeCloseTo((15 * 0.8 + 15 * 0.1) / 30, 12);
    expect(row.seen).toBeCloseTo(14 / 30, 12);
    expect(row.brier).toBeCloseTo((14 * 0.2 ** 2 + 0.8 ** 2 + 15 * 0.1 ** 2) / 30, 12);
    // 60 days are past 56 and 50 are not: wrong once
    expect(row.brier_of_eight_week_rule).toBeCloseTo(1 / 30, 12);
  });

  test("the difference of the two is paired, with the goat as the unit", () => {
    const difference = row.brier! - row.brier_of_eight_week_rule!;
    expect(row.brier_difference).toBeCloseTo(difference, 12);
    // by goat, the sum of three differences: the first 0.64 − 1 and twice 0.04, four of 3·0.04, five of 3·0.01
    const sums = [0.64 - 1 + 0.08, ...Array(4).fill(0.12), ...Array(5).fill(0.03)];
    const squares = sums.reduce((total, sum) => total + (sum - 3 * difference) ** 2, 0);
    const half = (T9 * Math.sqrt((10 / 9) * squares)) / 30;
    expect(row.difference_hi! - difference).toBeCloseTo(half, 9);
    expect(difference - row.difference_lo!).toBeCloseTo(half, 9);
  });

  test("the share that was seen lies within limits over goats, wider than over thirty looks", () => {
    const p = 14 / 30;
    const spread = 1.959963984540054 * Math.sqrt((p * (1 - p)) / 30);
    expect(row.lo).toBeLessThan(p - spread);
    expect(row.hi).toBeGreaterThan(p + spread);
  });
});

describe("the eight-week rule", () => {
  test("says past from the fifty-sixth day on", () => {
    const day = (daysSinceTrim: number) =>
      scoreOf(
        "flock",
        0,
        forecasts(10, () => ({ seen: true, daysSinceTrim })),
      ).brier_of_eight_week_rule;
    expect(day(55)).toBe(1);
    expect(day(56)).toBe(0);
  });
});

describe("too few forecasts", () => {
  test.each([
    ["twenty-nine in all", 0, forecasts(10, () => ({})).slice(1), "too_few_forecasts(29,30)"],
    ["nine of a tenth", 3, forecasts(3, () => ({})), "too_few_forecasts(9,10)"],
    ["seven goats", 0, [...forecasts(7, () => ({})), ...forecasts(7, () => ({}))], "too_few_animals(7,8)"],
  ])("%s are not scored", (_, tenth, made, caution) => {
    expect(scoreOf("flock", tenth, made)).toMatchObject({
      seen: null,
      brier: null,
      difference_lo: null,
      caution,
    });
  });
});
