import { type DenseMatrix, zeroMatrix } from "../linear-algebra/dense-matrix.ts";
import { pathsToRoot, solveLowerAlong } from "../linear-algebra/sparse-cholesky.ts";
import type { SymbolicFactor } from "../linear-algebra/symbolic-cholesky.ts";
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
  const products = halfProducts(
    combinationHalves(fit.design, fit.solution, parsed),
    fit.design.symbolic.order,
  );
  return { ...products, values: products.values.map((v) => fit.sigmaSquared * v) };
}

/** Variances alone: the diagonal of `covarianceOf`. */
export function variancesOf(
  fit: FittedLinearMixed,
  combinations: readonly LinearCombination[],
): Float64Array {
  const parsed = combinations.map((combination) => parseCombination(fit.design, combination));
  return combinationSquares(fit.design, fit.solution, combinationPlan(fit.design, parsed)).map(
    (v) => fit.sigmaSquared * v,
  );
}

/** A combination in the design's own columns: coefficients of R β, and loadings on random columns. */
export interface ParsedCombination {
  readonly fixed: Float64Array;
  readonly onBasis: Float64Array;
  readonly columns: Int32Array;
  readonly weights: Float64Array;
  /** Rows of the mixed-model equations that it loads on, and the way from there (see `pathsToRoot`). */
  readonly rows: Int32Array;
  readonly path: Int32Array;
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
  return alongItsPath(design, {
    fixed,
    onBasis: combination.fixed === undefined ? fixed : solveUpperTransposed(design.upper, fixed),
    columns: Int32Array.from(random, ({ term, level, effect }) =>
      columnOf(design.blocks, term, level, effect ?? 0),
    ),
    weights: Float64Array.from(random, ({ weight }) => weight),
  });
}

function alongItsPath(
  { blocks, randomCount: q, symbolic }: LinearMixedDesign,
  combination: Omit<ParsedCombination, "rows" | "path">,
): ParsedCombination {
  const { columns, onBasis } = combination;
  const touched = new Set<number>();
  for (const column of columns) {
    const { offset, size } = blocks[blockAt(blocks, column)]!;
    const first = column - ((column - offset) % size);
    for (let at = first; at <= column; at++) touched.add(at);
  }
  onBasis.forEach((value, k) => {
    if (value !== 0) touched.add(q + k);
  });
  const rows = Int32Array.from(touched);
  return { ...combination, rows, path: pathsToRoot(symbolic, rows) };
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
  const factors = factorsOf(design.blocks, solution.theta);
  const work = new Float64Array(design.symbolic.order);
  return parsed.map((combination) => {
    addLoadings(design, factors, combination, work);
    solveLowerAlong(solution.factor, combination.path, work);
    const place = columnsAlong(design.symbolic, combination.path);
    const value = Float64Array.from(place, (at) => work[at]!);
    for (const at of place) work[at] = 0;
    return { place, value };
  });
}

/**
 * Adds D'(m, k) of a combination to a vector in elimination order: T' applied to the loadings on random columns, those on
 * the fixed basis as they are. `factors`: see `factorsOf`.
 */
export function addLoadings(
  { blocks, randomCount: q, symbolic: { place } }: LinearMixedDesign,
  factors: readonly Float64Array[],
  { columns, weights, onBasis }: ParsedCombination,
  into: Float64Array,
): void {
  for (let k = 0; k < columns.length; k++) {
    const column = columns[k]!;
    const b = blockAt(blocks, column);
    const { offset, size } = blocks[b]!;
    const effect = (column - offset) % size;
    for (let i = 0; i <= effect; i++)
      into[place[column - effect + i]!]! += factors[b]![effect * size + i]! * weights[k]!;
  }
  for (let k = 0; k < onBasis.length; k++) if (onBasis[k] !== 0) into[place[q + k]!]! += onBasis[k]!;
}

/** Columns of some supernodes. */
export function columnsAlong({ firstColumn }: SymbolicFactor, path: Int32Array): Int32Array {
  let count = 0;
  for (const s of path) count += firstColumn[s + 1]! - firstColumn[s]!;
  const columns = new Int32Array(count);
  let at = 0;
  for (const s of path) for (let j = firstColumn[s]!; j < firstColumn[s + 1]!; j++) columns[at++] = j;
  return columns;
}

/** Number of the block that holds a random column. */
function blockAt(blocks: LinearMixedDesign["blocks"], column: number): number {
  let b = blocks.length - 1;
  while (blocks[b]!.offset > column) b--;
  return b;
}

/** How the variances of some combinations are to be computed: from the combinations, or from the effects they share. */
export interface CombinationPlan {
  readonly parsed: readonly ParsedCombination[];
  /** Where effects are shared: each of them alone, and every combination's coefficients on them. */
  readonly shared: {
    readonly single: readonly ParsedCombination[];
    readonly places: readonly Int32Array[];
    readonly values: readonly Float64Array[];
  } | null;
}

/**
 * Plans the variances of parsed combinations. Where many combinations load on the same few effects, half solutions
 * are made for the effects, once each, and put together through their products.
 */
export function combinationPlan(
  design: LinearMixedDesign,
  parsed: readonly ParsedCombination[],
): CombinationPlan {
  const { randomCount: q, fixedCount: p } = design;
  const placeOf = new Map<number, number>();
  const placed = (column: number): number => {
    const known = placeOf.get(column);
    if (known !== undefined) return known;
    placeOf.set(column, placeOf.size);
    return placeOf.size - 1;
  };
  const values = parsed.map(({ weights, onBasis }) =>
    Float64Array.of(...weights, ...onBasis.filter((v) => v !== 0)),
  );
  const places = parsed.map(({ columns, onBasis }) => {
    const fixed = Array.from(onBasis.keys()).filter((k) => onBasis[k] !== 0);
    return Int32Array.from([...columns, ...fixed.map((k) => q + k)], placed);
  });
  const loadings = places.reduce((sum, { length }) => sum + length, 0);
  if (loadings < 3 * placeOf.size || placeOf.size > MOST_SHARED) return { parsed, shared: null };
  const single = Array.from(placeOf.keys(), (column): ParsedCombination => {
    const onBasis = new Float64Array(p);
    if (column >= q) onBasis[column - q] = 1;
    const columns = column >= q ? new Int32Array(0) : Int32Array.of(column);
    return alongItsPath(design, {
      fixed: new Float64Array(p),
      onBasis,
      columns,
      weights: Float64Array.from(columns, () => 1),
    });
  });
  return { parsed, shared: { single, places, values } };
}

/** Variances of planned combinations over σ², at any solution of the design. */
export function combinationSquares(
  design: LinearMixedDesign,
  solution: MixedModelSolution,
  { parsed, shared }: CombinationPlan,
): Float64Array {
  if (shared === null) {
    return Float64Array.from(combinationHalves(design, solution, parsed), ({ value }) => squares(value));
  }
  const products = halfProducts(combinationHalves(design, solution, shared.single), design.symbolic.order);
  const result = new Float64Array(parsed.length);
  for (let k = 0; k < parsed.length; k++)
    result[k] = quadraticOn(products, shared.places[k]!, shared.values[k]!);
  return result;
}

/** x' A x for an x with `values` at `places`. */
function quadraticOn({ values: a, columns }: DenseMatrix, places: Int32Array, values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < places.length; i++) {
    const row = places[i]! * columns;
    let inner = 0.5 * values[i]! * a[row + places[i]!]!;
    for (let j = 0; j < i; j++) inner += values[j]! * a[row + places[j]!]!;
    sum += 2 * values[i]! * inner;
  }
  return sum;
}

/** Most effects whose products are all formed at once. */
const MOST_SHARED = 1500;

/** Products of all pairs of half solutions. */
function halfProducts(halves: readonly CombinationHalf[], order: number): DenseMatrix {
  const count = halves.length;
  const result = zeroMatrix(count, count);
  const spread = new Float64Array(order);
  for (let i = 0; i < count; i++) {
    const { place, value } = halves[i]!;
    for (let k = 0; k < place.length; k++) spread[place[k]!] = value[k]!;
    for (let j = 0; j <= i; j++) {
      const sum = gather(halves[j]!, spread);
      result.values[i * count + j] = sum;
      result.values[j * count + i] = sum;
    }
    for (let k = 0; k < place.length; k++) spread[place[k]!] = 0;
  }
  return result;
}

function gather({ place, value }: CombinationHalf, spread: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < place.length; k++) sum += value[k]! * spread[place[k]!]!;
  return sum;
}

/** Sum of squares of a half solution: the variance of its combination over σ². */
function squares(values: Float64Array): number {
  let sum = 0;
  for (const value of values) sum += value * value;
  return sum;
}
