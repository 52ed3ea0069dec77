/** A symmetric positive definite operator with a preconditioner. */
export interface PreconditionedOperator {
  readonly order: number;
  /** A x, written into `into`. */
  multiply(x: Float64Array, into: Float64Array): void;
  /** M^-1 r, written into `into`. */
  precondition(r: Float64Array, into: Float64Array): void;
}

export interface GradientSolution {
  readonly solution: Float64Array;
  readonly iterations: number;
  /** sqrt(r'M^-1 r / b'M^-1 b) at the end. */
  readonly relativeResidual: number;
}

/** Preconditioned conjugate gradients (Hestenes & Stiefel 1952, J. Res. Natl. Bur. Stand. 49:409-436). */
export function conjugateGradient(
  operator: PreconditionedOperator,
  b: Float64Array,
  tolerance: number,
  mostIterations: number,
): GradientSolution {
  const n = operator.order;
  const solution = new Float64Array(n);
  const residual = b.slice();
  const pulled = new Float64Array(n);
  operator.precondition(residual, pulled);
  const direction = pulled.slice();
  const product = new Float64Array(n);
  let size = inner(residual, pulled);
  const whole = size;
  let iterations = 0;
  while (iterations < mostIterations && size > tolerance * tolerance * whole) {
    operator.multiply(direction, product);
    const step = size / inner(direction, product);
    for (let i = 0; i < n; i++) {
      solution[i] += step * direction[i];
      residual[i] -= step * product[i];
    }
    operator.precondition(residual, pulled);
    const next = inner(residual, pulled);
    const keep = next / size;
    for (let i = 0; i < n; i++) direction[i] = pulled[i] + keep * direction[i];
    size = next;
    iterations++;
  }
  return { solution, iterations, relativeResidual: whole === 0 ? 0 : Math.sqrt(size / whole) };
}

function inner(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
