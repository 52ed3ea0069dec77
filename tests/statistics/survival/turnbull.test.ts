import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { Random } from "../../../src/statistics/random.ts";
import { kaplanMeier } from "../../../src/statistics/survival/kaplan-meier.ts";
import {
  curveSteps,
  survivalAt,
  survivalAtEdge,
  timeOfFraction,
  unknownRegions,
} from "../../../src/statistics/survival/step-curve.ts";
import { type TurnbullFit, turnbull } from "../../../src/statistics/survival/turnbull.ts";
import { radiotherapy, withChemotherapy } from "../../reference/breast-cosmesis.ts";
import reference from "../../reference/survival.json" with { type: "json" };

describe("breast cosmesis as KMsurv ships it (some exact times), against long self-consistency", () => {
  const { lower, upper, treat } = reference.datasets.bcdeter;
  test.each([
    ["turnbull_bcdeter_treat1", [1]],
    ["turnbull_bcdeter_treat2", [2]],
    ["turnbull_bcdeter_treat12", [1, 2]],
  ] as const)("%s", (id, arms) => {
    const rows = Array.from(treat.keys()).filter((i) => (arms as readonly number[]).includes(treat[i]!));
    const fit = converged({
      left: rows.map((i) => lower[i] ?? 0),
      right: rows.map((i) => upper[i] ?? Infinity),
    });
    const want = reference.cases[id];
    expect(fit.masses.length).toBe(want.mass.length);
    expect([...fit.right]).toEqual(want.right);
    want.mass.forEach((mass, j) => {
      expect(Math.abs(fit.masses[j]! - mass)).toBeLessThan(1e-8);
      expect(Math.abs(survivalAtEdge(fit, want.right[j]!, "right") - want.surv_after[j]!)).toBeLessThan(1e-8);
    });
    expect(fit.logLikelihood).toBeCloseTo(want.logLik, 8);
  });
});

// Masses from memory, recomputed.
describe("breast cosmesis as printed (Finkelstein & Wolfe 1985)", () => {
  test.each([
    [
      radiotherapy,
      46,
      [
        [4, 5, 0.0463],
        [6, 7, 0.0334],
        [7, 8, 0.0887],
        [11, 12, 0.0708],
        [24, 25, 0.0926],
        [33, 34, 0.0818],
        [38, 40, 0.1209],
        [46, 48, 0.4656],
      ],
      -58.06,
    ],
    [
      withChemotherapy,
      48,
      [
        [4, 5, 0.0433],
        [5, 8, 0.0433],
        [11, 12, 0.0692],
        [16, 17, 0.1454],
        [18, 19, 0.1411],
        [19, 20, 0.1157],
        [24, 25, 0.0999],
        [30, 31, 0.0709],
        [35, 36, 0.1608],
        [44, 48, 0.0552],
        [48, 60, 0.0552],
      ],
      -65.637,
    ],
  ])("masses", (intervals, rows, printed, logLikelihood) => {
    const fit = converged(intervals);
    expect(fit.rows).toBe(rows);
    const held = Array.from(fit.masses.keys()).filter((j) => fit.masses[j]! > 1e-9);
    expect(held.map((j) => [fit.left[j], fit.right[j], Math.round(fit.masses[j]! * 1e4) / 1e4])).toEqual(
      printed,
    );
    expect(fit.logLikelihood).toBeCloseTo(logLikelihood, 4);
  });
});

describe("properties", () => {
  const row = fc
    .tuple(fc.integer({ min: 0, max: 12 }), fc.integer({ min: 0, max: 9 }), fc.integer({ min: 1, max: 3 }))
    .map(([left, width, weight]) => ({
      left,
      right: width === 9 ? Infinity : left + width === 0 ? 1 : left + width,
      weight,
    }));
  const rows = fc
    .array(row, { minLength: 1, maxLength: 25 })
    .filter((all) => all.some((r) => r.right < Infinity));
  const columns = (all: readonly { left: number; right: number; weight: number }[]) => ({
    left: all.map((r) => r.left),
    right: all.map((r) => r.right),
    weights: all.map((r) => r.weight),
  });

  test("the optimality condition holds, by brute force", () => {
    fc.assert(
      fc.property(rows, (all) => {
        const fit = converged(columns(all));
        const covers = (r: { left: number; right: number }, j: number) =>
          r.right >= fit.right[j]! &&
          (r.left < fit.left[j]! ||
            (r.left === fit.left[j]! && (r.left < r.right ? fit.left[j]! < fit.right[j]! : true)));
        const places = Array.from(fit.masses.keys());
        const mass = all.map((r) => places.reduce((sum, j) => sum + (covers(r, j) ? fit.masses[j]! : 0), 0));
        const total = all.reduce((sum, r) => sum + r.weight, 0);
        expect(fit.masses.reduce((sum, m) => sum + m, 0)).toBeCloseTo(1, 10);
        for (const j of places) {
          const slope = all.reduce((sum, r, i) => sum + (covers(r, j) ? r.weight / mass[i]! : 0), 0) / total;
          expect(slope).toBeLessThanOrEqual(1 + 1e-6);
          if (fit.masses[j]! > 1e-4) expect(slope).toBeGreaterThan(1 - 1e-4);
        }
        const value = all.reduce((sum, r, i) => sum + r.weight * Math.log(mass[i]!), 0);
        expect(fit.logLikelihood).toBeCloseTo(value, 8);
      }),
      { numRuns: 150, seed: 11 },
    );
  });

  test("order of rows, weights as repeats, and the unit of time do not matter", () => {
    fc.assert(
      fc.property(rows, (all) => {
        const fit = converged(columns(all));
        const repeated = all.flatMap((r) => Array.from({ length: r.weight }, () => ({ ...r, weight: 1 })));
        const scaled = repeated.reverse().map((r) => ({ ...r, left: r.left * 7, right: r.right * 7 }));
        const other = converged(columns(scaled));
        expect(other.logLikelihood).toBeCloseTo(fit.logLikelihood, 7);
        expect([...other.left]).toEqual([...fit.left].map((x) => 7 * x));
        fit.masses.forEach((mass, j) => {
          expect(Math.abs(other.masses[j]! - mass)).toBeLessThan(1e-4);
        });
      }),
      { numRuns: 100, seed: 12 },
    );
  });

  test("with exact and right-censored times it is Kaplan and Meier's curve", () => {
    const random = new Random(5);
    const time = Array.from({ length: 60 }, () => 1 + random.integer(20));
    const event = time.map(() => (random.bernoulli(0.6) ? 1 : 0));
    const product = kaplanMeier({ time, event });
    const fit = converged({ left: time, right: time.map((t, i) => (event[i] === 1 ? t : Infinity)) });
    if (product.verdict !== "converged") throw new Error("no product-limit curve");
    product.time.forEach((t, k) => {
      expect(survivalAt(fit, t).lowest).toBeCloseTo(product.survival[k]!, 9);
    });
  });

  test("four thousand intervals with ends all different: optimal to 1e-9", () => {
    const random = new Random(6);
    const left: number[] = [];
    const right: number[] = [];
    for (let i = 0; i < 4000; i++) {
      const t = 100 * random.exponential() ** 0.7;
      let from = 0;
      let to = 0;
      while (to < t && from < 150) {
        from = to;
        to = from + 60 * random.uniform();
      }
      left.push(t > to ? to : from);
      right.push(t > to ? Infinity : to);
    }
    const fit = converged({ left, right });
    expect(fit.gap).toBeLessThan(1e-9);
    // Against the law the times were drawn from: uniformly close at the known cube-root rate.
    for (const t of [20, 50, 100, 140]) {
      expect(Math.abs(survivalAt(fit, t).lowest - Math.exp(-((t / 100) ** (1 / 0.7))))).toBeLessThan(0.08);
    }
  });
});

describe("reading the curve", () => {
  const curve = {
    left: Float64Array.from([2, 5, 8]),
    right: Float64Array.from([4, 5, Infinity]),
    masses: Float64Array.from([0.3, 0.2, 0.5]),
  };
  test("known outside the intervals, a range inside", () => {
    expect(survivalAt(curve, 2)).toEqual({ lowest: 1, highest: 1 });
    expect(survivalAt(curve, 3)).toEqual({ lowest: 0.7, highest: 1 });
    expect(survivalAt(curve, 4)).toEqual({ lowest: 0.7, highest: 0.7 });
    expect(survivalAt(curve, 5)).toEqual({ lowest: 0.5, highest: 0.5 });
    expect(survivalAt(curve, 9)).toEqual({ lowest: 0, highest: 0.5 });
    expect(unknownRegions(curve)).toEqual([
      { from: 2, to: 4 },
      { from: 8, to: Infinity },
    ]);
  });
  test("times of fractions", () => {
    expect(timeOfFraction(curve, 0.1)).toEqual({ from: 2, to: 4 });
    expect(timeOfFraction(curve, 0.5)).toEqual({ from: 5, to: 5 });
    expect(timeOfFraction(curve, 0.9)).toEqual({ from: 8, to: Infinity });
    expect(() => timeOfFraction(curve, 1)).toThrow(RangeError);
  });
  test("corners at both edges", () => {
    const left = curveSteps(curve, "left");
    expect([...left.time]).toEqual([2, 5, 8]);
    [0.7, 0.5, 0].forEach((s, k) => {
      expect(left.survival[k]).toBeCloseTo(s, 14);
    });
    expect([...curveSteps(curve, "right").time]).toEqual([4, 5]);
  });
});

describe("what cannot be told", () => {
  test("no rows, all right-censored, impossible rows", () => {
    expect(turnbull({ left: [], right: [] })).toMatchObject({ verdict: "failed", trouble: "no_rows" });
    expect(turnbull({ left: [1], right: [2], weights: [0] })).toMatchObject({ trouble: "no_rows" });
    expect(turnbull({ left: [3, 9], right: [Infinity, Infinity] })).toMatchObject({
      verdict: "flat",
      trouble: "all_censored",
    });
    expect(turnbull({ left: [3], right: [2] })).toMatchObject({ trouble: "invalid_input" });
    expect(turnbull({ left: [Number.NaN], right: [2] })).toMatchObject({ trouble: "invalid_input" });
    expect(turnbull({ left: [1], right: [2, 3] })).toMatchObject({ trouble: "invalid_input" });
  });
  test("one animal, and one value for all", () => {
    const one = converged({ left: [10], right: [24] });
    expect(timeOfFraction(one, 0.5)).toEqual({ from: 10, to: 24 });
    const same = converged({ left: [30, 30, 30], right: [30, 30, 30] });
    expect(survivalAt(same, 29.9)).toEqual({ lowest: 1, highest: 1 });
    expect(survivalAt(same, 30)).toEqual({ lowest: 0, highest: 0 });
  });
});

function converged(input: Parameters<typeof turnbull>[0]): TurnbullFit {
  const fit = turnbull(input);
  expect(fit).toMatchObject({ verdict: "converged" });
  return fit as TurnbullFit;
}
