import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { symmetricEigen } from "../linear-algebra/symmetric-eigen.ts";
import { minimizeBounded, type Slope } from "../optimise/bounded-quasi-newton.ts";

/** Where a density of a few variables is highest, and how it falls off around there. */
export interface DensityShape {
  readonly mode: Float64Array;
  /** x = mode + axes·z makes z roughly standard normal at the mode. */
  readonly axes: DenseMatrix;
  /** How much wider than at the mode the density is along each axis, downward and upward. */
  readonly stretch: readonly { readonly down: number; readonly up: number }[];
}

/** Eigenvalues of the scaled curvature below this count as this: a flat direction gets a wide axis, not an endless one. */
const LEAST_CURVATURE = 0.05;
/** Step of the differences that the curvature is taken from, in typical sizes of the variables. */
const DIFFERENCE = 1e-3;

/**
 * Finds the mode of a density and its shape around it, from `start` on. `slope` is that of −log density; `scale` the
 * typical size of each variable. Axes come from the second derivatives that `slope` gives, where it does: draws are
 * weighed by the density itself, so that a rough shape costs draws, not truth. Undefined where no mode is found or there is no curvature at it.
 */
export function densityShape(
  slope: (x: Float64Array) => Slope,
  logDensity: (x: Float64Array) => number,
  start: Float64Array,
  scale: Float64Array,
  tolerance = 5e-7,
): DensityShape | undefined {
  const count = start.length;
  let givesCurvature = false;
  const noted = (x: Float64Array): Slope => {
    const here = slope(x);
    givesCurvature = here.hessian !== undefined;
    return here;
  };
  const found = minimizeBounded(noted, start, { scale, tolerance });
  if (!found.converged) return undefined;
  const mode = found.point;
  const curvature = givesCurvature
    ? inUnits(found.hessian, scale)
    : curvatureByDifferences(slope, { mode, gradient: found.gradient, scale });
  if (curvature.values.some((value) => !Number.isFinite(value))) return undefined;
  const { values, vectors } = symmetricEigen(curvature);
  const axes = zeroMatrix(count, count);
  for (let k = 0; k < count; k++) {
    const length = 1 / Math.sqrt(Math.max(values[k]!, LEAST_CURVATURE));
    for (let i = 0; i < count; i++) {
      axes.values[i * count + k] = scale[i]! * vectors.values[i * count + k]! * length;
    }
  }
  const top = logDensity(mode);
  if (!Number.isFinite(top)) return undefined;
  const flat = { mode, axes };
  const stretch = Array.from({ length: count }, (_, k) => ({
    down: stretchAlong(flat, logDensity, k, -1, top),
    up: stretchAlong(flat, logDensity, k, 1, top),
  }));
  return { ...flat, stretch };
}

/** Second derivatives in the variables' units. */
function inUnits(hessian: DenseMatrix, scale: Float64Array): DenseMatrix {
  const count = scale.length;
  const values = hessian.values.map((v, e) => v * scale[Math.floor(e / count)]! * scale[e % count]!);
  return { ...hessian, values };
}

function curvatureByDifferences(
  slope: (x: Float64Array) => Slope,
  at: { readonly mode: Float64Array; readonly gradient: Float64Array; readonly scale: Float64Array },
): DenseMatrix {
  const { mode, gradient, scale } = at;
  const count = mode.length;
  const curvature = zeroMatrix(count, count);
  for (let k = 0; k < count; k++) {
    const moved = slope(mode.map((value, i) => (i === k ? value + DIFFERENCE * scale[k]! : value))).gradient;
    for (let i = 0; i < count; i++) {
      const half = ((moved[i]! - gradient[i]!) * scale[i]!) / (2 * DIFFERENCE);
      curvature.values[k * count + i]! += half;
      curvature.values[i * count + k]! += half;
    }
  }
  return curvature;
}

/** The variables at z. */
export function placeAt(
  { mode, axes }: Pick<DensityShape, "mode" | "axes">,
  z: ArrayLike<number>,
): Float64Array {
  const count = mode.length;
  const place = Float64Array.from(mode);
  for (let k = 0; k < count; k++) {
    for (let i = 0; i < count; i++) place[i]! += axes.values[i * count + k]! * z[k]!;
  }
  return place;
}

/** Standard deviations that the density takes to fall as a normal one would over √2 of them. */
function stretchAlong(
  shape: Pick<DensityShape, "mode" | "axes">,
  logDensity: (x: Float64Array) => number,
  axis: number,
  side: 1 | -1,
  top: number,
): number {
  const z = new Float64Array(shape.mode.length);
  z[axis] = side * Math.SQRT2;
  const there = logDensity(placeAt(shape, z));
  const drop = Number.isFinite(there) ? top - there : 1;
  return Math.min(3, Math.max(0.4, drop > 0 ? 1 / Math.sqrt(drop) : 3));
}
