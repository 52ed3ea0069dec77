import { describe, expect, test } from "vitest";
import { clusteredRate } from "../../../src/statistics/rates/clustered-rate.ts";
import { mantelHaenszel } from "../../../src/statistics/rates/mantel-haenszel.ts";
import { poissonRate } from "../../../src/statistics/rates/poisson-rate.ts";
import { exactRateRatio, waldRateRatio } from "../../../src/statistics/rates/rate-ratio.ts";
import reference from "../../reference/rates.json" with { type: "json" };

describe("Poisson rate", () => {
  test("R poisson.test at 90, 95 and 99 %", () => {
    const table = reference.cases.poisson_exact_ci;
    table.x.forEach((x, i) => {
      for (const [level, lower, upper] of [
        [0.9, table.lower90, table.upper90],
        [0.95, table.lower95, table.upper95],
        [0.99, table.lower99, table.upper99],
      ] as const) {
        const got = poissonRate(x, 1, level)!;
        near(got.lo, lower[i]!, 1e-9);
        near(got.hi, upper[i]!, 1e-9);
      }
    });
  });

  // Garwood (1936) limits, recomputed; the rate 137/24.19893 is the worked example of R's poisson.test, from memory.
  test.each([
    [0, 1, 0, 3.6889],
    [1, 1, 0.0253, 5.5716],
    [5, 1, 1.6235, 11.6683],
    [10, 1, 4.7954, 18.3904],
    [20, 1, 12.2165, 30.8884],
    [137, 24.19893, 4.7531, 6.6927],
    [18, 100, 0.1067, 0.2845],
  ])("%i events in %f", (events, exposure, lo, hi) => {
    const got = poissonRate(events, exposure)!;
    expect(got.lo).toBeCloseTo(lo, 4);
    expect(got.hi).toBeCloseTo(hi, 4);
  });

  test("the unit of exposure scales the rate; no exposure, no rate", () => {
    const perDay = poissonRate(7, 900)!;
    const perMonth = poissonRate(7, 30)!;
    near(perMonth.lo, 30 * perDay.lo, 1e-12);
    near(perMonth.hi, 30 * perDay.hi, 1e-12);
    expect(poissonRate(0, 0)).toBeUndefined();
    expect(() => poissonRate(-1, 3)).toThrow(RangeError);
  });
});

describe("rate ratio", () => {
  test("R poisson.test, exact", () => {
    const table = reference.cases.poisson_rate_ratio;
    table.x1.forEach((x1, i) => {
      const got = exactRateRatio(x1, table.t1[i]!, table.x2[i]!, table.t2[i]!)!;
      near(got.estimate, table.ratio[i]!, 1e-12);
      near(got.p, table.p[i]!, 1e-9);
      near(got.lo, table.lower[i]!, 1e-9);
      near(got.hi, table.upper[i]!, 1e-9);
    });
  });

  // The second worked example of R's poisson.test, from memory, recomputed.
  test("11 in 800 against 21 in 3011: exact limits hold 1, Wald's nearly do not", () => {
    const exact = exactRateRatio(11, 800, 21, 3011)!;
    expect([exact.estimate, exact.lo, exact.hi, exact.p].map((v) => Number(v.toFixed(4)))).toEqual([
      1.9715, 0.8584, 4.2773, 0.0797,
    ]);
    const wald = waldRateRatio(11, 800, 21, 3011)!;
    expect([wald.lo, wald.hi].map((v) => Number(v.toFixed(4)))).toEqual([0.9506, 4.0889]);
  });

  test("swapping the groups inverts the ratio; empty sides", () => {
    const one = exactRateRatio(4, 20, 9, 30)!;
    const other = exactRateRatio(9, 30, 4, 20)!;
    near(one.lo, 1 / other.hi, 1e-9);
    near(one.p, other.p, 1e-12);
    expect(exactRateRatio(0, 20, 0, 30)).toBeUndefined();
    expect(exactRateRatio(4, 0, 9, 30)).toBeUndefined();
    expect(exactRateRatio(4, 20, 0, 30)).toMatchObject({ estimate: Infinity, hi: Infinity });
    expect(exactRateRatio(4, 20, 9, 0)).toBeUndefined();
    expect(waldRateRatio(4, 20, 0, 30)).toBeUndefined();
    expect(waldRateRatio(0, 20, 4, 30)).toBeUndefined();
    expect(waldRateRatio(4, 0, 9, 30)).toBeUndefined();
  });

  test("nothing is less than nought or without end", () => {
    for (let i = 0; i < 4; i++) {
      const given = [4, 20, 9, 30].map((value, k) => (k === i ? -1 : value)) as [
        number,
        number,
        number,
        number,
      ];
      expect(() => exactRateRatio(...given)).toThrow(RangeError);
    }
    for (const [events, exposure] of [
      [-1, 5],
      [1, -5],
      [Infinity, 5],
      [1, Infinity],
    ] as const)
      expect(() => poissonRate(events, exposure)).toThrow(RangeError);
  });
});

// UC Berkeley admissions by department: Bickel, Hammel & O'Connell (1975), Science 187:398-404.
const berkeley = [
  [512, 313, 89, 19],
  [353, 207, 17, 8],
  [120, 205, 202, 391],
  [138, 279, 131, 244],
  [53, 138, 94, 299],
  [22, 351, 24, 317],
].map(([a, b, c, d]) => ({ exposedCases: a!, exposedOthers: b!, unexposedCases: c!, unexposedOthers: d! }));

describe("Mantel-Haenszel", () => {
  test("Berkeley admissions: R mantelhaen.test and metafor", () => {
    const got = mantelHaenszel(berkeley)!;
    const { no_correction, correction, metafor_or } = reference.cases.mantel_haenszel_ucb;
    near(got.oddsRatio.estimate, no_correction.common_or, 1e-8);
    near(got.oddsRatio.lo, no_correction.ci[0]!, 1e-8);
    near(got.oddsRatio.hi, no_correction.ci[1]!, 1e-8);
    near(got.logStandardError, metafor_or.se, 1e-8);
    near(got.chiSquare, no_correction.statistic, 1e-8);
    near(got.p, no_correction.p, 1e-8);
    near(got.correctedChiSquare, correction.statistic, 1e-8);
    near(got.correctedP, correction.p, 1e-8);
    expect(got.informativeStrata).toBe(6);
  });

  test("one stratum gives its own odds ratio, and Woolf's standard error", () => {
    const [a, b, c, d] = [12, 30, 7, 41];
    const got = mantelHaenszel([
      { exposedCases: a, exposedOthers: b, unexposedCases: c, unexposedOthers: d },
    ])!;
    near(got.oddsRatio.estimate, (a * d) / (b * c), 1e-12);
    near(got.logStandardError, Math.sqrt(1 / a + 1 / b + 1 / c + 1 / d), 1e-12);
  });

  test("order and empty strata do not matter; swapping exposure inverts", () => {
    const got = mantelHaenszel(berkeley)!;
    const empty = { exposedCases: 0, exposedOthers: 9, unexposedCases: 0, unexposedOthers: 4 };
    near(mantelHaenszel([empty, ...[...berkeley].reverse()])!.oddsRatio.hi, got.oddsRatio.hi, 1e-12);
    const swapped = berkeley.map((s) => ({
      exposedCases: s.unexposedCases,
      exposedOthers: s.unexposedOthers,
      unexposedCases: s.exposedCases,
      unexposedOthers: s.exposedOthers,
    }));
    near(mantelHaenszel(swapped)!.oddsRatio.lo, 1 / got.oddsRatio.hi, 1e-12);
    expect(mantelHaenszel([empty])).toBeUndefined();
    expect(mantelHaenszel([])).toBeUndefined();
  });
});

describe("Mantel-Haenszel at the edges", () => {
  const stratum = (a: number, b: number, c: number, d: number) => ({
    exposedCases: a,
    exposedOthers: b,
    unexposedCases: c,
    unexposedOthers: d,
  });

  test("a stratum with any margin of nought tells nothing", () => {
    const silent = [stratum(0, 0, 2, 3), stratum(2, 3, 0, 0), stratum(0, 3, 0, 2), stratum(3, 0, 2, 0)];
    expect(mantelHaenszel([...silent, stratum(1, 0, 0, 0), ...berkeley])).toEqual(mantelHaenszel(berkeley));
  });

  test("no ratio of nought or without end", () => {
    expect(mantelHaenszel([stratum(0, 5, 3, 5)])).toBeUndefined();
    expect(mantelHaenszel([stratum(5, 0, 2, 3)])).toBeUndefined();
  });

  // by hand: 4·4/9 cases expected, so 2/9 too many; variance 4·5·4·5/(81·8). The half is taken off only where there is one
  test("a distance under one half is left as it is", () => {
    const got = mantelHaenszel([stratum(2, 2, 2, 3)])!;
    near(got.chiSquare, 0.08, 1e-12);
    near(got.correctedChiSquare, 0.08, 1e-12);
  });

  test("counts are not less than nought", () => {
    for (let i = 0; i < 4; i++) {
      const [a, b, c, d] = [6, 6, 6, 6].map((count, k) => (k === i ? -1 : count));
      expect(() => mantelHaenszel([stratum(a!, b!, c!, d!)])).toThrow(RangeError);
    }
  });
});

describe("clustered rate", () => {
  test("by hand: 6, 0, 0 and 0 events in equal time", () => {
    // Rate 1.5 per cluster; residuals 4.5, −1.5 ×3: squares 27; 4/3·27/6 = 6.
    const got = clusteredRate([6, 0, 0, 0].map((events) => ({ events, exposure: 10 })))!;
    near(got.varianceRatio, 6, 1e-12);
    const want = poissonRate(1, 40 / 6)!;
    near(got.lo, want.lo, 1e-12);
    near(got.hi, want.hi, 1e-12);
    near(got.estimate, 0.15, 1e-12);
  });

  // by hand: 5 and 0 events in equal time, squares 2·2.5², 2/1·12.5/5 = 5; one without time is none
  test("from five events and two clusters on", () => {
    const two = [
      { events: 5, exposure: 5 },
      { events: 0, exposure: 5 },
    ];
    near(clusteredRate(two)!.varianceRatio, 5, 1e-12);
    expect(clusteredRate([...two, { events: 0, exposure: 0 }])).toEqual(clusteredRate(two));
    expect(clusteredRate([{ events: 6, exposure: 10 }])!.varianceRatio).toBe(1);
  });

  test("even clusters and rare events fall back to the plain exact limits", () => {
    const even = clusteredRate(Array.from({ length: 8 }, () => ({ events: 1, exposure: 5 })))!;
    expect(even).toMatchObject({ ...poissonRate(8, 40)!, varianceRatio: 1, clusters: 8 });
    const rare = clusteredRate([
      { events: 4, exposure: 5 },
      { events: 0, exposure: 5 },
    ])!;
    expect(rare).toMatchObject({ ...poissonRate(4, 10)!, varianceRatio: 1 });
    expect(clusteredRate([])).toBeUndefined();
    expect(clusteredRate([{ events: 0, exposure: 0 }])).toBeUndefined();
  });
});

function near(got: number, want: number, relative: number) {
  expect(Math.abs(got - want)).toBeLessThanOrEqual(1e-10 + relative * Math.abs(want));
}
