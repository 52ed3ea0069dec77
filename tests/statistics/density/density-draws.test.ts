import { describe, expect, it } from "vitest";
import { densityDraws } from "../../../src/statistics/density/density-draws.ts";
import { densityShape, placeAt } from "../../../src/statistics/density/density-shape.ts";

/** Gamma densities of the given shapes on the logarithms of their variables. */
function gammaLogs(shapes: readonly number[]) {
  const logDensity = (logs: Float64Array): number =>
    shapes.reduce((sum, a, k) => sum + a * logs[k]! - Math.exp(logs[k]!), 0);
  const shape = densityShape(
    (logs) => ({ value: -logDensity(logs), gradient: logs.map((log, k) => Math.exp(log) - shapes[k]!) }),
    logDensity,
    new Float64Array(shapes.length),
    new Float64Array(shapes.length).fill(1),
  );
  if (shape === undefined) throw new Error("no shape");
  return { logDensity, shape };
}

describe("densityShape", () => {
  it("finds the mode and curvature of the logarithm of gamma variables", () => {
    const shapes = [2, 9];
    const { shape } = gammaLogs(shapes);
    shapes.forEach((a, k) => {
      // The mode of log x is log a; minus the second derivative of its log-density there is a.
      expect(shape.mode[k]).toBeCloseTo(Math.log(a), 3);
      const spread = Math.hypot(shape.axes.values[k * 2]!, shape.axes.values[k * 2 + 1]!);
      expect(spread).toBeCloseTo(1 / Math.sqrt(a), 3);
    });
  });

  it("has no shape where the density has no mode", () => {
    const endless = densityShape(
      (x) => ({ value: -x[0]!, gradient: [-1] }),
      (x) => x[0]!,
      Float64Array.of(0),
      Float64Array.of(1),
    );
    expect(endless).toBeUndefined();
  });
});

describe("densityDraws", () => {
  it.each([
    { draws: 2000, enough: 1 },
    { draws: 2000, enough: 0.2 },
  ])(
    "integrates gamma densities in four dimensions within its sampling error ($enough)",
    ({ draws, enough }) => {
      const shapes = [2, 3, 5, 9];
      const { logDensity, shape } = gammaLogs(shapes);
      const at = (z: Float64Array): Float64Array => placeAt(shape, z);
      const drawn = densityDraws(shape, (z) => logDensity(at(z)), { seed: 12, draws, enough });
      expect(drawn.effective).toBeGreaterThan(enough * draws);
      shapes.forEach((a, k) => {
        // A gamma variable of shape a has mean a and variance a.
        const mean = drawn.z.reduce((sum, z, i) => sum + drawn.weights[i]! * Math.exp(at(z)[k]!), 0);
        expect(Math.abs(mean - a)).toBeLessThan((4 * Math.sqrt(a)) / Math.sqrt(drawn.effective));
      });
    },
  );

  it("tells which evaluation each point was", () => {
    const { logDensity, shape } = gammaLogs([2, 3]);
    const seen: Float64Array[] = [];
    const { z, evaluation } = densityDraws(
      shape,
      (point) => {
        seen.push(point);
        return logDensity(placeAt(shape, point));
      },
      { seed: 3, draws: 50 },
    );
    expect(z.map((point) => [...point])).toEqual(evaluation.map((i) => [...seen[i]!]));
  });
});
