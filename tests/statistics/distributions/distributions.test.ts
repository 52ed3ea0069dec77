import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import * as beta from "../../../src/statistics/distributions/beta.ts";
import * as binomial from "../../../src/statistics/distributions/binomial.ts";
import * as chiSquare from "../../../src/statistics/distributions/chi-square.ts";
import * as f from "../../../src/statistics/distributions/f.ts";
import * as gamma from "../../../src/statistics/distributions/gamma.ts";
import * as hypergeometric from "../../../src/statistics/distributions/hypergeometric.ts";
import { logGamma } from "../../../src/statistics/distributions/log-gamma.ts";
import * as normal from "../../../src/statistics/distributions/normal.ts";
import * as poisson from "../../../src/statistics/distributions/poisson.ts";
import * as t from "../../../src/statistics/distributions/student-t.ts";

type Value = number | "Inf" | "-Inf" | null;
interface Table {
  readonly params: Readonly<Record<string, number>>;
  readonly x: Value[];
  readonly pdf: Value[];
  readonly log_pdf: Value[];
  readonly cdf: Value[];
  readonly upper: Value[];
  readonly log_cdf: Value[];
  readonly prob: Value[];
  readonly quantile: Value[];
  readonly quantile_upper: Value[];
}

// Reference: R 4.2.2, see the source line of the file.
const reference = JSON.parse(
  readFileSync(new URL("../../reference/distributions.json", import.meta.url), "utf8"),
) as { cases: Record<string, { tolerance: { rel: number; abs: number }; results: Table[] }> };

type Law = (x: number, ...parameters: number[]) => number;
interface Family {
  readonly density: Law;
  readonly logDensity?: Law;
  readonly cumulative: Law;
  readonly upper: Law;
  readonly logCumulative?: Law;
  readonly quantile: Law;
  readonly upperQuantile?: Law;
  readonly parameters?: (p: Readonly<Record<string, number>>) => number[];
}

const families: Record<string, Family> = {
  norm: {
    density: normal.normalDensity,
    logDensity: normal.normalLogDensity,
    cumulative: normal.normalCumulative,
    upper: normal.normalUpperTail,
    logCumulative: normal.normalLogCumulative,
    quantile: normal.normalQuantile,
    upperQuantile: normal.normalUpperQuantile,
    parameters: () => [],
  },
  t: {
    density: t.tDensity,
    logDensity: t.tLogDensity,
    cumulative: t.tCumulative,
    upper: t.tUpperTail,
    quantile: t.tQuantile,
    upperQuantile: t.tUpperQuantile,
  },
  chisq: {
    density: chiSquare.chiSquareDensity,
    logDensity: chiSquare.chiSquareLogDensity,
    cumulative: chiSquare.chiSquareCumulative,
    upper: chiSquare.chiSquareUpperTail,
    quantile: chiSquare.chiSquareQuantile,
    upperQuantile: chiSquare.chiSquareUpperQuantile,
  },
  f: {
    density: f.fDensity,
    cumulative: f.fCumulative,
    upper: f.fUpperTail,
    quantile: f.fQuantile,
    upperQuantile: f.fUpperQuantile,
  },
  beta: {
    density: beta.betaDensity,
    logDensity: beta.betaLogDensity,
    cumulative: beta.betaCumulative,
    upper: beta.betaUpperTail,
    quantile: beta.betaQuantile,
    upperQuantile: beta.betaUpperQuantile,
  },
  gamma: {
    density: gamma.gammaDensity,
    logDensity: gamma.gammaLogDensity,
    cumulative: gamma.gammaCumulative,
    upper: gamma.gammaUpperTail,
    logCumulative: gamma.gammaLogCumulative,
    quantile: gamma.gammaQuantile,
    upperQuantile: gamma.gammaUpperQuantile,
  },
  binom: {
    density: binomial.binomialProbability,
    logDensity: binomial.binomialLogProbability,
    cumulative: binomial.binomialCumulative,
    upper: binomial.binomialUpperTail,
    quantile: binomial.binomialQuantile,
  },
  pois: {
    density: poisson.poissonProbability,
    logDensity: poisson.poissonLogProbability,
    cumulative: poisson.poissonCumulative,
    upper: poisson.poissonUpperTail,
    quantile: poisson.poissonQuantile,
  },
  hyper: {
    density: hypergeometric.hypergeometricProbability,
    logDensity: hypergeometric.hypergeometricLogProbability,
    cumulative: hypergeometric.hypergeometricCumulative,
    upper: hypergeometric.hypergeometricUpperTail,
    quantile: hypergeometric.hypergeometricQuantile,
    parameters: (p) => [p.m! + p.n!, p.m!, p.k!],
  },
};

describe.each(Object.keys(families))("%s against R, tails included", (id) => {
  const family = families[id]!;
  const { tolerance, results } = reference.cases[id]!;
  test.each(results.map((table) => [JSON.stringify(table.params), table] as const))("%s", (_name, table) => {
    const parameters = (family.parameters ?? ((p) => Object.values(p)))(table.params);
    const compare = (law: Law | undefined, at: Value[], wanted: Value[], what: string) => {
      if (law === undefined) return;
      const misses = at.flatMap((value, i) => {
        const want = number(wanted[i]!);
        // R rounds values below the smallest normal double to zero; ours keep them. At the median of t it leaves a rounding error.
        if (want === null || (want !== 0 && Math.abs(want) < 1e-306)) return [];
        if (id === "t" && value === 0.5 && Math.abs(want) < 1e-15) return [];
        const got = law(number(value)!, ...parameters);
        const near =
          got === want ||
          Math.abs(got - want) <= tolerance.abs + tolerance.rel * Math.abs(want) ||
          (want === 0 && Math.abs(got) < 1e-300);
        return near ? [] : [`${what}(${value}) = ${got}, R has ${want}`];
      });
      expect(misses).toEqual([]);
    };
    compare(family.density, table.x, table.pdf, "density");
    compare(family.logDensity, table.x, table.log_pdf, "log density");
    compare(family.cumulative, table.x, table.cdf, "cumulative");
    compare(family.upper, table.x, table.upper, "upper tail");
    compare(family.logCumulative, table.x, table.log_cdf, "log cumulative");
    if (family.upperQuantile === undefined) {
      compare(family.quantile, table.prob, table.quantile, "quantile");
      return;
    }
    // Where the given tail is nearly one, R inverts to the precision of that tail only; the other tail, checked
    // just above, decides there.
    const sharp = (wanted: Value[]) => wanted.map((q, i) => (number(table.prob[i]!)! > 0.99 ? null : q));
    compare(family.quantile, table.prob, sharp(table.quantile), "quantile");
    compare(family.upperQuantile, table.prob, sharp(table.quantile_upper), "upper quantile");
    for (const p of [0.999, 1 - 1e-6, 1 - 1e-10]) {
      const q = 1 - p;
      const high = family.quantile(p, ...parameters);
      const crowdsOne = id === "beta" && high > 1 - 1e-6; // a double cannot tell such an x from its neighbours
      if (!crowdsOne) expect(family.upper(high, ...parameters) / q).toBeCloseTo(1, 8);
      const low = family.upperQuantile(p, ...parameters);
      if (low !== 0) expect(family.cumulative(low, ...parameters) / q).toBeCloseTo(1, 8);
    }
  });
});

test("log gamma against R lgamma", () => {
  const { x, lgamma } = reference.cases.special!.results[0] as unknown as {
    x: number[];
    lgamma: number[];
  };
  x.forEach((value, i) => {
    expect(Math.abs(logGamma(value) - lgamma[i]!)).toBeLessThanOrEqual(1e-13 + 1e-12 * Math.abs(lgamma[i]!));
  });
});

describe("Student's t in closed form", () => {
  // df = 1: cot(πq); df = 2: (1 − 2q)/√(2q(1 − q)) (Johnson, Kotz & Balakrishnan 1995).
  test.each([1e-290, 1e-200, 1e-40, 1e-9, 1e-4, 0.02, 0.2, 0.249, 0.251, 0.4, 0.4999])(
    "upper tail %d",
    (q) => {
      expect(t.tUpperQuantile(q, 1) * Math.tan(Math.PI * q)).toBeCloseTo(1, 11);
      expect((t.tUpperQuantile(q, 2) * Math.sqrt(2 * q * (1 - q))) / (1 - 2 * q)).toBeCloseTo(1, 11);
      expect(t.tUpperTail(1 / Math.tan(Math.PI * q), 1) / q).toBeCloseTo(1, 11);
    },
  );
  test("quantile and tail invert each other for any degrees of freedom", () => {
    for (const df of [0.1, 0.7, 1.3, 2.9, 17.2, 400, 4999, 5001, 1e5]) {
      for (const q of [1e-12, 1e-3, 0.025, 0.24, 0.26, 0.49]) {
        expect(t.tUpperTail(t.tUpperQuantile(q, df), df) / q).toBeCloseTo(1, 10);
      }
    }
  });
  test("symmetric, with ends; refused without degrees of freedom", () => {
    expect(t.tQuantile(0.9, 6.5)).toBeCloseTo(-t.tQuantile(0.1, 6.5), 12);
    expect(t.tQuantile(0.5, 3)).toBeCloseTo(0, 15);
    expect(t.tQuantile(0, 3)).toBe(-Infinity);
    expect(t.tQuantile(1, 3)).toBe(Infinity);
    expect(t.tCumulative(Infinity, 3)).toBe(1);
    expect(t.tTwoSided(0, 3)).toBeCloseTo(1, 15);
    expect(t.tQuantile(0.3, 0)).toBeNaN();
    expect(t.tCumulative(1, -2)).toBeNaN();
  });
});

describe("limits and impossible arguments", () => {
  test("t with infinitely many degrees of freedom is the normal; F with infinite df2 is chi-square over df1", () => {
    expect(t.tQuantile(0.975, Infinity)).toBe(normal.normalQuantile(0.975));
    expect(f.fUpperTail(2.5, 3, Infinity)).toBeCloseTo(chiSquare.chiSquareUpperTail(7.5, 3), 14);
    expect(f.fUpperTail(2.5, 3, 1e9)).toBeCloseTo(f.fUpperTail(2.5, 3, Infinity), 8);
  });
  test("the ends of the scale", () => {
    expect(normal.normalQuantile(0)).toBe(-Infinity);
    expect(normal.normalQuantile(1)).toBe(Infinity);
    expect(normal.normalQuantile(1.5)).toBeNaN();
    expect(gamma.gammaQuantile(0, 2, 1)).toBe(0);
    expect(gamma.gammaQuantile(1, 2, 1)).toBe(Infinity);
    expect(gamma.gammaCumulative(3, -1, 1)).toBeNaN();
    expect(binomial.binomialUpperTail(10, 10, 0.3)).toBe(0);
    expect(poisson.poissonUpperTail(-1, 3)).toBe(1);
  });
  test("a tail and its complement sum to one; quantiles invert both", () => {
    for (const shape of [0.05, 0.7, 3, 80, 4000, 2e6]) {
      for (const p of [1e-12, 0.03, 0.4, 0.6, 0.97]) {
        const x = gamma.gammaQuantile(p, shape, 2);
        expect(gamma.gammaCumulative(x, shape, 2) / p).toBeCloseTo(1, 9);
        expect(gamma.gammaCumulative(x, shape, 2) + gamma.gammaUpperTail(x, shape, 2)).toBeCloseTo(1, 12);
        expect(gamma.gammaUpperTail(gamma.gammaUpperQuantile(p, shape, 2), shape, 2) / p).toBeCloseTo(1, 9);
      }
    }
  });
});

function number(value: Value): number | null {
  return value === "Inf" ? Infinity : value === "-Inf" ? -Infinity : value;
}
