import { describe, expect, test } from "vitest";
import { Random } from "../../../src/statistics/random.ts";
import {
  onsetProbability,
  type TwoStateFit,
  type TwoStateInput,
  twoStateProcess,
} from "../../../src/statistics/survival/two-state-process.ts";

describe("two-state process", () => {
  test("equal gaps: the rates that reproduce the two observed shares exactly", () => {
    // Kalbfleisch & Lawless (1985): with one gap the fit is saturated; s = −ln(1 − P01 − P10)/t.
    const input = table(
      { from: 0, to: 1, gap: 30, times: 24 },
      { from: 0, to: 0, gap: 30, times: 176 },
      {
        from: 1,
        to: 0,
        gap: 30,
        times: 35,
      },
      { from: 1, to: 1, gap: 30, times: 15 },
    );
    const fit = converged(input);
    const [p01, p10] = [24 / 200, 35 / 50];
    const sum = -Math.log(1 - p01 - p10) / 30;
    expect(fit.onset).toBeCloseTo((sum * p01) / (p01 + p10), 9);
    expect(fit.recovery).toBeCloseTo((sum * p10) / (p01 + p10), 9);
    const value = 24 * Math.log(p01) + 176 * Math.log(1 - p01) + 35 * Math.log(p10) + 15 * Math.log(1 - p10);
    expect(fit.logLikelihood).toBeCloseTo(value, 9);
    // The delta method on two independent shares gives the same information.
    const rates = (a: number, b: number) => {
      const s = -Math.log(1 - a - b) / 30;
      return [Math.log((s * a) / (a + b)), Math.log((s * b) / (a + b))] as const;
    };
    const h = 1e-6;
    const slope = (k: 0 | 1) => [
      (rates(p01 + h, p10)[k] - rates(p01 - h, p10)[k]) / (2 * h),
      (rates(p01, p10 + h)[k] - rates(p01, p10 - h)[k]) / (2 * h),
    ];
    const spread = [(p01 * (1 - p01)) / 200, (p10 * (1 - p10)) / 50];
    for (const [j, k] of [
      [0, 0],
      [0, 1],
      [1, 1],
    ] as const) {
      const want = slope(j).reduce((total, d, i) => total + d * slope(k)[i]! * spread[i]!, 0);
      expect(fit.logCovariance.values[2 * j + k]).toBeCloseTo(want, 6);
    }
  });

  test("transition probabilities follow from the differential equation", () => {
    // p' = λ(1 − p) − ρp from p = 0, by small steps.
    const [onset, recovery] = [0.02, 0.05];
    let p = 0;
    const steps = 200_000;
    for (let i = 0; i < steps; i++) p += (40 / steps) * (onset * (1 - p) - recovery * p);
    expect(onsetProbability(onset, recovery, 40)).toBeCloseTo(p, 5);
    expect(onsetProbability(onset, recovery, 1e-9) / 1e-9).toBeCloseTo(onset, 9);
    expect(onsetProbability(onset, recovery, 1e6)).toBeCloseTo(2 / 7, 9);
    // Both sides of the switch from series to closed form.
    const around = [0.4999999, 0.5000001].map((u) => onsetProbability(1, 1, u / 2));
    expect(around[1]! - around[0]!).toBeLessThan(1.1e-7);
    expect(around[1]! - around[0]!).toBeGreaterThan(0);
  });

  test("a simulated flock gives its rates back within three standard errors", () => {
    const fit = converged(simulated(0.006, 0.03, 3000, 4));
    const errors = [0, 3].map((k) => Math.sqrt(fit.logCovariance.values[k]!));
    expect(Math.abs(Math.log(fit.onset / 0.006))).toBeLessThan(3 * errors[0]!);
    expect(Math.abs(Math.log(fit.recovery / 0.03))).toBeLessThan(3 * errors[1]!);
    expect(fit.search.largestGradient).toBeLessThan(1e-4);
  });

  test("order, weights as repeats, the unit of time, and naming the states the other way round", () => {
    const input = simulated(0.01, 0.04, 300, 5);
    const fit = converged(input);
    const reversed = (column: ArrayLike<number>) => Array.from(column).reverse();
    const twice = converged({ ...input, weights: reversed(input.gap).map(() => 2) });
    expect(twice.logCovariance.values[0]).toBeCloseTo(fit.logCovariance.values[0]! / 2, 9);
    const other = converged({
      from: reversed(input.from).map((s) => 1 - s),
      to: reversed(input.to).map((s) => 1 - s),
      gap: reversed(input.gap).map((gap) => gap / 7),
    });
    expect(other.recovery).toBeCloseTo(7 * fit.onset, 8);
    expect(other.onset).toBeCloseTo(7 * fit.recovery, 8);
    expect(other.logLikelihood).toBeCloseTo(fit.logLikelihood, 8);
  });

  test("what cannot be told", () => {
    expect(twoStateProcess({ from: [], to: [], gap: [] })).toMatchObject({ trouble: "no_rows" });
    expect(twoStateProcess({ from: [0, 1], to: [0, 0], gap: [9, 9] })).toMatchObject({
      trouble: "no_events",
    });
    expect(twoStateProcess({ from: [0, 1], to: [1, 1], gap: [9, 9] })).toMatchObject({
      trouble: "no_events",
    });
    expect(twoStateProcess({ from: [0], to: [2], gap: [9] })).toMatchObject({ trouble: "invalid_input" });
    expect(twoStateProcess({ from: [0], to: [1], gap: [0] })).toMatchObject({ trouble: "invalid_input" });
    expect(twoStateProcess({ from: [0], to: [1], gap: [1, 2] })).toMatchObject({ trouble: "invalid_input" });
    // Moves in more than all pairs: the process is past its equilibrium at every visit.
    const far = table(
      { from: 0, to: 1, gap: 90, times: 30 },
      { from: 0, to: 0, gap: 90, times: 20 },
      {
        from: 1,
        to: 0,
        gap: 90,
        times: 30,
      },
      { from: 1, to: 1, gap: 90, times: 20 },
    );
    expect(twoStateProcess(far)).toMatchObject({ verdict: "flat", trouble: "not_identified" });
  });
});

function table(...cells: { from: number; to: number; gap: number; times: number }[]): TwoStateInput {
  const pairs = cells.flatMap(({ times, ...pair }) => Array.from({ length: times }, () => pair));
  return { from: pairs.map((p) => p.from), to: pairs.map((p) => p.to), gap: pairs.map((p) => p.gap) };
}

function simulated(onset: number, recovery: number, pairs: number, seed: number): TwoStateInput {
  const random = new Random(seed);
  const from: number[] = [];
  const to: number[] = [];
  const gap: number[] = [];
  for (let i = 0; i < pairs; i++) {
    const start = random.bernoulli(0.3) ? 1 : 0;
    const length = 5 + random.integer(40);
    let state = start;
    for (let time = 0; ; ) {
      time += random.exponential() / (state === 0 ? onset : recovery);
      if (time > length) break;
      state = 1 - state;
    }
    from.push(start);
    to.push(state);
    gap.push(length);
  }
  return { from, to, gap };
}

function converged(input: TwoStateInput): TwoStateFit {
  const fit = twoStateProcess(input);
  expect(fit).toMatchObject({ verdict: "converged" });
  return fit as TwoStateFit;
}
