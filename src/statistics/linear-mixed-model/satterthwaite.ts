import { denseCholesky, inverseDense } from "../linear-algebra/dense-cholesky.ts";
import { type DenseMatrix, quadraticForm, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { criterionCurvature, judgeCurvature } from "./curvature.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import { fixedEffectSolutions } from "./fixed-effect-solutions.ts";
import { thetaPlace } from "./relative-covariance.ts";

/** Why there are no approximate degrees of freedom. */
export interface NoApproximation {
  readonly kind: "unavailable";
  /** `flat`, `saddle`: the likelihood is not curved as at a maximum; `too_many_effects`: too large for the method. */
  readonly reason: "flat" | "saddle" | "too_many_effects";
}

/** What Satterthwaite degrees of freedom of any contrast of the fixed effects are computed from. */
export interface Satterthwaite {
  readonly kind: "satterthwaite";
  readonly covariance: DenseMatrix;
  /** Covariance matrix of the variance parameters, θ (the free entries) and log σ². */
  readonly parameterCovariance: DenseMatrix;
  /** Derivatives of the fixed effects' covariance matrix by each of them. */
  readonly derivatives: readonly DenseMatrix[];
}

/**
 * Satterthwaite's approximation (Giesbrecht and Burns 1985, Biometrics 41, 477-486; Fai and Cornelius 1996, J. Stat.
 * Comput. Simul. 54, 363-378): a variance l'Φl is treated as a scaled chi-square whose degrees of freedom match its
 * first two moments. Variances that were estimated at zero count as known.
 */
export function satterthwaite(fit: FittedLinearMixed): Satterthwaite | NoApproximation {
  const { design, method, solution, sigmaSquared } = fit;
  const { free, hessian } = criterionCurvature(design, method, solution);
  const { definite } = judgeCurvature(design, free, hessian);
  if (definite !== "positive") return { kind: "unavailable", reason: definite };
  const factor = denseCholesky(hessian);
  if (!factor.positiveDefinite) return { kind: "unavailable", reason: "flat" };
  const inverse = inverseDense(factor);
  const p = design.fixedCount;
  const solutions = fixedEffectSolutions(design, solution);
  const derivatives = free.map((place) => {
    const { block, row, column } = locate(fit, place);
    const { offset, levels, size } = design.blocks[block]!;
    const product = zeroMatrix(p, p);
    for (let r = 0; r < p; r++) {
      const spherical = solutions[r]!.spherical;
      for (let s = 0; s < p; s++) {
        const score = solutions[s]!.score;
        let sum = 0;
        for (let level = 0; level < levels; level++) {
          sum += spherical[offset + level * size + column]! * score[offset + level * size + row]!;
        }
        product.values[r * p + s]! -= sigmaSquared * sum;
        product.values[s * p + r]! -= sigmaSquared * sum;
      }
    }
    return product;
  });
  return {
    kind: "satterthwaite",
    covariance: fit.fixedCovariance,
    parameterCovariance: { ...inverse, values: inverse.values.map((v) => 2 * v) },
    derivatives: [...derivatives, fit.fixedCovariance],
  };
}

/** Degrees of freedom of the t statistic of one contrast l'β. */
export function satterthwaiteDf(approximation: Satterthwaite, contrast: ArrayLike<number>): number {
  const variance = quadraticForm(approximation.covariance, contrast);
  const gradient = approximation.derivatives.map((derivative) => quadraticForm(derivative, contrast));
  return (2 * variance * variance) / quadraticForm(approximation.parameterCovariance, gradient);
}

function locate(fit: FittedLinearMixed, place: number): { block: number; row: number; column: number } {
  const { blocks, layout } = fit.design;
  for (const [block, { size }] of blocks.entries()) {
    for (let column = 0; column < size; column++) {
      for (let row = column; row < size; row++) {
        if (layout.start[block]! + thetaPlace(size, row, column) === place) return { block, row, column };
      }
    }
  }
  throw new RangeError(`θ has no entry ${place}`);
}
