import type { SelectedInverse } from "../linear-algebra/selected-inverse.ts";
import {
  factorize,
  logDeterminant,
  type SparseFactor,
  solveLower,
  solveLowerTransposed,
} from "../linear-algebra/sparse-cholesky.ts";
import { inverseBlocks } from "./inverse-blocks.ts";
import type { LinearMixedDesign } from "./linear-mixed-design.ts";
import { applyFactorsTransposed, factorsOf, scaledCrossProducts, thetaPlace } from "./relative-covariance.ts";

/** Restricted maximum likelihood, or maximum likelihood. */
export type LikelihoodMethod = "REML" | "ML";

/** The mixed-model equations solved at one θ. */
export interface MixedModelSolution {
  readonly theta: Float64Array;
  /** −2 log (restricted) likelihood, maximised over β and σ². */
  readonly criterion: number;
  /** −2 log-likelihood's part that does not involve σ²: log |V|/σ²ⁿ, and log |X' V⁻¹ X| for REML. */
  readonly logDeterminants: number;
  /** Least penalised sum of squares. */
  readonly penalizedSquares: number;
  readonly sigmaSquared: number;
  /** Spherical random effects: b = Λ × these. */
  readonly spherical: Float64Array;
  /** Coefficients of the orthonormal basis, those of the outcome's own projection not yet added. */
  readonly basisShift: Float64Array;
  readonly factor: SparseFactor;
}

/** Storage that successive evaluations of one design share. */
export interface CriterionWorkspace {
  factor?: SparseFactor;
  inverse?: SelectedInverse;
  readonly values: Float64Array;
}

/** Fresh storage for evaluations of one design. */
export function criterionWorkspace(design: LinearMixedDesign): CriterionWorkspace {
  return { values: new Float64Array(design.cross.rowIndex.length) };
}

/**
 * The profiled deviance of a linear mixed model at θ (Bates and others 2015, J. Stat. Softw. 67:1, equations 33 to
 * 42), from cross-products alone. Undefined where the equations are not positive definite in floating point. With a
 * workspace the factor lives in shared storage and is overwritten by the next evaluation.
 */
export function solveMixedModel(
  design: LinearMixedDesign,
  method: LikelihoodMethod,
  theta: ArrayLike<number>,
  workspace: CriterionWorkspace = criterionWorkspace(design),
): MixedModelSolution | undefined {
  const { blocks, randomCount: q, fixedCount: p, rows: n } = design;
  const factors = factorsOf(blocks, theta);
  scaledCrossProducts(design.cross, blocks, factors, workspace.values);
  const factor = factorize(design.symbolic, workspace.values, workspace.factor);
  if (!factor.positiveDefinite) return undefined;
  workspace.factor = factor;
  const right = new Float64Array(q + p);
  right.set(applyFactorsTransposed(blocks, factors, design.randomByResidual));
  const half = solveLower(factor, right);
  let explained = 0;
  for (const value of half) explained += value * value;
  const penalizedSquares = design.residualSquares - explained;
  if (!(penalizedSquares > 1e-14 * design.residualSquares)) return undefined;
  const solution = solveLowerTransposed(factor, half);
  const degrees = method === "REML" ? n - p : n;
  const sigmaSquared = penalizedSquares / degrees;
  // The fixed basis is eliminated last: what the factor holds there is the Schur complement Q' (V/σ²)⁻¹ Q.
  const whole = logDeterminant(factor);
  const determinants =
    method === "REML" ? whole + 2 * design.logDeterminantUpper : whole - logDeterminant(factor, p);
  const logDeterminants = determinants - design.sumLogWeights;
  return {
    theta: Float64Array.from(theta),
    criterion: logDeterminants + degrees * (1 + Math.log(2 * Math.PI * sigmaSquared)),
    logDeterminants,
    penalizedSquares,
    sigmaSquared,
    spherical: solution.subarray(0, q),
    basisShift: solution.subarray(q),
    factor,
  };
}

/** Derivatives by θ of `logDeterminants` and of `penalizedSquares`. */
export interface CriterionGradient {
  readonly logDeterminants: Float64Array;
  readonly penalizedSquares: Float64Array;
}

/**
 * Analytic derivatives at a solution. With C the coefficient matrix in spherical effects, K_l the block of C⁻¹ (for
 * ML of the inverse of its random part) of level l and v_l its effects, d log|·|/dT = 2 T'⁻¹ Σ_l (I − K_l) and
 * d r²/dT = −2 T'⁻¹ Σ_l v_l v_l'; both follow from C⁻¹ D'B D = I − C⁻¹ J. The diagonal of T must not be zero.
 */
export function differentiateCriterion(
  design: LinearMixedDesign,
  method: LikelihoodMethod,
  solution: MixedModelSolution,
  workspace: CriterionWorkspace = criterionWorkspace(design),
): CriterionGradient {
  const { blocks, layout } = design;
  const inverse = inverseBlocks(design, solution.factor, workspace.inverse);
  workspace.inverse = inverse.selected;
  const blockOf = method === "REML" ? inverse.whole : inverse.random;
  const result = {
    logDeterminants: new Float64Array(layout.length),
    penalizedSquares: new Float64Array(layout.length),
  };
  const factors = factorsOf(blocks, solution.theta);
  blocks.forEach(({ size, levels, offset }, b) => {
    const determined = new Float64Array(size * size);
    const squares = new Float64Array(size * size);
    for (let level = 0, at = offset; level < levels; level++, at += size) {
      const block = blockOf(at, size);
      for (let i = 0; i < size; i++) {
        for (let j = 0; j <= i; j++) {
          const entry = block[i * size + j]!;
          determined[i * size + j]! += i === j ? 1 - entry : -entry;
          squares[i * size + j]! += solution.spherical[at + i]! * solution.spherical[at + j]!;
        }
      }
    }
    const start = layout.start[b]!;
    for (let i = 0; i < size; i++) {
      for (let j = 0; j <= i; j++) {
        const mirrored = i * size + j;
        determined[j * size + i] = determined[mirrored]!;
        squares[j * size + i] = squares[mirrored]!;
      }
    }
    for (let column = 0; column < size; column++) {
      const a = solveTransposed(factors[b]!, size, determined, column);
      const c = solveTransposed(factors[b]!, size, squares, column);
      for (let row = column; row < size; row++) {
        const at = start + thetaPlace(size, row, column);
        result.logDeterminants[at] = 2 * a[row]!;
        result.penalizedSquares[at] = -2 * c[row]!;
      }
    }
  });
  return result;
}

/** T'⁻¹ times a column of a square matrix. */
function solveTransposed(
  factor: Float64Array,
  size: number,
  matrix: Float64Array,
  column: number,
): Float64Array {
  const x = new Float64Array(size);
  for (let i = size - 1; i >= 0; i--) {
    let sum = matrix[i * size + column]!;
    for (let k = i + 1; k < size; k++) sum -= factor[k * size + i]! * x[k]!;
    x[i] = sum / factor[i * size + i]!;
  }
  return x;
}
