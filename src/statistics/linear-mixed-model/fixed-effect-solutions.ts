import { solve } from "../linear-algebra/sparse-cholesky.ts";
import { sparseMultiply } from "../linear-algebra/sparse-symmetric.ts";
import type { MixedModelSolution } from "./criterion.ts";
import type { LinearMixedDesign } from "./linear-mixed-design.ts";
import { solveUpperTransposed } from "./orthonormal-columns.ts";
import { applyFactors, factorsOf } from "./relative-covariance.ts";

/** How the mixed-model equations answer to one fixed effect. */
export interface FixedEffectSolution {
  /** Random part of C⁻¹ (0, e_k), in spherical effects. */
  readonly spherical: Float64Array;
  /** Z' V⁻¹ X Φ e_k: cross-products of the random columns with the residual of that solution. */
  readonly score: Float64Array;
}

/** The solutions for all fixed effects, one solve of the equations each. */
export function fixedEffectSolutions(
  design: LinearMixedDesign,
  solution: MixedModelSolution,
): FixedEffectSolution[] {
  const { fixedCount: p, randomCount: q, blocks, cross } = design;
  const factors = factorsOf(blocks, solution.theta);
  const unit = new Float64Array(p);
  return Array.from({ length: p }, (_, k) => {
    unit[k] = 1;
    const right = new Float64Array(q + p);
    right.set(solveUpperTransposed(design.upper, unit), q);
    unit[k] = 0;
    const answer = solve(solution.factor, right);
    return {
      spherical: answer.subarray(0, q),
      score: sparseMultiply(cross, applyFactors(blocks, factors, answer)).subarray(0, q),
    };
  });
}
