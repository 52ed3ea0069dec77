import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { solveLower } from "../linear-algebra/sparse-cholesky.ts";
import { sparseMultiply } from "../linear-algebra/sparse-symmetric.ts";
import type { MixedModelSolution } from "./criterion.ts";
import type { LinearMixedDesign } from "./linear-mixed-design.ts";
import { applyFactors, applyFactorsTransposed, factorsOf, thetaPlace } from "./relative-covariance.ts";

/**
 * Average information for θ, σ² profiled out, on the scale of −2 log-likelihood: the mean of observed and expected
 * second derivatives, y' P V_i P V_j P y (Gilmour, Thompson and Cullis 1995, Biometrics 51, 1440-1450). One sparse
 * product and one half solve per entry of θ.
 */
export function averageInformation(design: LinearMixedDesign, solution: MixedModelSolution): DenseMatrix {
  const { blocks, layout, cross, randomCount: q, fixedCount: p } = design;
  const { sigmaSquared } = solution;
  const count = layout.length;
  const factors = factorsOf(blocks, solution.theta);
  const score = randomScores(design, solution);
  const directions: Float64Array[] = [];
  const images: Float64Array[] = [];
  const halves: Float64Array[] = [];
  const onScore = new Float64Array(count);
  blocks.forEach(({ size, levels, offset }, b) => {
    const factor = factors[b]!;
    for (let column = 0; column < size; column++) {
      for (let row = column; row < size; row++) {
        const direction = new Float64Array(q + p);
        let along = 0;
        for (let level = 0; level < levels; level++) {
          const at = offset + level * size;
          direction[at + row]! += solution.spherical[at + column]!;
          for (let i = column; i < size; i++) {
            direction[at + i]! += factor[i * size + column]! * score[at + row]!;
          }
          for (let i = 0; i < size; i++) along += direction[at + i]! * score[at + i]!;
        }
        const k = layout.start[b]! + thetaPlace(size, row, column);
        const image = sparseMultiply(cross, direction);
        directions[k] = direction;
        images[k] = image;
        halves[k] = solveLower(solution.factor, applyFactorsTransposed(blocks, factors, image));
        onScore[k] = along;
      }
    }
  });
  const degrees = solution.penalizedSquares / sigmaSquared;
  const result = zeroMatrix(count, count);
  for (let i = 0; i < count; i++) {
    for (let j = 0; j <= i; j++) {
      const sum = dot(directions[i]!, images[j]!) - dot(halves[i]!, halves[j]!);
      const value = sum / sigmaSquared - (onScore[i]! * onScore[j]!) / (sigmaSquared ** 2 * degrees);
      result.values[i * count + j] = value;
      result.values[j * count + i] = value;
    }
  }
  return result;
}

/** Z' W e, e what the solution leaves of the outcome: σ² times the random columns' part of Z' V⁻¹ (y − X β). */
function randomScores(design: LinearMixedDesign, solution: MixedModelSolution): Float64Array {
  const { blocks, cross, randomCount: q, fixedCount: p } = design;
  const effects = new Float64Array(q + p);
  effects.set(applyFactors(blocks, factorsOf(blocks, solution.theta), solution.spherical));
  effects.set(solution.basisShift, q);
  const explained = sparseMultiply(cross, effects);
  return design.randomByResidual.map((value, j) => value - explained[j]!);
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
