import { denseCholesky, solveDense } from "../linear-algebra/dense-cholesky.ts";
import type { DenseMatrix } from "../linear-algebra/dense-matrix.ts";

/** An objective with its exact first and second derivatives at a point. */
export interface Curved {
  readonly value: number;
  readonly gradient: Float64Array;
  readonly hessian: DenseMatrix;
}

export interface NewtonResult<State extends Curved> {
  /** The gradient vanishes and the curvature is positive definite. */
  readonly converged: boolean;
  readonly point: Float64Array;
  readonly state: State;
  readonly evaluations: number;
  /** The last step that was tried; it grows without end where there is no minimum. */
  readonly lastStep: Float64Array;
}

export interface NewtonOptions {
  /** Converged when half g'H⁻¹g, the drop that the quadratic model still promises, is below this. */
  readonly tolerance?: number;
  readonly maxIterations?: number;
  /** Stops early, unconverged, when it says so of a step that was taken. */
  readonly abandon?: (point: Float64Array, step: Float64Array) => boolean;
}

/**
 * Minimises by Newton's method with Levenberg-Marquardt damping (Nocedal & Wright 2006, Numerical Optimization,
 * sections 3.4 and 10.3). `objective` gives null outside its domain. Null if the start lies outside.
 */
export function minimiseByNewton<State extends Curved>(
  objective: (point: Float64Array) => State | null,
  start: Float64Array,
  options: NewtonOptions = {},
): NewtonResult<State> | null {
  const tolerance = options.tolerance ?? 1e-14;
  let point = start;
  let state = objective(point);
  if (state === null) return null;
  let evaluations = 1;
  let damping = 0;
  let lastStep: Float64Array = new Float64Array(start.length);
  for (let iteration = 0; iteration < (options.maxIterations ?? 200); iteration++) {
    const step = dampedStep(state, damping);
    if (step === null) {
      damping = stronger(damping);
      continue;
    }
    lastStep = step;
    const promised = -dot(step, state.gradient) / 2;
    const noise = 4e-16 * Math.abs(state.value);
    if (damping === 0 && promised < tolerance + noise) {
      return { converged: true, point, state, evaluations, lastStep };
    }
    const next = objective(point.map((x, k) => x + step[k]));
    evaluations += 1;
    if (next !== null && next.value <= state.value + 1e-13 * Math.abs(state.value)) {
      const gain = state.value - next.value;
      point = point.map((x, k) => x + step[k]);
      state = next;
      if (options.abandon?.(point, step)) break;
      damping = gain > 0.25 * promised ? (damping < 1e-3 ? 0 : damping / 10) : Math.max(damping, 0);
    } else {
      damping = stronger(damping);
      if (damping > 1e12) break;
    }
  }
  return { converged: false, point, state, evaluations, lastStep };
}

/** −(H + damping·|diag H|)⁻¹ g, or null where that matrix is not positive definite. */
function dampedStep(state: Curved, damping: number): Float64Array | null {
  const n = state.gradient.length;
  const values = Float64Array.from(state.hessian.values);
  for (let k = 0; k < n; k++) {
    const diagonal = Math.abs(values[k * n + k]);
    values[k * n + k] += damping * (diagonal > 0 ? diagonal : 1);
  }
  const factor = denseCholesky({ rows: n, columns: n, values }, 1e-14);
  if (!factor.positiveDefinite) return damping > 1e12 ? new Float64Array(n) : null;
  return solveDense(
    factor,
    state.gradient.map((g) => -g),
  );
}

function stronger(damping: number): number {
  return damping === 0 ? 1e-3 : damping * 10;
}

function dot(a: Float64Array, b: Float64Array): number {
  return a.reduce((sum, x, k) => sum + x * b[k], 0);
}
