import { describe, expect, test } from "vitest";
import {
  bernoulliCusum,
  bernoulliCusumLimit,
} from "../../../src/statistics/control-charts/bernoulli-cusum.ts";
import { Random } from "../../../src/statistics/random.ts";

describe("risk-adjusted Bernoulli CUSUM", () => {
  // Steiner et al. (2000), eq. 2: event log(R/(1 − p + Rp)), none log(1/(1 − p + Rp)).
  test("scores by hand: odds doubled, risks 0.1 and 0.5", () => {
    const { statistic } = bernoulliCusum([1, 0, 1], [0.1, 0.5, 0.5], 2, 10);
    const [first, second, third] = [Math.log(2 / 1.1), Math.log(1 / 1.5), Math.log(2 / 1.5)];
    expect(statistic[0]).toBeCloseTo(first, 12);
    expect(statistic[1]).toBeCloseTo(first + second, 12);
    expect(statistic[2]).toBeCloseTo(first + second + third, 12);
  });

  test("a lame goat among those at low risk weighs more than among those at high risk", () => {
    const at = (p: number) => bernoulliCusum([1], [p], 2, 10).statistic[0]!;
    expect(at(0.05)).toBeGreaterThan(at(0.4));
  });

  test("a signal tells where the rise began and starts again from zero", () => {
    const events = [0, 0, 1, 1, 1, 0, 1, 1, 1];
    const { statistic, signals } = bernoulliCusum(
      events,
      events.map(() => 0.1),
      3,
      2,
    );
    expect(signals).toHaveLength(2);
    expect(signals[0]).toMatchObject({ started: 2, signalled: 4, events: 3 });
    expect(signals[0]!.expected).toBeCloseTo(0.3, 12);
    expect(statistic[5]).toBe(0);
    expect(signals[1]).toMatchObject({ started: 6, signalled: 8 });
  });

  test("nothing watched, and impossible arguments", () => {
    expect(bernoulliCusum([], [], 2, 3)).toEqual({ statistic: new Float64Array(0), signals: [] });
    expect(() => bernoulliCusum([1], [0.1, 0.2], 2, 3)).toThrow(RangeError);
    expect(() => bernoulliCusum([1], [1.1], 2, 3)).toThrow(RangeError);
    expect(() => bernoulliCusum([1], [0.1], 1, 3)).toThrow(RangeError);
    expect(() => bernoulliCusum([1], [0.1], 2, 0)).toThrow(RangeError);
  });
});

describe("limit by simulation", () => {
  const risks = [0.03, 0.05, 0.1, 0.2];

  test("average run length against the Markov chain of one common risk (Brook & Evans 1972)", () => {
    // With p = 0.5 and R = 3 the scores are ln 1.5 and −ln 2: on a fine lattice the chain is solved directly.
    const [up, down] = [Math.log(1.5), -Math.log(2)];
    const exact = (limit: number) => {
      const cells = 4000;
      const width = limit / cells;
      let lengths = new Float64Array(cells);
      for (let sweep = 0; sweep < 4000; sweep++) {
        const next = lengths.map((_, i) => {
          const reach = (step: number) => {
            const to = Math.max(0, Math.round((i * width + step) / width));
            return to >= cells ? 0 : lengths[to]!;
          };
          return 1 + 0.5 * reach(up) + 0.5 * reach(down);
        });
        const change = Math.abs(next[0]! - lengths[0]!);
        lengths = next;
        if (change < 1e-6) break;
      }
      return lengths[0]!;
    };
    const got = bernoulliCusumLimit({
      expected: [0.5],
      oddsRatio: 3,
      runLength: 150,
      random: new Random(8),
      runs: 3000,
    })!;
    // The limit is a value that the sum can take; just below it is the same rule.
    expect(Math.abs(exact(got.limit - 1e-9) - got.runLength)).toBeLessThan(5 * got.standardError);
    expect(got.runLength).toBeGreaterThanOrEqual(150);
  });

  test("fresh runs without a rise are as far apart as asked", () => {
    const runLength = 300;
    const { limit } = bernoulliCusumLimit({
      expected: risks,
      oddsRatio: 2.5,
      runLength,
      random: new Random(1),
    })!;
    const random = new Random(77);
    const watched = 300_000;
    const expected = Float64Array.from({ length: watched }, () => risks[random.integer(4)]!);
    const events = Array.from(expected, (p) => random.bernoulli(p));
    const { signals } = bernoulliCusum(events, expected, 2.5, limit);
    const apart = watched / signals.length;
    expect(apart / runLength).toBeGreaterThan(0.82);
    expect(apart / runLength).toBeLessThan(1.25);
    const raised = Array.from(expected, (p) => random.bernoulli((2.5 * p) / (1 - p + 2.5 * p)));
    expect(bernoulliCusum(raised, expected, 2.5, limit).signals.length).toBeGreaterThan(4 * signals.length);
  });

  test("longer waits need higher limits; the same seed gives the same limit", () => {
    const limitFor = (runLength: number, seed: number) => {
      return bernoulliCusumLimit({ expected: risks, oddsRatio: 2, runLength, random: new Random(seed) })!
        .limit;
    };
    expect(limitFor(400, 1)).toBeGreaterThan(limitFor(100, 1));
    expect(limitFor(200, 1)).toBe(limitFor(200, 1));
  });

  test("nothing to simulate", () => {
    const random = new Random(1);
    expect(bernoulliCusumLimit({ expected: [], oddsRatio: 2, runLength: 50, random })).toBeUndefined();
    expect(bernoulliCusumLimit({ expected: [0], oddsRatio: 2, runLength: 50, random })).toBeUndefined();
    expect(() => bernoulliCusumLimit({ expected: [0.1], oddsRatio: 2, runLength: 0, random })).toThrow(
      RangeError,
    );
  });
});
