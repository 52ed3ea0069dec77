/** A rule: ∫ f(x) w(x) dx ≈ Σ weights[i]·f(nodes[i]), nodes ascending. */
export interface QuadratureRule {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
}

/** Gauss-Hermite rule of `points` ≥ 1 nodes for the weight e^{−x²} on the whole line; exact to degree 2n − 1. */
export function gaussHermite(points: number): QuadratureRule {
  return gaussRule(points, (k) => k / 2, Math.sqrt(Math.PI), Math.sqrt(2 * points + 2));
}

/** Rule for the mean of f(Z) over a standard normal Z: Gauss-Hermite rescaled, weights summing to one. */
export function gaussNormal(points: number): QuadratureRule {
  const { nodes, weights } = gaussHermite(points);
  return { nodes: nodes.map((x) => x * Math.SQRT2), weights: weights.map((w) => w / Math.sqrt(Math.PI)) };
}

/** Gauss-Legendre rule of `points` ≥ 1 nodes on [−1, 1]; exact to degree 2n − 1. */
export function gaussLegendre(points: number): QuadratureRule {
  return gaussRule(points, (k) => (k * k) / (4 * k * k - 1), 2, 1);
}

/**
 * Nodes are the eigenvalues of the Jacobi matrix of the orthonormal polynomials (Golub & Welsch 1969, Math. Comp.
 * 23:221), found by bisection on its Sturm sequence; weights are Christoffel numbers. `squared(k)` is the squared
 * off-diagonal element k of a matrix with zero diagonal, `mass` the integral of the weight.
 */
function gaussRule(
  points: number,
  squared: (k: number) => number,
  mass: number,
  bound: number,
): QuadratureRule {
  if (!(Number.isInteger(points) && points >= 1)) {
    throw new RangeError(`a quadrature rule needs a whole number of points, not ${points}`);
  }
  const b2 = Float64Array.from({ length: points }, (_, k) => (k === 0 ? 0 : squared(k)));
  const nodes = new Float64Array(points);
  const weights = new Float64Array(points);
  for (let i = 0; i < points - 1 - i; i++) {
    const x = eigenvalue(b2, points - 1 - i, bound);
    nodes[points - 1 - i] = x;
    nodes[i] = -x;
  }
  for (let i = 0; i < points; i++) weights[i] = mass / sumOfSquaredPolynomials(b2, nodes[i]!);
  return { nodes, weights };
}

/** The eigenvalue with exactly `rank` others below it, within 0 … bound. */
function eigenvalue(b2: Float64Array, rank: number, bound: number): number {
  let low = 0;
  let high = bound;
  for (;;) {
    const middle = 0.5 * (low + high);
    if (middle <= low || middle >= high) return middle;
    if (eigenvaluesBelow(b2, middle) > rank) high = middle;
    else low = middle;
  }
}

function eigenvaluesBelow(b2: Float64Array, x: number): number {
  let count = 0;
  let q = 1;
  for (let k = 0; k < b2.length; k++) {
    q = -x - (k === 0 ? 0 : b2[k]! / q);
    if (q === 0) q = 1e-300;
    if (q < 0) count++;
  }
  return count;
}

/** Σ p_k(x)² over the orthonormal polynomials of degree 0 … n − 1, with p_0 = 1. */
function sumOfSquaredPolynomials(b2: Float64Array, x: number): number {
  let before = 0;
  let here = 1;
  let sum = 1;
  for (let k = 1; k < b2.length; k++) {
    const next = (x * here - Math.sqrt(b2[k - 1]!) * before) / Math.sqrt(b2[k]!);
    before = here;
    here = next;
    sum += here * here;
  }
  return sum;
}
