import { describe, expect, it } from "vitest";
import { densityGrid, type WeightedPosition } from "../../../src/statistics/density/density-grid.ts";

const meanOf = (points: readonly WeightedPosition[], f: (x: Float64Array) => number): number =>
  points.reduce((sum, p) => sum + p.weight * f(p.position), 0);

describe("densityGrid", () => {
  it("integrates a correlated folded normal", () => {
    // Even in each coordinate: the normal with correlation 0.8 plus its mirror images.
    const log = (x: Float64Array): number => {
      const q = (a: number, b: number) =>
        ((a - 1) ** 2 - 1.6 * (a - 1) * (b - 0.3) + (b - 0.3) ** 2) / (2 * 0.36);
      const signs = [1, -1];
      return Math.log(
        signs.flatMap((s) => signs.map((t) => Math.exp(-q(s * x[0], t * x[1])))).reduce((a, b) => a + b),
      );
    };
    const points = densityGrid(log, Float64Array.of(1, 0.3));
    // E x^2 of a folded variable is that of the normal.
    expect(meanOf(points, (x) => x[0] ** 2)).toBeCloseTo(2, 2);
    expect(meanOf(points, (x) => x[1] ** 2)).toBeCloseTo(1.09, 2);
  });

  it("integrates a density that is highest at zero", () => {
    const points = densityGrid((x) => -0.5 * (x[0] / 0.2) ** 2, Float64Array.of(0));
    // The half-normal: E x^2 = s^2.
    expect(meanOf(points, (x) => x[0] ** 2) / 0.04).toBeCloseTo(1, 2);
  });
});
