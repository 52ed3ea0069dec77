import { describe, expect, it } from "vitest";
import { minimizeBounded } from "../../../src/statistics/optimise/bounded-quasi-newton.ts";

// Test functions and minima: Moré, Garbow and Hillstrom 1981, ACM Trans. Math. Softw. 7, 17-41 (from memory).
const rosenbrock = (p: Float64Array) => {
  const [x, y] = p as unknown as [number, number];
  return {
    value: 100 * (y - x * x) ** 2 + (1 - x) ** 2,
    gradient: [-400 * x * (y - x * x) - 2 * (1 - x), 200 * (y - x * x)],
  };
};

const wood = (p: Float64Array) => {
  const [a, b, c, d] = p as unknown as [number, number, number, number];
  return {
    value:
      100 * (b - a * a) ** 2 +
      (1 - a) ** 2 +
      90 * (d - c * c) ** 2 +
      (1 - c) ** 2 +
      10 * (b + d - 2) ** 2 +
      0.1 * (b - d) ** 2,
    gradient: [
      -400 * a * (b - a * a) - 2 * (1 - a),
      200 * (b - a * a) + 20 * (b + d - 2) + 0.2 * (b - d),
      -360 * c * (d - c * c) - 2 * (1 - c),
      180 * (d - c * c) + 20 * (b + d - 2) - 0.2 * (b - d),
    ],
  };
};

describe("bounded quasi-Newton", () => {
  it("finds the minimum of Rosenbrock's valley", () => {
    const result = minimizeBounded(rosenbrock, [-1.2, 1]);
    expect(result.converged).toBe(true);
    expect(result.point[0]).toBeCloseTo(1, 6);
    expect(result.point[1]).toBeCloseTo(1, 6);
    expect(result.evaluations).toBeLessThan(80);
  });

  it("finds the minimum of Wood's function from its usual start", () => {
    const result = minimizeBounded(wood, [-3, -1, -3, -1]);
    expect(result.converged).toBe(true);
    for (const value of result.point) expect(value).toBeCloseTo(1, 5);
  });

  it("stops on a bound where the function still falls beyond it", () => {
    // With x ≤ 0.5 the valley floor is met at (0.5, 0.25), value 0.25.
    const result = minimizeBounded(rosenbrock, [-1.2, 1], { upper: [0.5, 10] });
    expect(result.converged).toBe(true);
    expect(result.point[0]).toBe(0.5);
    expect(result.point[1]).toBeCloseTo(0.25, 8);
    expect(result.value).toBeCloseTo(0.25, 12);
  });

  it("leaves a saddle, where the gradient vanishes but the curvature has the wrong sign", () => {
    const result = minimizeBounded(
      (p) => ({
        value: (p[0]! ** 2 - 1) ** 2 + p[1]! ** 2,
        gradient: [4 * p[0]! * (p[0]! ** 2 - 1), 2 * p[1]!],
      }),
      [1e-2, 1],
    );
    expect(result.converged).toBe(true);
    expect(Math.abs(result.point[0]!)).toBeCloseTo(1, 6);
  });

  it("is indifferent to units when told the scale", () => {
    const stretched = minimizeBounded(
      (p) => {
        const { value, gradient } = rosenbrock(Float64Array.of(p[0]! / 1e4, p[1]! * 1e3));
        return { value, gradient: [gradient[0]! / 1e4, gradient[1]! * 1e3] };
      },
      [-1.2e4, 1e-3],
      { scale: [1e4, 1e-3] },
    );
    const plain = minimizeBounded(rosenbrock, [-1.2, 1]);
    expect(stretched.evaluations).toBe(plain.evaluations);
    expect(stretched.point[0]! / 1e4).toBeCloseTo(plain.point[0]!, 9);
  });

  it("steps back from points where the function is not defined", () => {
    const result = minimizeBounded(
      (p) => ({ value: p[0]! > 0 ? p[0]! - Math.log(p[0]!) : NaN, gradient: [1 - 1 / p[0]!] }),
      [8],
      { radius: 100, tolerance: 1e-16 },
    );
    expect(result.converged).toBe(true);
    expect(result.point[0]).toBeCloseTo(1, 6);
  });

  it("says so when it runs out of evaluations", () => {
    expect(minimizeBounded(wood, [-3, -1, -3, -1], { maximumEvaluations: 5 }).converged).toBe(false);
  });
});
