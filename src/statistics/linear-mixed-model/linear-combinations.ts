import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { type SparseFactor, solveLowerSparse } from "../linear-algebra/sparse-cholesky.ts";
import type { MixedModelSolution } from "./criterion.ts";
import type { FittedLinearMixed } from "./fit-linear-mixed-model.ts";
import type { LinearMixedDesign } from "./linear-mixed-design.ts";
import { solveUpper, solveUpperTransposed } from "./orthonormal-columns.ts";
import { columnOf } from "./random-columns.ts";
import { applyFactors, factorsOf } from "./relative-covariance.ts";

/** How much of one effect of one level of a term (both counted from 0) goes into a combination. */
export interface RandomLoading {
  readonly term: number;
  readonly level: number;
  /** Default 0. */
  readonly effect?: number;
  readonly weight: number;
}

/** k'β + m'b: one coefficient for each fixed effect (none: all zero) and any number of random effects. */
export interface LinearCombination {
  readonly fixed?: ArrayLike<number>;
  readonly random?: readonly RandomLoading[];
}

/** Estimated k'β̂ + m'b̂ of each combination. */
export function estimateOf(fit: FittedLinearMixed, combinations: readonly LinearCombination[]): Float64Array {
  const parsed = combinations.map((combination) => parseCombination(fit.design, combination));
  return combinationEstimates(fit.design, fit.solution, parsed);
}

/**
 * Covariance matrix of the errors k'(β̂ − β) + m'(b̂ − b) of some combinations, the variances taken as known and β as
 * estimated (Henderson 1975, Biometrics 31, 423-447): σ² (k, m)' C⁻¹ (k, m).
 */
export function covarianceOf(
  fit: FittedLinearMixed,
  combinations: readonly LinearCombination[],
): DenseMatrix {
  const parsed = combinations.map((combination) => parseCombination(fit.design, combination));
  const halves = combinationHalves(fit.design, fit.solution, parsed);
  const count = halves.length;
  const result = zeroMatrix(count, count);
  const spread = new Float64Array(fit.design.symbolic.order);
  halves.forEach((a, i) => {
    for (let k = 0; k < a.place.length; k++) spread[a.place[k]!] = a.value[k]!;
    for (let j = 0; j <= i; j++) {
      const b = halves[j]!;
      let sum = 0;
      for (let k = 0; k < b.place.length; k++) sum += b.value[k]! * spread[b.place[k]!]!;
      result.values[i * count + j] = fit.sigmaSquared * sum;
      result.values[j * count + i] = fit.sigmaSquared * sum;
    }
    for (let k = 0; k < a.place.length; k++) spread[a.place[k]!] = 0;
  });
  return result;
}

/** Variances alone: the diagonal of `covarianceOf`. */
export function variancesOf(
  fit: FittedLinearMixed,
  combinations: readonly LinearCombination[],
): Float64Array {
  const parsed = combinations.map((combination) => parseCombination(fit.design, combination));
  const halves = combinationHalves(fit.design, fit.solution, parsed);
  return Float64Array.from(halves, ({ value }) => fit.sigmaSquared * squares(value));
}

/** A combination in the design's own columns: coefficients of R β, and loadings on random columns. */
export interface ParsedCombination {
  readonly fixed: Float64Array;
  readonly onBasis: Float64Array;
  readonly columns: Int32Array;
  readonly weights: Float64Array;
}

/** Looks the columns of a combination up; throws RangeError where one does not exist. */
export function parseCombination(
  design: LinearMixedDesign,
  combination: LinearCombination,
): ParsedCombination {
  const p = design.fixedCount;
  if (combination.fixed !== undefined && combination.fixed.length !== p) {
    throw new RangeError(`a combination has ${combination.fixed.length} coefficients for ${p} fixed effects`);
  }
  const fixed = combination.fixed === undefined ? new Float64Array(p) : Float64Array.from(combination.fixed);
  const random = combination.random ?? [];
  return {
    fixed,
    onBasis: combination.fixed === undefined ? fixed : solveUpperTransposed(design.upper, fixed),
    columns: Int32Array.from(random, ({ term, level, effect }) =>
      columnOf(design.blocks, term, level, effect ?? 0),
    ),
    weights: Float64Array.from(random, ({ weight }) => weight),
  };
}

/** Estimates of parsed combinations at any solution of the design. */
export function combinationEstimates(
  design: LinearMixedDesign,
  solution: MixedModelSolution,
  parsed: readonly ParsedCombination[],
): Float64Array {
  const effects = applyFactors(design.blocks, factorsOf(design.blocks, solution.theta), solution.spherical);
  const fixedEffects = solveUpper(
    design.upper,
    design.basisCoefficients.map((c, k) => c + solution.basisShift[k]!),
  );
  return Float64Array.from(parsed, ({ fixed, columns, weights }) => {
    let sum = 0;
    for (let k = 0; k < fixed.length; k++) sum += fixed[k]! * fixedEffects[k]!;
    for (let k = 0; k < columns.length; k++) sum += weights[k]! * effects[columns[k]!]!;
    return sum;
  });
}

/** A sparse vector L⁻¹ D'(m, k): the products of two of these, times σ², are covariances. */
export interface CombinationHalf {
  readonly place: Int32Array;
  readonly value: Float64Array;
}

/** Half solutions of parsed combinations, each along its own paths through the factor only. */
export function combinationHalves(
  design: LinearMixedDesign,
  solution: MixedModelSolution,
  parsed: readonly ParsedCombination[],
): CombinationHalf[] {
  const work = new Float64Array(design.symbolic.order);
  const loaded = new Float64Array(design.randomCount);
  return parsed.map((combination) => {
    const { columns, values } = sphericalLoadings(design, solution, combination, loaded);
    return takeHalf(solution.factor, columns, values, work);
  });
}

/** Sum of squares of a half solution: the variance of its combination over σ². */
export function squares(values: Float64Array): number {
  let sum = 0;
  for (const value of values) sum += value * value;
  return sum;
}

/** D' applied to the loadings: Λ' on random columns, nothing on the fixed basis. `loaded` is zeros and stays so. */
function sphericalLoadings(
  design: LinearMixedDesign,
  solution: MixedModelSolution,
  combination: ParsedCombination,
  loaded: Float64Array,
): { columns: number[]; values: number[] } {
  const { blocks, randomCount } = design;
  const factors = factorsOf(blocks, solution.theta);
  const columns: number[] = [];
  const values: number[] = [];
  const touched = new Set<number>();
  combination.columns.forEach((column, k) => {
    const b = blocks.findIndex(
      ({ offset, levels, size }) => column >= offset && column < offset + levels * size,
    );
    const { offset, size } = blocks[b]!;
    const effect = (column - offset) % size;
    for (let i = 0; i <= effect; i++) {
      const target = column - effect + i;
      touched.add(target);
      loaded[target]! += factors[b]![effect * size + i]! * combination.weights[k]!;
    }
  });
  for (const column of touched) {
    columns.push(column);
    values.push(loaded[column]!);
    loaded[column] = 0;
  }
  combination.onBasis.forEach((value, k) => {
    if (value === 0) return;
    columns.push(randomCount + k);
    values.push(value);
  });
  return { columns, values };
}

function takeHalf(
  factor: SparseFactor,
  columns: readonly number[],
  values: readonly number[],
  work: Float64Array,
): CombinationHalf {
  const { firstColumn } = factor.symbolic;
  const path = solveLowerSparse(factor, columns, values, work);
  let count = 0;
  for (const s of path) count += firstColumn[s + 1]! - firstColumn[s]!;
  const place = new Int32Array(count);
  const value = new Float64Array(count);
  let at = 0;
  for (const s of path) {
    for (let j = firstColumn[s]!; j < firstColumn[s + 1]!; j++, at++) {
      place[at] = j;
      value[at] = work[j]!;
      work[j] = 0;
    }
  }
  return { place, value };
}
