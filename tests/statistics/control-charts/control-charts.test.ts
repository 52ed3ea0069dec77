import { describe, expect, test } from "vitest";
import { ewmaChart } from "../../../src/statistics/control-charts/ewma-chart.ts";
import { funnelLimits } from "../../../src/statistics/control-charts/funnel-limits.ts";
import { pChart } from "../../../src/statistics/control-charts/p-chart.ts";
import { tabularCusum } from "../../../src/statistics/control-charts/tabular-cusum.ts";
import { binomialCumulative, binomialUpperTail } from "../../../src/statistics/distributions/binomial.ts";
import { Random } from "../../../src/statistics/random.ts";
import reference from "../../reference/control-charts.json" with { type: "json" };

const { cbpp, Nile } = reference.datasets;

describe("p-chart", () => {
  test("varying sample sizes, by formula in R (cbpp)", () => {
    const want = reference.cases.p_chart_cbpp;
    const chart = pChart(cbpp.incidence.map((events, i) => ({ events, counted: cbpp.size[i]! })))!;
    expect(chart.centre).toBeCloseTo(want.pbar, 12);
    chart.points.forEach((point, i) => {
      expect(point!.lowerLimit).toBeCloseTo(want.lcl[i]!, 10);
      expect(point!.upperLimit).toBeCloseTo(want.ucl[i]!, 10);
      expect(point!.outside !== "no").toBe(want.out[i]);
    });
  });

  // NIST/SEMATECH e-Handbook 6.3.3.2: 30 wafers of 50 chips; counts from memory, recomputed.
  test("wafers", () => {
    const counts = [
      12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9,
      6,
    ];
    const chart = pChart(counts.map((events) => ({ events, counted: 50 })))!;
    expect(chart.centre).toBeCloseTo(0.2313, 4);
    expect(chart.points[0]!.upperLimit).toBeCloseTo(0.4102, 4);
    expect(chart.points[0]!.lowerLimit).toBeCloseTo(0.0524, 4);
    const out = chart.points.flatMap((point, i) => (point!.outside === "no" ? [] : [i + 1]));
    expect(out).toEqual([15, 23]);
  });

  test("a centre of its own; empty samples; nothing counted", () => {
    const chart = pChart(
      [
        { events: 0, counted: 400 },
        { events: 0, counted: 0 },
      ],
      0.1,
    )!;
    expect(chart.points[0]).toMatchObject({ outside: "below" });
    expect(chart.points[1]).toBeNull();
    expect(pChart([{ events: 0, counted: 0 }])).toBeUndefined();
    expect(pChart([])).toBeUndefined();
    expect(() => pChart([{ events: 3, counted: 2 }])).toThrow(RangeError);
  });
});

describe("tabular CUSUM", () => {
  test("Nile in units of its standard deviation, by formula in R", () => {
    const want = reference.cases.individuals_cusum_ewma_nile;
    const z = Nile.map((x) => (x - want.mean) / want.sigma_mr);
    const got = tabularCusum(z, { target: 0, allowance: 0.5, limit: 5 });
    near(got.upper, want.cusum_upper);
    near(got.lower, want.cusum_lower);
  });

  // Montgomery & Runger, Applied Statistics and Probability for Engineers, example 16-6.
  test("viscosity: no signal", () => {
    const values = [
      102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1, 98.4, 97.0, 96.7,
      100.3, 101.4, 97.2, 101.0,
    ];
    const got = tabularCusum(values, { target: 99, allowance: 1, limit: 10 });
    near(got.upper, [2, 0, 0, 0, 2, 0.5, 0, 0, 0, 0, 1.3, 0, 1.1, 0, 0, 0, 0.3, 1.7, 0, 1]);
    near(got.lower, [0, 3.2, 2.9, 2.5, 0, 0, 0, 0.3, 0, 0, 0, 0, 0, 0, 1, 2.3, 0, 0, 0.8, 0]);
    expect(got.firstSignal).toBeNull();
  });

  // NIST/SEMATECH e-Handbook 6.3.2.3; data from memory, recomputed.
  test("a shift found at the fourteenth value", () => {
    const values = [
      324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15,
      328.325, 327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
    ];
    const got = tabularCusum(values, { target: 325, allowance: 0.3175, limit: 4.1959 });
    expect(got.upper[12]).toBeCloseTo(3.01, 2);
    expect(got.upper[13]).toBeCloseTo(4.94, 2);
    expect(got.firstSignal).toBe(13);
    expect(got.upper[19]).toBeCloseTo(19.04, 2);
    expect(Math.max(...got.lower)).toBeCloseTo(0.72, 2);
  });

  test("turning the values over swaps the sides", () => {
    const values = [3, -1, 4, 1, -5, 9];
    const got = tabularCusum(values, { target: 0, allowance: 1, limit: 50 });
    const turned = tabularCusum(
      values.map((x) => -x),
      { target: 0, allowance: 1, limit: 50 },
    );
    expect(turned.lower).toEqual(got.upper);
    expect(() => tabularCusum(values, { target: 0, allowance: -1, limit: 5 })).toThrow(RangeError);
  });

  test("average run lengths of R's spc, by simulation to four standard errors", () => {
    const { delta, "cusum_two_sided_k.5_h4": wanted } = reference.cases.arl;
    for (const shift of [0.5, 1, 2]) {
      const want = wanted[delta.indexOf(shift)]!;
      const lengths = runLengths(1500, shift, (values) => {
        return tabularCusum(values, { target: 0, allowance: 0.5, limit: 4 }).firstSignal;
      });
      expect(Math.abs(lengths.mean - want)).toBeLessThan(4 * lengths.standardError);
    }
  });
});

describe("EWMA", () => {
  test("Nile, by formula in R", () => {
    const want = reference.cases.individuals_cusum_ewma_nile;
    const got = ewmaChart(Nile, { target: want.mean, sd: want.sigma_mr, weight: 0.2 });
    near(got.average, want.ewma);
    near(got.upperLimit, want.ewma_ucl);
    near(got.lowerLimit, want.ewma_lcl);
  });

  // NIST/SEMATECH e-Handbook 6.3.2.4; limits as printed, data from memory, recomputed.
  test("target 50, weight 0.3: no signal", () => {
    const values = [
      52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6,
      52.1,
    ];
    const got = ewmaChart(values, { target: 50, sd: 2.0539, weight: 0.3, limits: "asymptotic" });
    expect(got.upperLimit[0]).toBeCloseTo(52.5884, 3);
    expect(got.lowerLimit[0]).toBeCloseTo(47.4115, 3);
    expect([...got.average].map((v) => v.toFixed(2)).join(" ")).toBe(
      "50.60 49.52 50.56 50.18 50.16 49.21 49.75 49.85 50.26 50.33 50.11 49.36 49.52 50.05 49.38 49.92 50.73 51.23 " +
        "51.94 51.99",
    );
    expect(got.firstSignal).toBeNull();
  });

  test("weight 1 is a Shewhart chart; impossible weights are refused", () => {
    const got = ewmaChart([1, 5, -2], { target: 0, sd: 1, weight: 1 });
    expect([...got.average]).toEqual([1, 5, -2]);
    expect(got.firstSignal).toBe(1);
    expect(got.upperLimit[2]).toBeCloseTo(3, 12);
    expect(() => ewmaChart([1], { target: 0, sd: 1, weight: 0 })).toThrow(RangeError);
  });

  test("average run lengths of R's spc, by simulation to four standard errors", () => {
    const { delta, "ewma_two_sided_l.2_c3": wanted } = reference.cases.arl;
    for (const shift of [0.5, 1, 2]) {
      const want = wanted[delta.indexOf(shift)]!;
      const lengths = runLengths(1500, shift, (values) => {
        return ewmaChart(values, { target: 0, sd: 1, weight: 0.2, limits: "asymptotic" }).firstSignal;
      });
      expect(Math.abs(lengths.mean - want)).toBeLessThan(4 * lengths.standardError);
    }
  });
});

describe("funnel limits", () => {
  test("a count lies outside just when its own tail is below 2.5 %", () => {
    for (const [target, trials] of [
      [0.1, 20],
      [0.1, 137],
      [0.03, 60],
      [0.5, 11],
    ] as const) {
      const { lo, hi } = funnelLimits(target, trials)!;
      for (let k = 0; k <= trials; k++) {
        expect(k / trials > hi).toBe(binomialUpperTail(k - 1, trials, target) < 0.025);
        expect(k / trials < lo).toBe(binomialCumulative(k, trials, target) < 0.025);
      }
    }
  });

  test("the funnel narrows toward the normal approximation", () => {
    const { lo, hi } = funnelLimits(0.2, 40_000)!;
    const half = 1.959964 * Math.sqrt((0.2 * 0.8) / 40_000);
    expect(Math.abs(hi - 0.2 - half)).toBeLessThan(3e-5);
    expect(Math.abs(0.2 - lo - half)).toBeLessThan(3e-5);
    let before = funnelLimits(0.2, 5)!.hi;
    for (const n of [20, 80, 320]) {
      const next = funnelLimits(0.2, n)!.hi;
      expect(next).toBeLessThan(before);
      before = next;
    }
  });

  test("swapping success and failure mirrors; ends; no trials", () => {
    const one = funnelLimits(0.3, 50)!;
    const other = funnelLimits(0.7, 50)!;
    expect(other.hi).toBeCloseTo(1 - one.lo, 12);
    expect(funnelLimits(0, 50)).toEqual({ lo: 0, hi: 0 });
    expect(funnelLimits(1, 50)).toEqual({ lo: 1, hi: 1 });
    expect(funnelLimits(0.2, 0)).toBeUndefined();
    expect(() => funnelLimits(1.2, 5)).toThrow(RangeError);
  });
});

/** Run lengths of a chart on normal values shifted by `shift` from the start. */
function runLengths(runs: number, shift: number, firstSignal: (values: Float64Array) => number | null) {
  const random = new Random(31);
  let sum = 0;
  let squares = 0;
  for (let run = 0; run < runs; run++) {
    let length = null;
    for (let size = 200; length === null; size *= 4) {
      const stream = random.substream(run);
      length = firstSignal(Float64Array.from({ length: size }, () => stream.normal() + shift));
    }
    sum += length + 1;
    squares += (length + 1) ** 2;
  }
  const mean = sum / runs;
  return { mean, standardError: Math.sqrt((squares / runs - mean * mean) / runs) };
}

function near(got: ArrayLike<number>, want: readonly number[]) {
  expect(got.length).toBe(want.length);
  want.forEach((value, i) => {
    expect(got[i]!).toBeCloseTo(value, 8);
  });
}
