import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { gaussHermite, gaussLegendre, gaussNormal } from "../../src/statistics/quadrature.ts";

interface Rule {
  readonly n: number;
  readonly nodes: number[];
  readonly weights: number[];
}

// Reference: statmod 1.5.0 gauss.quad, see the source line of the file.
const { cases } = JSON.parse(
  readFileSync(new URL("../reference/distributions.json", import.meta.url), "utf8"),
) as { cases: Record<"gauss_hermite" | "gauss_legendre", { results: Rule[] }> };

describe.each([
  ["gauss_hermite", gaussHermite],
  ["gauss_legendre", gaussLegendre],
] as const)("%s", (id, rule) => {
  test.each(cases[id].results)("$n points", ({ n, nodes, weights }) => {
    const got = rule(n);
    nodes.forEach((node, i) => {
      expect(Math.abs(got.nodes[i]! - node)).toBeLessThanOrEqual(1e-12 + 1e-9 * Math.abs(node));
      expect(Math.abs(got.weights[i]! - weights[i]!)).toBeLessThanOrEqual(1e-12 + 1e-9 * weights[i]!);
    });
  });
});

test("moments of the standard normal: 1, 0, 1, 0, 3, 0, 15", () => {
  const { nodes, weights } = gaussNormal(32);
  const moment = (power: number) => nodes.reduce((sum, x, i) => sum + weights[i]! * x ** power, 0);
  [1, 0, 1, 0, 3, 0, 15].forEach((want, power) => {
    expect(moment(power)).toBeCloseTo(want, 11);
  });
});

test("one point sits in the middle; no points is refused", () => {
  expect([...gaussNormal(1).nodes]).toEqual([0]);
  expect(gaussNormal(1).weights[0]).toBeCloseTo(1, 15);
  expect(() => gaussHermite(0)).toThrow(RangeError);
});
