import type { MarginalLikelihood } from "./marginal-likelihood.ts";
import type { MixedModel } from "./model-input.ts";
import { diagonalThetas, factorColumn } from "./term-factor.ts";

/**
 * Diagonals of factors that have come near zero and do no better than zero. The likelihood is even in such an entry
 * (with its column), so it is stationary at zero.
 */
export function vanishing(
  model: MixedModel,
  likelihood: MarginalLikelihood,
  point: Float64Array,
  pinned: ReadonlySet<number>,
  limit: number,
): number[] {
  const p = likelihood.coefficients;
  const near = diagonalThetas(model)
    .map((k) => p + k)
    .filter((k) => !pinned.has(k) && Math.abs(point[k]) < limit);
  if (near.length === 0) return [];
  const here = likelihood.value(point);
  return near.filter((k) => likelihood.value(dropColumn(model, point, p, k, new Set())) <= here + 1e-4);
}

/** Pinned diagonals from which the likelihood rises: zero was no maximum there. */
export function rising(
  model: MixedModel,
  likelihood: MarginalLikelihood,
  point: Float64Array,
  pinned: ReadonlySet<number>,
  distance: number,
): number[] {
  const p = likelihood.coefficients;
  return diagonalThetas(model)
    .map((k) => p + k)
    .filter((k) => {
      if (!pinned.has(k)) return false;
      const away = Float64Array.from(point);
      away[k] = distance;
      return likelihood.value(away) < likelihood.value(point);
    });
}

/**
 * The point with one column of a factor set to zero, its entries pinned. What the column gave to the next effect's
 * variance moves to that effect's own diagonal.
 */
export function dropColumn(
  model: MixedModel,
  point: Float64Array,
  p: number,
  diagonal: number,
  pinned: Set<number>,
): Float64Array {
  const dropped = Float64Array.from(point);
  const column = factorColumn(model, p, diagonal);
  if (column.length > 1) {
    const next = column[column.length - 1] + 1;
    dropped[next] = Math.hypot(point[column[1]], point[next]);
  }
  for (const k of column) {
    pinned.add(k);
    dropped[k] = 0;
  }
  return dropped;
}
