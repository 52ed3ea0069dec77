import { describe, expect, it } from "vitest";
import { findRoot } from "../../../src/statistics/optimise/root.ts";

describe("zeros of a function of one variable", () => {
  it("solves cos x = x (Dottie's number 0.7390851332…)", () => {
    const result = findRoot((x) => Math.cos(x) - x, 0, 1);
    expect(result.found && result.root).toBeCloseTo(0.7390851332151607, 12);
    expect(result.evaluations).toBeLessThan(12);
  });

  it("solves Wallis's cubic x³ − 2x − 5 = 0 (2.0945514815…)", () => {
    const result = findRoot((x) => x ** 3 - 2 * x - 5, 2, 3);
    expect(result.found && result.root).toBeCloseTo(2.0945514815423265, 12);
  });

  it("survives a flat, steep function", () => {
    const result = findRoot((x) => x ** 9, -1, 1.7);
    expect(result.found && Math.abs(result.root)).toBeLessThan(1e-2);
  });

  it("says so where the signs agree", () => {
    expect(findRoot((x) => x * x + 1, -1, 1)).toMatchObject({ found: false, reason: "no_sign_change" });
  });
});
