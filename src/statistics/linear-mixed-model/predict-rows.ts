import type { RandomTerm } from "../mixed-model-terms.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import {
  combinationEstimates,
  combinationPlan,
  combinationSquares,
  type ParsedCombination,
  parseCombination,
} from "./linear-combinations.ts";
import { effectCount } from "./random-columns.ts";

/**
 * Rows to predict: the fixed columns in the fit's order, and for each random term of the fit the rows' membership
 * (−1: a level that the fit has not seen) with the columns that its effects multiply. A term that is left out takes no
 * part.
 */
export interface NewRows {
  readonly fixed: readonly Float64Array[];
  readonly random?: readonly (Pick<RandomTerm, "membership" | "effects"> | undefined)[];
  readonly offset?: Float64Array;
}

/** Expected values of new rows. */
export interface Prediction {
  /** Fixed effects and offset alone. */
  readonly population: Float64Array;
  /** With the predicted effects of the levels that the fit knows; new ones count as average. */
  readonly conditional: Float64Array;
  /**
   * Variance of the error of `conditional` as a statement about the row's own expectation: β and b as estimated, the
   * variances as known, new levels with the whole variance of their term. Residual variance is not in it.
   */
  readonly variance: Float64Array;
}

/** Predicts the expectation of new rows. Throws RangeError where their shape does not fit the model. */
export function predictRows(fit: FittedLinearMixed, rows: NewRows): Prediction {
  const { design } = fit;
  if (rows.fixed.length !== design.fixedCount) {
    throw new RangeError(`${rows.fixed.length} fixed columns for a model with ${design.fixedCount}`);
  }
  const count = rows.fixed[0]?.length ?? membershipRows(rows) ?? 0;
  const parsed: ParsedCombination[] = [];
  const fixedOnly: ParsedCombination[] = [];
  const unseen = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const loadings = (rows.random ?? []).flatMap((term, t) =>
      term === undefined ? [] : rowLoadings(fit, t, term, i, unseen),
    );
    const fixed = rows.fixed.map((column) => column[i]!);
    parsed.push(parseCombination(design, { fixed, random: loadings }));
    fixedOnly.push(parseCombination(design, { fixed }));
  }
  const offset = rows.offset ?? new Float64Array(count);
  const population = combinationEstimates(design, fit.solution, fixedOnly).map((v, i) => v + offset[i]!);
  const conditional = combinationEstimates(design, fit.solution, parsed).map((v, i) => v + offset[i]!);
  const squares = combinationSquares(design, fit.solution, combinationPlan(design, parsed));
  const variance = squares.map((v, i) => fit.sigmaSquared * v + unseen[i]!);
  return { population, conditional, variance };
}

function membershipRows(rows: NewRows): number | undefined {
  const membership = rows.random?.find((term) => term !== undefined)?.membership;
  if (membership === undefined) return undefined;
  return membership instanceof Int32Array ? membership.length : membership.rowStart.length - 1;
}

/** Loadings of row i on a term; what falls on new levels adds its variance to `unseen`. */
function rowLoadings(
  fit: FittedLinearMixed,
  t: number,
  term: Pick<RandomTerm, "membership" | "effects">,
  i: number,
  unseen: Float64Array,
): { term: number; level: number; effect: number; weight: number }[] {
  const effects = effectCount(fit.design.input.random[t]!);
  if ((term.effects?.length ?? 1) !== effects) throw new RangeError(`term ${t} has ${effects} effects`);
  const { membership } = term;
  const column = (e: number): number => (term.effects === undefined ? 1 : term.effects[e]![i]!);
  const load = (level: number, weight: number) =>
    Array.from({ length: effects }, (_, effect) => ({
      term: t,
      level,
      effect,
      weight: weight * column(effect),
    }));
  const alone = (weight: number): void => {
    const { covariance } = fit.terms[t]!;
    for (let a = 0; a < effects; a++) {
      for (let b = 0; b < effects; b++) {
        unseen[i]! += weight * weight * column(a) * column(b) * covariance.values[a * effects + b]!;
      }
    }
  };
  if (membership instanceof Int32Array) {
    if (membership[i]! >= 0) return load(membership[i]!, 1);
    alone(1);
    return [];
  }
  const result: { term: number; level: number; effect: number; weight: number }[] = [];
  let fresh = 0;
  for (let k = membership.rowStart[i]!; k < membership.rowStart[i + 1]!; k++) {
    if (membership.level[k]! >= 0) result.push(...load(membership.level[k]!, membership.weight[k]!));
    else fresh += membership.weight[k]!;
  }
  // All of a row's new levels are taken as one and the same: the cautious reading.
  if (fresh !== 0) alone(fresh);
  return result;
}
