import { describe, expect, test } from "vitest";
import { binomialProbability } from "../../src/statistics/distributions/binomial.ts";
import { chiSquareUpperTail } from "../../src/statistics/distributions/chi-square.ts";
import { gammaCumulative } from "../../src/statistics/distributions/gamma.ts";
import { normalCumulative } from "../../src/statistics/distributions/normal.ts";
import { poissonProbability } from "../../src/statistics/distributions/poisson.ts";
import { Random, splitMix64 } from "../../src/statistics/random.ts";

describe("published sequences", () => {
  test("SplitMix64 from 1234567 (widely printed check sequence; from memory)", () => {
    expect(splitMix64(1234567n, 5)).toEqual([
      6457827717110365317n,
      3203168211198807973n,
      9817491932198370423n,
      4593380528125082431n,
      16408922859458223821n,
    ]);
  });

  // The authors' C code with state 1, 2, 3, 4 (check values of its ports; from memory).
  test("xoshiro256** from the state 1, 2, 3, 4", () => {
    const random = Random.fromState([1n, 2n, 3n, 4n]);
    expect(Array.from({ length: 10 }, () => random.bits64())).toEqual([
      11520n,
      0n,
      1509978240n,
      1215971899390074240n,
      1216172134540287360n,
      607988272756665600n,
      16172922978634559625n,
      8476171486693032832n,
      10595114339597558777n,
      2904607092377533576n,
    ]);
  });

  test("the 32-bit halves follow the 64-bit definition", () => {
    const mask = (1n << 64n) - 1n;
    const rotate = (x: bigint, k: bigint) => ((x << k) | (x >> (64n - k))) & mask;
    const s = splitMix64(99n, 4) as [bigint, bigint, bigint, bigint];
    const random = new Random(99);
    for (let i = 0; i < 200; i++) {
      const want = (rotate((s[1] * 5n) & mask, 7n) * 9n) & mask;
      const t = (s[1] << 17n) & mask;
      s[2] ^= s[0];
      s[3] ^= s[1];
      s[1] ^= s[2];
      s[0] ^= s[3];
      s[2] ^= t;
      s[3] = rotate(s[3], 45n);
      expect(random.bits64()).toBe(want);
    }
  });
});

describe("streams", () => {
  test("the same seed repeats, another differs, and a substream does not depend on what was drawn before", () => {
    const first = new Random(7);
    const again = new Random(7);
    expect(first.uniform()).toBe(again.uniform());
    expect(new Random(8).uniform()).not.toBe(new Random(7).uniform());
    for (let i = 0; i < 10; i++) first.uniform();
    expect(first.substream(3).uniform()).toBe(new Random(7).substream(3).uniform());
    const starts = new Set(Array.from({ length: 1000 }, (_, task) => first.substream(task).bits64()));
    expect(starts.size).toBe(1000);
  });
});

describe("draws follow their laws (chi-square of 20,000 draws, one chance in 10,000 each)", () => {
  const draws = 20_000;
  const cells = 40;

  test.each<[string, (random: Random) => number, (x: number) => number]>([
    ["uniform", (r) => r.uniform(), (x) => x],
    ["normal", (r) => r.normal(), normalCumulative],
    ["exponential", (r) => r.exponential(), (x) => -Math.expm1(-x)],
    ["gamma 0.3", (r) => r.gamma(0.3, 2), (x) => gammaCumulative(x, 0.3, 2)],
    ["gamma 7.5", (r) => r.gamma(7.5, 0.1), (x) => gammaCumulative(x, 7.5, 0.1)],
    ["chi-square 3", (r) => r.chiSquare(3), (x) => gammaCumulative(x, 1.5, 0.5)],
  ])("%s", (_name, draw, cumulative) => {
    const random = new Random(20260101);
    const counts = new Float64Array(cells);
    for (let i = 0; i < draws; i++)
      counts[Math.min(cells - 1, Math.floor(cumulative(draw(random)) * cells))]! += 1;
    const statistic = counts.reduce((sum, n) => sum + (n - draws / cells) ** 2 / (draws / cells), 0);
    expect(chiSquareUpperTail(statistic, cells - 1)).toBeGreaterThan(1e-4);
  });

  test.each<[string, (random: Random) => number, (k: number) => number]>([
    ["Poisson 0.4", (r) => r.poisson(0.4), (k) => poissonProbability(k, 0.4)],
    ["Poisson 9.5", (r) => r.poisson(9.5), (k) => poissonProbability(k, 9.5)],
    ["Poisson 60", (r) => r.poisson(60), (k) => poissonProbability(k, 60)],
    ["binomial 12, 0.3", (r) => r.binomial(12, 0.3), (k) => binomialProbability(k, 12, 0.3)],
    ["binomial 400, 0.7", (r) => r.binomial(400, 0.7), (k) => binomialProbability(k, 400, 0.7)],
    ["integer of 6", (r) => r.integer(6), (k) => (k < 6 ? 1 / 6 : 0)],
  ])("%s", (_name, draw, probability) => {
    const random = new Random(20260102);
    const counts = new Map<number, number>();
    for (let i = 0; i < draws; i++) {
      const k = draw(random);
      counts.set(k, (counts.get(k) ?? 0) + 1);
    }
    let statistic = 0;
    let df = -1;
    let restSeen = draws;
    let restExpected = draws;
    for (let k = 0; k < 500; k++) {
      const expected = draws * probability(k);
      if (expected < 5) continue;
      const seen = counts.get(k) ?? 0;
      statistic += (seen - expected) ** 2 / expected;
      df++;
      restSeen -= seen;
      restExpected -= expected;
    }
    if (restExpected > 1) {
      statistic += (restSeen - restExpected) ** 2 / restExpected;
      df++;
    }
    expect(chiSquareUpperTail(statistic, df)).toBeGreaterThan(1e-4);
  });

  test("shuffle: all 24 orders of four are equally likely, nothing is lost", () => {
    const random = new Random(3);
    const counts = new Map<string, number>();
    for (let i = 0; i < 24_000; i++) {
      const order = random.shuffle([0, 1, 2, 3]).join("");
      counts.set(order, (counts.get(order) ?? 0) + 1);
    }
    expect(counts.size).toBe(24);
    const statistic = [...counts.values()].reduce((sum, n) => sum + (n - 1000) ** 2 / 1000, 0);
    expect(chiSquareUpperTail(statistic, 23)).toBeGreaterThan(1e-4);
  });
});

test("ends and impossible arguments", () => {
  const random = new Random(1);
  expect(random.poisson(0)).toBe(0);
  expect(random.binomial(9, 0)).toBe(0);
  expect(random.binomial(9, 1)).toBe(9);
  expect(random.binomial(0, 0.5)).toBe(0);
  expect(random.integer(1)).toBe(0);
  expect(() => random.integer(0)).toThrow(RangeError);
  expect(() => random.poisson(-1)).toThrow(RangeError);
  expect(() => random.binomial(3, 1.2)).toThrow(RangeError);
  expect(() => random.gamma(0)).toThrow(RangeError);
  expect(() => Random.fromState([0n, 0n, 0n, 0n])).toThrow(RangeError);
});
