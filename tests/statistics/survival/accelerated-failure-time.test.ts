import { describe, expect, test } from "vitest";
import { normalUpperQuantile } from "../../../src/statistics/distributions/normal.ts";
import { tUpperQuantile } from "../../../src/statistics/distributions/student-t.ts";
import { Random } from "../../../src/statistics/random.ts";
import {
  type AftFit,
  acceleratedFailureTime,
} from "../../../src/statistics/survival/accelerated-failure-time.ts";
import {
  aftQuantile,
  aftSurvival,
  clusterUncertainty,
  timeRatio,
} from "../../../src/statistics/survival/aft-inference.ts";
import { type AftInput, aftObjective, parseAft } from "../../../src/statistics/survival/aft-likelihood.ts";
import type { AftDistribution } from "../../../src/statistics/survival/error-law.ts";
import { radiotherapy, withChemotherapy } from "../../reference/breast-cosmesis.ts";
import reference from "../../reference/survival.json" with { type: "json" };

const { lung, bcdeter, tobin } = reference.datasets;
const distributions: AftDistribution[] = ["exponential", "weibull", "lognormal", "loglogistic"];

function lungInput(distribution: AftDistribution, rows = Array.from(lung.time.keys())): AftInput {
  return {
    distribution,
    names: ["intercept", "age", "sex"],
    columns: [rows.map(() => 1), rows.map((i) => lung.age[i]!), rows.map((i) => lung.sex[i]!)],
    left: rows.map((i) => lung.time[i]!),
    right: rows.map((i) => (lung.status[i] === 2 ? lung.time[i]! : Infinity)),
  };
}

function cosmesisInput(distribution: AftDistribution): AftInput {
  return {
    distribution,
    names: ["intercept", "chemotherapy"],
    columns: [bcdeter.treat.map(() => 1), bcdeter.treat.map((t) => (t === 2 ? 1 : 0))],
    left: bcdeter.lower.map((x) => x ?? 0),
    right: bcdeter.upper.map((x) => x ?? Infinity),
  };
}

describe.each(distributions)("%s against R survreg", (distribution) => {
  test.each([
    ["lung, right-censored", lungInput(distribution), reference.cases[`aft_lung_${distribution}`]],
    [
      "breast cosmesis, exact, left-, right- and interval-censored",
      cosmesisInput(distribution),
      reference.cases[`aft_interval_bcdeter_${distribution}`],
    ],
  ])("%s", (_name, input, want) => {
    const fit = converged(input);
    near(fit.coefficients, Object.values(want.coef), 1e-6);
    near([fit.scale], [want.scale], 1e-6);
    near(fit.covariance.values, want.vcov.row_major, 1e-5);
    near(fit.standardErrors, Object.values(want.se), 1e-5);
    near([fit.logLikelihood, fit.aic], [want.logLik, want.AIC], 1e-8);
    expect(fit.parameters).toBe(want.df);
    const rows = Array.from({ length: 10 }, (_, i) => input.columns.map((column) => column[i]!));
    near(
      rows.map((x) => aftQuantile(fit, x, 0.5).estimate),
      want.predict_median_first,
      1e-6,
    );
    near(
      want.predict_quantiles_first_row.p.map((p) => aftQuantile(fit, rows[0]!, p).estimate),
      want.predict_quantiles_first_row.q,
      1e-6,
    );
  });
});

test("Tobin's data: a lognormal model of exp(y), left-censored, is R's gaussian model of y", () => {
  const want = reference.cases.aft_tobin_gaussian_left;
  const seen = tobin.durable.map((y) => y > 0);
  const fit = converged({
    distribution: "lognormal",
    names: ["intercept", "age", "quant"],
    columns: [tobin.durable.map(() => 1), tobin.age, tobin.quant],
    left: tobin.durable.map((y, i) => (seen[i] ? Math.exp(y) : 0)),
    right: tobin.durable.map((y) => Math.exp(y)),
  });
  near(fit.coefficients, Object.values(want.coef), 1e-6);
  near([fit.scale], [want.scale], 1e-6);
  near(fit.covariance.values, want.vcov.row_major, 1e-5);
  const jacobian = tobin.durable.reduce((sum, y, i) => sum + (seen[i] ? y : 0), 0);
  expect(fit.logLikelihood + jacobian).toBeCloseTo(want.logLik, 7);
});

test("cluster-robust errors against R survreg with cluster(inst), which has no factor G/(G − 1)", () => {
  const want = reference.cases.aft_lung_weibull_cluster;
  const placed = Array.from(lung.time.keys()).filter((i) => lung.inst[i] !== null);
  const fit = converged(lungInput("weibull", placed));
  near(fit.coefficients, Object.values(want.coef), 1e-6);
  near(fit.standardErrors, want.naive_se, 1e-5);
  const robust = clusterUncertainty(
    fit,
    placed.map((i) => lung.inst[i]!),
  );
  if ("verdict" in robust) throw new Error(robust.detail);
  near(
    robust.standardErrors.map((se) => se / Math.sqrt(robust.factor)),
    want.robust_se,
    1e-5,
  );
  expect(robust.df).toBe(robust.clusters - 1);
  expect(robust.factor).toBeCloseTo(robust.clusters / (robust.clusters - 1), 14);
});

// Freireich et al. (1963), 6-MP against placebo; figures from memory, recomputed.
test("Weibull model of remission of leukaemia", () => {
  const drug = "6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+".split(" ");
  const placebo = "1 1 2 2 3 4 4 5 5 8 8 8 8 11 11 12 12 15 17 22 23".split(" ");
  const entries = [...drug, ...placebo];
  const times = {
    distribution: "weibull" as const,
    left: entries.map((entry) => Number.parseFloat(entry)),
    right: entries.map((entry) => (entry.endsWith("+") ? Infinity : Number(entry))),
  };
  const intercept = entries.map(() => 1);
  const fit = converged({
    ...times,
    names: ["intercept", "drug"],
    columns: [intercept, entries.map((_, i) => (i < 21 ? 1 : 0))],
  });
  expect([...fit.coefficients].map((b) => Number(b.toFixed(4)))).toEqual([2.2484, 1.2673]);
  expect([...fit.standardErrors].slice(0, 2).map((b) => Number(b.toFixed(3)))).toEqual([0.166, 0.311]);
  expect(fit.scale).toBeCloseTo(0.7322, 4);
  expect(fit.logLikelihood).toBeCloseTo(-106.579, 3);
  expect(timeRatio(fit, "drug").estimate).toBeCloseTo(3.551, 3);
  expect(Math.exp(-fit.coefficients[1]! / fit.scale)).toBeCloseTo(0.1771, 4);
  const none = converged({ ...times, names: ["intercept"], columns: [intercept] });
  expect(none.logLikelihood).toBeCloseTo(-116.405, 3);
  expect(2 * (fit.logLikelihood - none.logLikelihood)).toBeCloseTo(19.652, 2);
});

// Finkelstein & Wolfe (1985) data, both arms; figures recomputed.
test("Weibull model of breast retraction", () => {
  const left = [...radiotherapy.left, ...withChemotherapy.left];
  const fit = converged({
    distribution: "weibull",
    names: ["intercept", "chemotherapy"],
    columns: [left.map(() => 1), left.map((_, i) => (i < radiotherapy.left.length ? 0 : 1))],
    left,
    right: [...radiotherapy.right, ...withChemotherapy.right],
  });
  expect([...fit.coefficients, fit.scale].map((b) => Number(b.toFixed(4)))).toEqual([
    3.8993, -0.5676, 0.6193,
  ]);
  expect([...fit.standardErrors].slice(0, 2).map((b) => Number(b.toFixed(4)))).toEqual([0.1405, 0.1757]);
  expect(fit.logLikelihood).toBeCloseTo(-143.321, 3);
  expect(Math.exp(-fit.coefficients[1]! / fit.scale)).toBeCloseTo(2.5, 3);
});

describe("exact derivatives against differences of the objective", () => {
  const rows = [
    [0, 5],
    [3, 3],
    [2, 2.001],
    [4, Infinity],
    [1, 90],
    [0, 400],
    [300, 310],
    [0.001, 0.002],
  ];
  const data = (distribution: AftDistribution) => {
    const parsed = parseAft({
      distribution,
      names: ["intercept", "x"],
      columns: [rows.map(() => 1), rows.map((_, i) => i - 3.5)],
      left: rows.map(([left]) => left!),
      right: rows.map(([, right]) => right!),
      weights: rows.map((_, i) => 1 + (i % 3)),
    });
    if ("verdict" in parsed) throw new Error(parsed.detail);
    return parsed;
  };
  test.each(distributions)("%s", (distribution) => {
    const point = Float64Array.from(distribution === "exponential" ? [1.2, 0.1] : [1.2, 0.1, -0.2]);
    const at = (shift: number, j: number) => {
      const moved = point.slice();
      moved[j]! += shift;
      return aftObjective(data(distribution), moved)!;
    };
    const here = at(0, 0);
    const h = 1e-5;
    point.forEach((_, j) => {
      const slope = (at(h, j).value - at(-h, j).value) / (2 * h);
      near([here.gradient[j]!], [slope], 1e-6);
      point.forEach((__, k) => {
        const curve = (at(h, j).gradient[k]! - at(-h, j).gradient[k]!) / (2 * h);
        near([here.hessian.values[j * point.length + k]!], [curve], 1e-6);
      });
    });
  });

  test.each(distributions)("%s: finite far from the data", (distribution) => {
    for (const intercept of [-40, 40]) {
      const point = Float64Array.from([intercept, 0, 0].slice(0, distribution === "exponential" ? 2 : 3));
      const there = aftObjective(data(distribution), point);
      if (there !== null)
        expect([...there.gradient, ...there.hessian.values].every(Number.isFinite)).toBe(true);
    }
  });
});

/** Spells with two covariates, checked every few weeks. */
function spells(distribution: AftDistribution, seed = 9): AftInput {
  const random = new Random(seed);
  const left: number[] = [];
  const right: number[] = [];
  const wet: number[] = [];
  const age: number[] = [];
  for (let i = 0; i < 150; i++) {
    wet.push(random.bernoulli(0.5) ? 1 : 0);
    age.push(1 + 7 * random.uniform());
    const t = 50 * Math.exp(-0.3 * wet[i]! + 0.05 * age[i]!) * random.exponential() ** 0.6;
    const gap = 10 + random.integer(15);
    const end = gap * 6;
    if (i % 10 === 0) {
      left.push(t);
      right.push(t);
    } else {
      left.push(t > end ? end : gap * Math.floor(t / gap));
      right.push(t > end ? Infinity : gap * Math.floor(t / gap) + gap);
    }
  }
  return {
    distribution,
    names: ["intercept", "wet", "age"],
    columns: [wet.map(() => 1), wet, age],
    left,
    right,
  };
}

describe.each(distributions)("%s: what may not matter", (distribution) => {
  const input = spells(distribution);
  const rows = Array.from(input.left as number[]).map((_, i) => i);
  const fit = converged(input);

  test("the unit of time moves the intercept alone", () => {
    const days = (column: ArrayLike<number>) => Array.from(column, (x) => 7 * x);
    const other = converged({ ...input, left: days(input.left), right: days(input.right) });
    near(
      other.coefficients,
      [...fit.coefficients].map((b, j) => b + (j === 0 ? Math.log(7) : 0)),
      1e-7,
    );
    expect(other.scale).toBeCloseTo(fit.scale, 7);
    const exact = rows.filter((i) => input.left[i] === input.right[i]).length;
    expect(other.logLikelihood).toBeCloseTo(fit.logLikelihood - exact * Math.log(7), 6);
  });

  test("order of rows; weights as repeats; rows of weight zero", () => {
    const order = new Random(2).shuffle([...rows, ...rows]);
    const pick = (column: ArrayLike<number>) => order.map((i) => column[i]!);
    const twice = converged({
      ...input,
      left: pick(input.left),
      right: pick(input.right),
      columns: input.columns.map(pick),
    });
    const weighted = converged({ ...input, weights: rows.map(() => 2) });
    near(twice.coefficients, fit.coefficients, 1e-6);
    near(weighted.covariance.values, twice.covariance.values, 1e-6);
    expect(weighted.logLikelihood).toBeCloseTo(2 * fit.logLikelihood, 6);
    const padded = converged({
      ...input,
      left: [...Array.from(input.left), 5],
      right: [...Array.from(input.right), 6],
      columns: input.columns.map((column) => [...Array.from(column), 99]),
      weights: [...rows.map(() => 1), 0],
    });
    near(padded.coefficients, fit.coefficients, 1e-9);
  });

  test("each row its own cluster or all rows doubled within clusters", () => {
    const own = clusterUncertainty(fit, rows);
    const label = clusterUncertainty(
      fit,
      rows.map((i) => 5000 - i),
    );
    expect(own).toEqual(label);
    const doubled = converged({ ...input, weights: rows.map(() => 2) });
    const twice = clusterUncertainty(doubled, rows);
    if ("verdict" in own || "verdict" in twice) throw new Error("no clusters");
    near(twice.standardErrors, own.standardErrors, 1e-5);
  });
});

describe("reading a fit", () => {
  const input = spells("weibull");
  const fit = converged(input);
  const x = [1, 1, 4];

  test("quantile and survival invert each other, limits included", () => {
    for (const p of [0.1, 0.5, 0.9]) {
      const { estimate } = aftQuantile(fit, x, p);
      expect(aftSurvival(fit, x, estimate).estimate).toBeCloseTo(1 - p, 10);
    }
    expect(aftSurvival(fit, x, 0)).toEqual({ estimate: 1, lo: 1, hi: 1 });
    const { lo, estimate, hi } = aftSurvival(fit, x, 30);
    expect(lo).toBeLessThan(estimate);
    expect(estimate).toBeLessThan(hi);
    expect(() => aftQuantile(fit, [1], 0.5)).toThrow(RangeError);
    expect(() => aftQuantile(fit, x, 0)).toThrow(RangeError);
  });

  test("moving the intercept to a pattern gives the delta-method error of its median", () => {
    // With covariates measured from x the median's log is intercept + σ·w.
    const centred = converged({
      ...input,
      columns: [input.columns[0]!, ...[1, 2].map((j) => Array.from(input.columns[j]!, (v) => v - x[j]!))],
    });
    const w = Math.log(Math.LN2);
    const [v00, v03, v33] = [0, 3, 15].map((k) => centred.covariance.values[k]!) as [number, number, number];
    const se = Math.sqrt(v00 + 2 * centred.scale * w * v03 + (centred.scale * w) ** 2 * v33);
    const { estimate, hi } = aftQuantile(fit, x, 0.5);
    expect(Math.log(hi / estimate)).toBeCloseTo(normalUpperQuantile(0.025) * se, 6);
  });

  test("time ratio, with t on clusters − 1", () => {
    const robust = clusterUncertainty(
      fit,
      Array.from(input.left, (_, i) => i % 12),
    );
    if ("verdict" in robust) throw new Error(robust.detail);
    const got = timeRatio(fit, "wet", robust);
    expect(Math.log(got.hi / got.estimate)).toBeCloseTo(
      tUpperQuantile(0.025, 11) * robust.standardErrors[1]!,
      10,
    );
    expect(got.p).toBeGreaterThan(0);
    expect(() => timeRatio(fit, "dry")).toThrow(RangeError);
  });
});

test("many rows: the fit of a part only starts the search", () => {
  const few = spells("weibull");
  const repeat = (column: ArrayLike<number>) => Array.from({ length: 60_000 }, (_, i) => column[i % 150]!);
  const many = converged({
    ...few,
    left: repeat(few.left),
    right: repeat(few.right),
    columns: few.columns.map(repeat),
  });
  near(many.coefficients, converged(few).coefficients, 1e-7);
});

describe("what cannot be told", () => {
  const one = (left: number[], right: number[], distribution: AftDistribution = "weibull") =>
    acceleratedFailureTime({ distribution, names: ["intercept"], columns: [left.map(() => 1)], left, right });

  test("no rows, nothing bounded above, nothing bounded below", () => {
    expect(one([], [])).toMatchObject({ verdict: "failed", trouble: "no_rows" });
    expect(one([5, 9, 12], [Infinity, Infinity, Infinity])).toMatchObject({
      verdict: "flat",
      trouble: "all_censored",
    });
    expect(one([0, 0, 0], [5, 9, 12])).toMatchObject({ verdict: "flat", trouble: "all_censored" });
  });

  test("one animal; the same time for all; one time that fits every interval", () => {
    expect(one([5], [9])).toMatchObject({ trouble: "too_few_rows" });
    for (const distribution of ["weibull", "lognormal", "loglogistic"] as const) {
      expect(one([30, 30, 30, 30], [30, 30, 30, 30], distribution)).toMatchObject({
        trouble: "constant_outcome",
      });
      expect(one([10, 20, 0, 25], [40, 50, 60, 70], distribution)).toMatchObject({ verdict: "failed" });
    }
  });

  test("a group that never has the event has no finite time ratio", () => {
    const fit = acceleratedFailureTime({
      distribution: "weibull",
      names: ["intercept", "dry"],
      columns: [
        [1, 1, 1, 1, 1, 1, 1, 1],
        [0, 0, 0, 0, 0, 1, 1, 1],
      ],
      left: [10, 20, 30, 25, 40, 50, 60, 70],
      right: [20, 30, 40, 25, 50, Infinity, Infinity, Infinity],
    });
    expect(fit).toMatchObject({ trouble: "perfect_separation", detail: expect.stringContaining("dry") });
  });

  test("collinear or malformed covariates", () => {
    const base = { distribution: "weibull" as const, left: [1, 2, 3, 4], right: [2, 3, 5, Infinity] };
    const ones = [1, 1, 1, 1];
    expect(
      acceleratedFailureTime({ ...base, names: ["intercept", "again"], columns: [ones, [2, 2, 2, 2]] }),
    ).toMatchObject({ trouble: "rank_deficient", detail: "again" });
    expect(
      acceleratedFailureTime({ ...base, names: ["intercept", "x"], columns: [ones, [1, Number.NaN, 2, 3]] }),
    ).toMatchObject({ trouble: "invalid_input" });
    expect(acceleratedFailureTime({ ...base, names: [], columns: [] })).toMatchObject({
      trouble: "invalid_input",
    });
    expect(acceleratedFailureTime({ ...base, names: ["a"], columns: [[1]] })).toMatchObject({
      trouble: "invalid_input",
    });
  });

  test("one cluster", () => {
    const fit = converged(spells("weibull"));
    expect(clusterUncertainty(fit, new Int32Array(150))).toMatchObject({ trouble: "too_few_groups" });
    expect(clusterUncertainty(fit, [1, 2])).toMatchObject({ trouble: "invalid_input" });
  });
});

function converged(input: AftInput): AftFit {
  const fit = acceleratedFailureTime(input);
  expect(fit).toMatchObject({ verdict: "converged" });
  return fit as AftFit;
}

function near(got: ArrayLike<number>, want: ArrayLike<number>, relative: number) {
  expect(got.length).toBe(want.length);
  for (let i = 0; i < want.length; i++) {
    expect(Math.abs(got[i]! - want[i]!)).toBeLessThanOrEqual(1e-9 + relative * Math.abs(want[i]!));
  }
}
