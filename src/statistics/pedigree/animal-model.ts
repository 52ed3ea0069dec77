import { denseCholesky } from "../linear-algebra/dense-cholesky.ts";
import type { Unfit } from "../verdict.ts";
import {
  designTrouble,
  everyValue,
  type GeneticDesign,
  type GeneticFrame,
  geneticFrame,
  geneticVarianceMap,
  unfit,
} from "./genetic-frame.ts";
import { fixedBlock, type MixedModelEquations } from "./mixed-model-equations.ts";
import { type GaussianModel, gaussianModel } from "./restricted-likelihood.ts";
import type { VarianceMap } from "./variance-map.ts";

/**
 * y = X b + Z (Q g + a) + sum of other terms + e, with a ~ N(0, A va), g ~ N(0, I vg) the random genetic
 * groups and e_r ~ N(0, ve / weight_r).
 */
export interface AnimalModelInput extends GeneticDesign {
  readonly y: ArrayLike<number>;
  /** Prior weights of the records, 1 where missing. */
  readonly weights?: ArrayLike<number>;
}

/**
 * An animal model ready to fit. Its variances stand in the order of `names`: animal, group (where there are
 * groups), the other terms, and the residual last.
 */
export interface AnimalModel extends GeneticFrame {
  readonly names: readonly string[];
  readonly gaussian: GaussianModel;
  readonly map: VarianceMap;
}

/** Checks the input, builds the equations and their symbolic factor. */
export function animalModel(input: AnimalModelInput): AnimalModel | Unfit {
  return animalModelTrouble(input) ?? analysedModel(input, geneticFrame(input));
}

/** The model of a frame; `pivotOrder` if an elimination order is known already. */
export function analysedModel(
  input: AnimalModelInput,
  frame: GeneticFrame,
  pivotOrder?: Int32Array,
): AnimalModel | Unfit {
  const { equations } = frame;
  const y = Float64Array.from(input.y);
  const weights =
    input.weights === undefined ? new Float64Array(y.length).fill(1) : Float64Array.from(input.weights);
  const gaussian = gaussianModel(equations, y, weights, pivotOrder);
  const dependent = dependentColumn(equations, gaussian.crossValues);
  if (dependent !== undefined) {
    return unfit("rank_deficient", `fixed column ${dependent} depends on those before it`);
  }
  return {
    ...frame,
    names: [...equations.terms.map((t) => t.name), "residual"],
    gaussian,
    map: geneticVarianceMap(frame, equations.terms.length + 1),
  };
}

/** What rules the input out before any equation is built. */
export function animalModelTrouble(input: AnimalModelInput): Unfit | undefined {
  const { y, weights } = input;
  const trouble = designTrouble(input, y.length);
  if (trouble !== undefined) return trouble;
  if (!everyValue(y, Number.isFinite)) return unfit("invalid_input", "y holds a value that is not finite");
  if (weights !== undefined) {
    const good = weights.length === y.length && everyValue(weights, (w) => w > 0 && Number.isFinite(w));
    if (!good) return unfit("invalid_input", "weights must be positive, one a record");
  }
  if (everyValue(y, (value) => value === y[0])) return unfit("constant_outcome", `every record is ${y[0]}`);
  return undefined;
}

/** The first fixed column that depends on those before it, from the cross-products. */
export function dependentColumn(
  equations: MixedModelEquations,
  crossValues: Float64Array,
): number | undefined {
  const factor = denseCholesky(fixedBlock(equations, crossValues), 1e-11);
  return factor.positiveDefinite ? undefined : factor.failedColumn;
}
