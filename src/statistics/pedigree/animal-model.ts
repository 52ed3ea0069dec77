import { denseCholesky } from "../linear-algebra/dense-cholesky.ts";
import { zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import type { FitTrouble, Unfit } from "../verdict.ts";
import { type Inbreeding, inbreeding } from "./inbreeding.ts";
import { type MixedModelEquations, mixedModelEquations, type RandomTerm } from "./mixed-model-equations.ts";
import type { Pedigree } from "./pedigree.ts";
import { relationshipInverse } from "./relationship-inverse.ts";
import { type GaussianModel, gaussianModel } from "./restricted-likelihood.ts";
import { columnDesign, composeDesigns, type SparseDesign } from "./sparse-design.ts";
import { groupShares, type UnknownParentGroups } from "./unknown-parent-groups.ts";
import { type VarianceMap, varianceMap } from "./variance-map.ts";

/** An independent random term: one effect a column of its design, any loadings. */
export interface OtherTerm {
  readonly name: string;
  readonly design: SparseDesign;
}

/**
 * y = X b + Z (Q g + a) + sum of other terms + e, with a ~ N(0, A va), g ~ N(0, I vg) the random genetic
 * groups and e_r ~ N(0, ve / weight_r).
 */
export interface AnimalModelInput {
  readonly y: ArrayLike<number>;
  /** Prior weights of the records, 1 where missing. */
  readonly weights?: ArrayLike<number>;
  /** Columns of X, the constant included. */
  readonly fixed: readonly ArrayLike<number>[];
  readonly pedigree: Pedigree;
  /** Records on the animals of the pedigree (loading 1, or a slope such as days / 30). */
  readonly animal: SparseDesign;
  readonly groups?: UnknownParentGroups;
  readonly others?: readonly OtherTerm[];
}

/**
 * An animal model ready to fit. Its variances stand in the order of `names`: animal, group (where there are
 * groups), the other terms, and the residual last.
 */
export interface AnimalModel {
  readonly pedigree: Pedigree;
  readonly kin: Inbreeding;
  /** Share of each group in each animal; null without groups. */
  readonly shares: SparseDesign | null;
  readonly names: readonly string[];
  readonly gaussian: GaussianModel;
  readonly map: VarianceMap;
}

/** With fewer groups than this their variance is not estimated but set to a quarter of the additive one. */
export const FEWEST_GROUPS = 4;
const TIED_GROUP_SHARE = 0.25;

/** An animal model before its equations are analysed. */
interface DraftModel {
  readonly kin: Inbreeding;
  readonly shares: SparseDesign | null;
  readonly equations: MixedModelEquations;
}

/** Checks the input, builds the equations and their symbolic factor. */
export function animalModel(input: AnimalModelInput): AnimalModel | Unfit {
  const trouble = inputTrouble(input);
  return trouble ?? analysedModel(input, draftModel(input));
}

/** The equations of a checked input. */
export function draftModel(input: AnimalModelInput): DraftModel {
  const kin = inbreeding(input.pedigree);
  const shares =
    input.groups !== undefined && input.groups.count > 1 ? groupShares(input.pedigree, input.groups) : null;
  const records = input.y.length;
  const equations = mixedModelEquations(
    records,
    randomTerms(input, kin, shares),
    columnDesign(records, input.fixed),
  );
  return { kin, shares, equations };
}

/** The model of a draft; `pivotOrder` if an elimination order is known already. */
export function analysedModel(
  input: AnimalModelInput,
  { kin, shares, equations }: DraftModel,
  pivotOrder?: Int32Array,
): AnimalModel | Unfit {
  const y = Float64Array.from(input.y);
  const weights =
    input.weights === undefined ? new Float64Array(y.length).fill(1) : Float64Array.from(input.weights);
  const gaussian = gaussianModel(equations, y, weights, pivotOrder);
  const dependent = dependentColumn(gaussian);
  if (dependent !== undefined) {
    return unfit("rank_deficient", `fixed column ${dependent} depends on those before it`);
  }
  const tied = shares !== null && shares.columns < FEWEST_GROUPS;
  return {
    pedigree: input.pedigree,
    kin,
    shares,
    names: [...equations.terms.map((t) => t.name), "residual"],
    gaussian,
    map: varianceMap(
      equations.terms.length + 1,
      tied ? [{ variance: 1, to: 0, multiple: TIED_GROUP_SHARE }] : [],
    ),
  };
}

function randomTerms(input: AnimalModelInput, kin: Inbreeding, shares: SparseDesign | null): RandomTerm[] {
  let logDeterminant = 0;
  for (const d of kin.mendelianVariance) logDeterminant -= Math.log(d);
  const animal: RandomTerm = {
    name: "animal",
    design: input.animal,
    precision: relationshipInverse(input.pedigree, kin.mendelianVariance),
    logDeterminant,
  };
  const group = shares === null ? [] : [{ name: "group", design: composeDesigns(input.animal, shares) }];
  return [animal, ...group, ...(input.others ?? [])];
}

/** What rules the input out before any equation is built. */
export function inputTrouble(input: AnimalModelInput): Unfit | undefined {
  const { y, weights, fixed, animal, pedigree } = input;
  const records = y.length;
  if (records === 0) return unfit("no_rows", "no records");
  if (records <= fixed.length + 1) {
    return unfit("too_few_rows", `${records} records for ${fixed.length} fixed effects`);
  }
  if (!everyValue(y, Number.isFinite)) return unfit("invalid_input", "y holds a value that is not finite");
  if (weights !== undefined) {
    const good = weights.length === records && everyValue(weights, (w) => w > 0 && Number.isFinite(w));
    if (!good) return unfit("invalid_input", "weights must be positive, one a record");
  }
  if (animal.rows !== records || animal.columns !== pedigree.size) {
    return unfit("invalid_input", "the animal design must be records x animals of the pedigree");
  }
  const badColumn = fixed.findIndex((c) => c.length !== records);
  if (badColumn >= 0) return unfit("invalid_input", `fixed column ${badColumn} has not one value a record`);
  for (const term of input.others ?? []) {
    if (term.design.rows !== records)
      return unfit("invalid_input", `term ${term.name} has not one row a record`);
    if (term.design.columns < 2) return unfit("too_few_groups", `term ${term.name} has fewer than 2 levels`);
  }
  if (everyValue(y, (value) => value === y[0])) return unfit("constant_outcome", `every record is ${y[0]}`);
  return undefined;
}

function everyValue(values: ArrayLike<number>, holds: (value: number) => boolean): boolean {
  for (let i = 0; i < values.length; i++) if (!holds(values[i])) return false;
  return true;
}

function dependentColumn(gaussian: GaussianModel): number | undefined {
  const { equations, crossValues } = gaussian;
  const { columnStart, rowIndex } = equations.product.pattern;
  const count = equations.fixedCount;
  const first = equations.design.columns - count;
  const cross = zeroMatrix(count, count);
  for (let j = 0; j < count; j++) {
    for (let e = columnStart[first + j]; e < columnStart[first + j + 1]; e++) {
      cross.values[(rowIndex[e] - first) * count + j] = crossValues[e];
    }
  }
  const factor = denseCholesky(cross, 1e-11);
  return factor.positiveDefinite ? undefined : factor.failedColumn;
}

function unfit(trouble: FitTrouble, detail: string): Unfit {
  return { verdict: "failed", trouble, detail };
}
