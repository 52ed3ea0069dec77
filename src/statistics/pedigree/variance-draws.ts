import { denseCholesky } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { symmetricEigen } from "../linear-algebra/symmetric-eigen.ts";
import { Random } from "../random.ts";
import type { WeightedPosition } from "./variance-grid.ts";

/** Degrees of freedom of the proposal: its tails must be heavier than those of the density. */
const PROPOSAL_FREEDOM = 5;
const DIFFERENCE = 0.1;

/**
 * Seeded importance draws from a log-density of positive coordinates, proposed on their logarithms from a
 * multivariate t around the mode (Geweke 1989, Econometrica 57:1317-1339). Weights add to 1.
 */
export function densityDraws(
  logDensity: (at: Float64Array) => number,
  start: Float64Array,
  count: number,
  seed: number,
): WeightedPosition[] {
  const onLogs = (logs: Float64Array): number =>
    logDensity(logs.map(Math.exp)) + logs.reduce((sum, x) => sum + x, 0);
  const largest = start.reduce((a, b) => Math.max(a, b), 0.1);
  const { mode, spread } = logMode(
    onLogs,
    start.map((x) => Math.log(Math.max(x, 0.1 * largest))),
  );
  const random = new Random(seed);
  const draws = Array.from({ length: count }, () => {
    const normal = mode.map(() => random.normal());
    const tail = Math.sqrt(PROPOSAL_FREEDOM / random.chiSquare(PROPOSAL_FREEDOM));
    const logs = mode.map((m, i) => {
      let sum = m;
      for (let j = 0; j < mode.length; j++) sum += spread.values[i * mode.length + j] * normal[j] * tail;
      return sum;
    });
    const distance = normal.reduce((sum, z) => sum + z * z, 0) * tail * tail;
    const proposal = -0.5 * (PROPOSAL_FREEDOM + mode.length) * Math.log1p(distance / PROPOSAL_FREEDOM);
    return { position: logs.map(Math.exp), log: onLogs(logs) - proposal };
  });
  const top = draws.reduce((most, d) => Math.max(most, d.log), Number.NEGATIVE_INFINITY);
  const total = draws.reduce((sum, d) => sum + Math.exp(d.log - top), 0);
  return draws.map(({ position, log }) => ({ position, weight: Math.exp(log - top) / total }));
}

/** The mode by Newton steps with numeric derivatives, and a root of the inverse curvature there. */
function logMode(
  density: (logs: Float64Array) => number,
  start: Float64Array,
): { mode: Float64Array; spread: DenseMatrix } {
  let mode = start;
  let top = density(mode);
  let spread = curvatureRoot(density, mode, top).spread;
  for (let round = 0; round < 8; round++) {
    const shape = curvatureRoot(density, mode, top);
    spread = shape.spread;
    let moved = false;
    for (let share = 1; share > 0.05 && !moved; share /= 2) {
      const next = mode.map((x, i) => x + share * Math.min(1, Math.max(-1, shape.step[i])));
      const value = density(next);
      if (value > top + 1e-3) {
        mode = next;
        top = value;
        moved = true;
      }
    }
    if (!moved) break;
  }
  return { mode, spread };
}

/** Newton step and spread from differences; directions without curvature get a spread of 1. */
function curvatureRoot(
  density: (logs: Float64Array) => number,
  at: Float64Array,
  top: number,
): { step: Float64Array; spread: DenseMatrix } {
  const n = at.length;
  const shifted = (i: number, di: number, j: number, dj: number): number => {
    const moved = at.slice();
    moved[i] += di;
    moved[j] += dj;
    return density(moved);
  };
  const h = DIFFERENCE;
  const gradient = new Float64Array(n);
  const curvature = zeroMatrix(n, n);
  const up = new Float64Array(n);
  const down = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    up[i] = shifted(i, h, i, 0);
    down[i] = shifted(i, -h, i, 0);
    gradient[i] = (up[i] - down[i]) / (2 * h);
    curvature.values[i * n + i] = -(up[i] + down[i] - 2 * top) / h ** 2;
  }
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const both = shifted(i, h, j, h) + shifted(i, -h, j, -h);
      const value = -(both - up[i] - down[i] - up[j] - down[j] + 2 * top) / (2 * h ** 2);
      curvature.values[i * n + j] = value;
      curvature.values[j * n + i] = value;
    }
  }
  const { values, vectors } = symmetricEigen(curvature);
  const covariance = zeroMatrix(n, n);
  for (let k = 0; k < n; k++) {
    const variance = 1 / Math.max(values[k], 0.25);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        covariance.values[i * n + j] += variance * vectors.values[i * n + k] * vectors.values[j * n + k];
      }
    }
  }
  const factor = denseCholesky(covariance);
  const spread = zeroMatrix(n, n);
  if (factor.positiveDefinite) spread.values.set(factor.lower);
  const step = Float64Array.from({ length: n }, (_, i) => {
    let sum = 0;
    for (let j = 0; j < n; j++) sum += covariance.values[i * n + j] * gradient[j];
    return sum;
  });
  return { step, spread };
}
