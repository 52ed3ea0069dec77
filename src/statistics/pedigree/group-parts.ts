import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { solve } from "../linear-algebra/sparse-cholesky.ts";
import type { SolvedEffects } from "./breeding-values.ts";
import type { GeneticFrame } from "./genetic-frame.ts";
import { designProduct } from "./sparse-design.ts";

/** Breeding values taken apart: value = group part + part within the group. */
export interface GroupParts {
  /** Predicted effect of each group and the covariance of their errors. */
  readonly groups: Float64Array;
  readonly covariance: DenseMatrix;
  /** Q g of each animal. */
  readonly groupPart: Float64Array;
  /** a of each animal. */
  readonly withinPart: Float64Array;
}

/** The parts of the breeding values from equations that are solved; null where the model has no groups. */
export function groupParts(
  model: GeneticFrame,
  { scale, standardized, factor }: SolvedEffects,
  residualVariance: number,
): GroupParts | null {
  const { shares, equations, pedigree } = model;
  if (shares === null) return null;
  const start = equations.termStart[1];
  const count = shares.columns;
  const groups = new Float64Array(count);
  const covariance = zeroMatrix(count, count);
  for (let g = 0; g < count; g++) {
    groups[g] = scale[start + g] * standardized[start + g];
    const unit = new Float64Array(scale.length);
    unit[start + g] = scale[start + g];
    const column = solve(factor, unit);
    for (let h = 0; h < count; h++) {
      covariance.values[h * count + g] = residualVariance * scale[start + h] * column[start + h];
    }
  }
  const withinPart = new Float64Array(pedigree.size);
  for (let i = 0; i < withinPart.length; i++) withinPart[i] = scale[i] * standardized[i];
  return { groups, covariance, groupPart: designProduct(shares, groups), withinPart };
}
