import { type DenseMatrix, identityMatrix, quadraticForm } from "../linear-algebra/dense-matrix.ts";
import { symmetricEigen } from "../linear-algebra/symmetric-eigen.ts";

/**
 * Value and gradient of a function at a point; a value that is not finite marks the point as out of reach. `hessian`
 * may give the part of the second derivatives that is known there; updates then learn the rest.
 */
export interface Slope {
  readonly value: number;
  readonly gradient: ArrayLike<number>;
  readonly hessian?: DenseMatrix;
}

export interface QuasiNewtonOptions {
  readonly lower?: ArrayLike<number>;
  readonly upper?: ArrayLike<number>;
  /** First guess of the Hessian; the identity where none is given. Not used where the function gives its own. */
  readonly hessian?: DenseMatrix;
  /** Longest first step (default 1). */
  readonly radius?: number;
  /** Typical size of each coordinate, in whose units steps are measured (default 1). */
  readonly scale?: ArrayLike<number>;
  /**
   * The search ends where the decrease that the local quadratic model still promises is below this (default 1e-12:
   * for a log-likelihood, a millionth of a standard error).
   */
  readonly tolerance?: number;
  /** Default 200. */
  readonly maximumEvaluations?: number;
}

export interface QuasiNewtonResult {
  readonly point: Float64Array;
  readonly value: number;
  readonly gradient: Float64Array;
  /** Largest gradient entry, those that a bound holds back left out. */
  readonly largestGradient: number;
  /** The search's own estimate of the Hessian. */
  readonly hessian: DenseMatrix;
  readonly evaluations: number;
  readonly converged: boolean;
}

/**
 * Minimum of a smooth function of a few variables within bounds: trust region with symmetric rank-one updates of
 * the Hessian (Conn, Gould and Toint 1991, Math. Program. 50, 177-195; Nocedal and Wright 2006, Numerical
 * Optimization, algorithms 4.3 and 6.2), coordinates pinned while their gradient pushes them against a bound.
 */
export function minimizeBounded(
  objective: (point: Float64Array) => Slope,
  start: ArrayLike<number>,
  options: QuasiNewtonOptions = {},
): QuasiNewtonResult {
  const n = start.length;
  const scale = Float64Array.from({ length: n }, (_, i) => options.scale?.[i] ?? 1);
  const lower = Float64Array.from({ length: n }, (_, i) => (options.lower?.[i] ?? -Infinity) / scale[i]!);
  const upper = Float64Array.from({ length: n }, (_, i) => (options.upper?.[i] ?? Infinity) / scale[i]!);
  const tolerance = options.tolerance ?? 1e-12;
  const limit = options.maximumEvaluations ?? 200;
  const evaluate = (x: Float64Array): ScaledSlope => {
    const slope = objective(x.map((value, i) => value * scale[i]!));
    const known = slope.hessian === undefined ? null : scaledHessian(slope.hessian, scale).values;
    return {
      value: slope.value,
      gradient: Float64Array.from(scale, (s, i) => s * slope.gradient[i]!),
      known,
    };
  };
  let x = Float64Array.from({ length: n }, (_, i) => clamp(start[i]! / scale[i]!, lower[i]!, upper[i]!));
  let at = evaluate(x);
  let evaluations = 1;
  const learned = at.known === null ? scaledHessian(options.hessian, scale).values : new Float64Array(n * n);
  let hessian = together(learned, at.known, n);
  let radius = options.radius ?? 1;
  let converged = n === 0;
  while (!converged && Number.isFinite(at.value) && evaluations < limit) {
    const box = { lower, upper };
    if (boundedStep(x, at.gradient, hessian, Infinity, box).promise <= tolerance) {
      converged = true;
      break;
    }
    const { step, decrease } = boundedStep(x, at.gradient, hessian, radius, box);
    const length = Math.hypot(...step);
    if (!(decrease > 0) || length <= 1e-14 * (1 + Math.hypot(...x))) {
      // No downhill step is left: the point is as good as the arithmetic allows.
      converged = !(pinnedGradient(x, at.gradient, box) > Math.sqrt(tolerance));
      break;
    }
    const trial = x.map((value, i) => clamp(value + step[i]!, lower[i]!, upper[i]!));
    const next = evaluate(trial);
    evaluations++;
    const noise = 1e-13 * Math.max(1, Math.abs(at.value));
    const actual = at.value - next.value;
    if (Number.isFinite(next.value)) {
      // Beside a known part only the latest step is trusted: what older steps taught it may hold already.
      if (next.known !== null) learned.fill(0);
      updateHessian(learned, together(learned, next.known, n), trial, x, next.gradient, at.gradient);
    }
    const agreement = actual / decrease;
    const belowNoise = decrease < noise && Math.abs(actual) <= noise;
    const accepted = belowNoise
      ? pinnedGradient(trial, next.gradient, box) < pinnedGradient(x, at.gradient, box)
      : agreement > 1e-4;
    if (belowNoise && !accepted) {
      converged = true;
      break;
    }
    if (!Number.isFinite(next.value) || (!belowNoise && agreement < 0.1)) radius = 0.25 * length;
    else if (agreement > 0.75 && length > 0.8 * radius) radius *= 2.5;
    if (accepted) {
      x = trial;
      at = next;
    }
    hessian = together(learned, at.known, n);
  }
  const gradient = at.gradient.map((g, i) => g / scale[i]!);
  const point = x.map((value, i) => value * scale[i]!);
  const largestGradient = pinnedGradient(x, gradient, { lower, upper });
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) hessian.values[i * n + j]! /= scale[i]! * scale[j]!;
  }
  return { point, value: at.value, gradient, largestGradient, hessian, evaluations, converged };
}

interface ScaledSlope {
  readonly value: number;
  readonly gradient: Float64Array;
  readonly known: Float64Array | null;
}

/** Known and learned parts of the Hessian added up. */
function together(learned: Float64Array, known: Float64Array | null, order: number): DenseMatrix {
  return { rows: order, columns: order, values: learned.map((v, e) => v + (known === null ? 0 : known[e]!)) };
}

interface Box {
  readonly lower: Float64Array;
  readonly upper: Float64Array;
}

interface Step {
  readonly step: Float64Array;
  /** By how much the quadratic model falls along the step. */
  readonly decrease: number;
  /** By how much it could fall at all; along a direction without curvature, over a step of one. */
  readonly promise: number;
}

/**
 * Step of at most `radius` that lowers the quadratic model, inside the box: coordinates that a full step would
 * carry past a bound are set on it and the others are solved for again.
 */
function boundedStep(
  x: Float64Array,
  gradient: Float64Array,
  hessian: DenseMatrix,
  radius: number,
  box: Box,
): Step {
  const n = x.length;
  const fixed = new Uint8Array(n);
  const step = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    if (isPinned(x[i]!, gradient[i]!, box.lower[i]!, box.upper[i]!)) fixed[i] = 1;
  }
  let promise = 0;
  for (let round = 0; round <= n; round++) {
    const free = Array.from({ length: n }, (_, i) => i).filter((i) => fixed[i] === 0);
    if (free.length === 0) break;
    const spent = Math.hypot(...Array.from(step).filter((_, i) => fixed[i] === 1));
    const left = Number.isFinite(radius) ? Math.sqrt(Math.max(0, radius * radius - spent * spent)) : radius;
    const local = free.map((i) => {
      let slope = gradient[i]!;
      for (let j = 0; j < n; j++) if (fixed[j] === 1) slope += hessian.values[i * n + j]! * step[j]!;
      return slope;
    });
    const block = free.flatMap((i) => free.map((j) => hessian.values[i * n + j]!));
    const solved = trustRegionStep(local, block, left);
    promise = solved.promise;
    let hit = false;
    free.forEach((i, k) => {
      const wanted = solved.step[k]!;
      const allowed = clamp(x[i]! + wanted, box.lower[i]!, box.upper[i]!) - x[i]!;
      step[i] = allowed;
      if (allowed !== wanted && Math.abs(allowed - wanted) > 1e-15 * Math.abs(wanted)) {
        fixed[i] = 1;
        hit = true;
      }
    });
    if (!hit) break;
  }
  let linear = 0;
  for (let i = 0; i < n; i++) linear += gradient[i]! * step[i]!;
  const decrease = -(linear + 0.5 * quadraticForm(hessian, step));
  return { step, decrease, promise: Math.max(promise, Number.isFinite(radius) ? 0 : decrease) };
}

/** Minimum of g'p + ½ p'Bp over |p| ≤ radius, by eigenvalues (Moré and Sorensen 1983). */
function trustRegionStep(
  gradient: number[],
  block: number[],
  radius: number,
): { step: Float64Array; promise: number } {
  const n = gradient.length;
  const { values, vectors } = symmetricEigen({ rows: n, columns: n, values: Float64Array.from(block) });
  const along = Float64Array.from({ length: n }, (_, k) => {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += vectors.values[i * n + k]! * gradient[i]!;
    return sum;
  });
  const smallest = values[0]!;
  const floor = 1e-10 * Math.max(1e-300, Math.abs(values[n - 1]!), Math.abs(smallest));
  const positiveDefinite = smallest > floor;
  let promise = 0;
  for (let k = 0; k < n; k++) {
    if (values[k]! < -floor) promise = Infinity;
    else promise += values[k]! > floor ? (0.5 * along[k]! ** 2) / values[k]! : Math.abs(along[k]!);
  }
  const lengthAt = (shift: number): number => {
    let sum = 0;
    for (let k = 0; k < n; k++) sum += (along[k]! / (values[k]! + shift)) ** 2;
    return Math.sqrt(sum);
  };
  let shift = 0;
  if (!positiveDefinite) shift = floor - smallest;
  if (Number.isFinite(radius) && lengthAt(shift) > radius) {
    let low = shift;
    let high = shift + Math.hypot(...along) / radius;
    for (let round = 0; round < 100 && high - low > 1e-10 * high; round++) {
      const middle = 0.5 * (low + high);
      if (lengthAt(middle) > radius) low = middle;
      else high = middle;
    }
    shift = high;
  }
  const step = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    const amount = -along[k]! / (values[k]! + shift);
    for (let i = 0; i < n; i++) step[i]! += amount * vectors.values[i * n + k]!;
  }
  const length = Math.hypot(...step);
  if (smallest < -floor && Number.isFinite(radius) && length < radius) {
    // Hard case: go on along the direction of least curvature to the edge, downhill.
    const side = along[0]! > 0 ? -1 : 1;
    let dot = 0;
    for (let i = 0; i < n; i++) dot += side * vectors.values[i * n]! * step[i]!;
    const extra = -dot + Math.sqrt(dot * dot + radius * radius - length * length);
    for (let i = 0; i < n; i++) step[i]! += extra * side * vectors.values[i * n]!;
  }
  return { step, promise };
}

/** Symmetric rank-one update of the learned part, left out where its denominator is too small to trust. */
function updateHessian(
  learned: Float64Array,
  hessian: DenseMatrix,
  to: Float64Array,
  from: Float64Array,
  gradientTo: Float64Array,
  gradientFrom: Float64Array,
): void {
  const n = to.length;
  const step = to.map((value, i) => value - from[i]!);
  const missing = gradientTo.map((g, i) => {
    let sum = g - gradientFrom[i]!;
    for (let j = 0; j < n; j++) sum -= hessian.values[i * n + j]! * step[j]!;
    return sum;
  });
  let denominator = 0;
  for (let i = 0; i < n; i++) denominator += missing[i]! * step[i]!;
  if (Math.abs(denominator) <= 1e-8 * Math.hypot(...missing) * Math.hypot(...step)) return;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) learned[i * n + j]! += (missing[i]! * missing[j]!) / denominator;
  }
}

function scaledHessian(given: DenseMatrix | undefined, scale: Float64Array): DenseMatrix {
  const n = scale.length;
  if (given === undefined) return identityMatrix(n);
  const values = given.values.map((v, e) => v * scale[Math.floor(e / n)]! * scale[e % n]!);
  return { rows: n, columns: n, values };
}

function isPinned(x: number, gradient: number, lower: number, upper: number): boolean {
  return (x <= lower && gradient > 0) || (x >= upper && gradient < 0);
}

function pinnedGradient(x: Float64Array, gradient: Float64Array, box: Box): number {
  let largest = 0;
  for (let i = 0; i < x.length; i++) {
    if (isPinned(x[i]!, gradient[i]!, box.lower[i]!, box.upper[i]!)) continue;
    largest = Math.max(largest, Math.abs(gradient[i]!));
  }
  return largest;
}

function clamp(value: number, low: number, high: number): number {
  return Math.min(Math.max(value, low), high);
}
