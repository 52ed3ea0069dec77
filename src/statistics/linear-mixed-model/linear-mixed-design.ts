import type { DenseMatrix } from "../linear-algebra/dense-matrix.ts";
import type { SparseSymmetric } from "../linear-algebra/sparse-symmetric.ts";
import { type SymbolicFactor, symbolicCholesky } from "../linear-algebra/symbolic-cholesky.ts";
import type { FixedColumns, RandomTerm } from "../mixed-model-terms.ts";
import type { FitTrouble, Unfit } from "../verdict.ts";
import { crossProducts, randomByVector } from "./cross-products.ts";
import { addScaled, orthonormalColumns, weightedDot } from "./orthonormal-columns.ts";
import { effectCount, type RandomBlock, type RandomColumns, randomColumns } from "./random-columns.ts";
import { type ThetaLayout, thetaLayout, thetaPlace } from "./relative-covariance.ts";

/**
 * Data of the linear mixed model y = offset + X β + Z b + e, Var(e) = σ² W⁻¹: one value a row in every array, none
 * missing, weights above zero. A model without an intercept simply has no column of ones.
 */
export interface LinearMixedInput {
  readonly outcome: Float64Array;
  readonly weights?: Float64Array;
  readonly offset?: Float64Array;
  readonly fixed: FixedColumns;
  readonly random: readonly RandomTerm[];
}

/**
 * Everything about the data that a fit needs; no step of the search looks at a row again: cross-products of the random columns Z and of an
 * orthonormal basis Q of the fixed columns (X = Q R), and the symbolic factor of their pattern.
 */
export interface LinearMixedDesign {
  readonly input: LinearMixedInput;
  readonly rows: number;
  readonly fixedCount: number;
  readonly randomCount: number;
  readonly blocks: readonly RandomBlock[];
  readonly layout: ThetaLayout;
  /** Typical size of the random design in each entry of θ: θ times this has no unit. */
  readonly unit: Float64Array;
  readonly basis: readonly Float64Array[];
  readonly random: RandomColumns;
  readonly upper: DenseMatrix;
  readonly logDeterminantUpper: number;
  readonly cross: SparseSymmetric;
  readonly symbolic: SymbolicFactor;
  /** Q' W (y − offset). */
  readonly basisCoefficients: Float64Array;
  /** Z' W r with r what is left of y − offset outside the span of X, and r' W r. */
  readonly randomByResidual: Float64Array;
  readonly residualSquares: number;
  readonly sumLogWeights: number;
}

/** Checks the data and forms their cross-products; a closed reason where the data rule the model out. */
export function linearMixedDesign(input: LinearMixedInput): LinearMixedDesign | Unfit {
  const trouble = inputTrouble(input);
  if (trouble !== null) return trouble;
  const { outcome, weights, fixed, random } = input;
  const rows = outcome.length;
  const fixedCount = fixed.columns.length;
  if (rows <= fixedCount + 1) return unfit("too_few_rows", `${rows} rows for ${fixedCount} fixed effects`);
  const basis = orthonormalColumns(fixed.columns, weights);
  if (!basis.independent) {
    return unfit("rank_deficient", basis.dependent.map((k) => fixed.names[k]).join(", "));
  }
  const columns = randomColumns(random, rows);
  const projected = projectOutcome(input, basis.columns, columns);
  if (projected === null) return unfit("constant_outcome", "the fixed effects leave nothing to explain");
  const cross = crossProducts(columns, basis.columns, weights);
  const groups = groupTrouble(cross, fixedCount, columns.blocks, random, rows);
  if (groups !== null) return groups;
  let logDeterminantUpper = 0;
  for (let k = 0; k < fixedCount; k++)
    logDeterminantUpper += Math.log(basis.upper.values[k * (fixedCount + 1)]!);
  let sumLogWeights = 0;
  if (weights !== undefined) for (const weight of weights) sumLogWeights += Math.log(weight);
  return {
    input,
    rows,
    fixedCount,
    randomCount: columns.count,
    blocks: columns.blocks,
    layout: thetaLayout(columns.blocks),
    unit: thetaUnits(cross, columns.blocks),
    basis: basis.columns,
    random: columns,
    upper: basis.upper,
    logDeterminantUpper,
    sumLogWeights,
    cross,
    symbolic: symbolicCholesky(cross, { last: fixedCount }),
    ...projected,
  };
}

/** The same design for another outcome on the same rows (bootstrap, simulation): the factor's analysis is kept. */
export function withOutcome(design: LinearMixedDesign, outcome: Float64Array): LinearMixedDesign | Unfit {
  const input = { ...design.input, outcome };
  if (outcome.length !== design.rows) return unfit("invalid_input", "outcome has another number of rows");
  if (!outcome.every(Number.isFinite)) return unfit("invalid_input", "outcome has a value that is no number");
  const projected = projectOutcome(input, design.basis, design.random);
  if (projected === null) return unfit("constant_outcome", "the fixed effects leave nothing to explain");
  return { ...design, input, ...projected };
}

type ProjectedOutcome = Pick<LinearMixedDesign, "basisCoefficients" | "randomByResidual" | "residualSquares">;

/** Splits the outcome into its part in the span of the fixed columns and the rest; null where nothing is left. */
function projectOutcome(
  input: LinearMixedInput,
  basis: readonly Float64Array[],
  random: RandomColumns,
): ProjectedOutcome | null {
  const { outcome, offset, weights } = input;
  const residual = outcome.slice();
  if (offset !== undefined) addScaled(residual, offset, -1);
  const total = weightedDot(residual, residual, weights);
  const basisCoefficients = new Float64Array(basis.length);
  for (let pass = 0; pass < 2; pass++) {
    basis.forEach((column, k) => {
      const share = weightedDot(column, residual, weights);
      basisCoefficients[k]! += share;
      addScaled(residual, column, -share);
    });
  }
  const residualSquares = weightedDot(residual, residual, weights);
  if (!(residualSquares > 1e-24 * total)) return null;
  return { basisCoefficients, residualSquares, randomByResidual: randomByVector(random, residual, weights) };
}

/** Per entry T[row, column] of θ the root mean square of the design of effect `row` over the levels it touches. */
function thetaUnits(cross: SparseSymmetric, blocks: readonly RandomBlock[]): Float64Array {
  const layout = thetaLayout(blocks);
  const unit = new Float64Array(layout.length);
  blocks.forEach(({ size, levels, offset }, b) => {
    for (let row = 0; row < size; row++) {
      let sum = 0;
      let touched = 0;
      for (let level = 0; level < levels; level++) {
        const squares = cross.values[cross.columnStart[offset + level * size + row]!]!;
        sum += squares;
        if (squares > 0) touched++;
      }
      for (let column = 0; column <= row; column++) {
        unit[layout.start[b]! + thetaPlace(size, row, column)] = Math.sqrt(sum / Math.max(1, touched));
      }
    }
  });
  return unit;
}

function inputTrouble(input: LinearMixedInput): Unfit | null {
  const { outcome, weights, offset, fixed, random } = input;
  const rows = outcome.length;
  if (rows === 0) return unfit("no_rows", "no rows");
  if (fixed.names.length !== fixed.columns.length)
    return unfit("invalid_input", "one name for each fixed column");
  const arrays: [string, Float64Array | undefined][] = [
    ["outcome", outcome],
    ["weights", weights],
    ["offset", offset],
    ...fixed.columns.map((column, k): [string, Float64Array] => [fixed.names[k]!, column]),
    ...random.flatMap((term) =>
      (term.effects ?? []).map((column): [string, Float64Array] => [term.name, column]),
    ),
  ];
  for (const [name, array] of arrays) {
    if (array === undefined) continue;
    if (array.length !== rows) return unfit("invalid_input", `${name} has ${array.length} of ${rows} rows`);
    for (let i = 0; i < rows; i++) {
      if (!Number.isFinite(array[i]!)) return unfit("invalid_input", `${name}, row ${i}, is not a number`);
    }
  }
  if (weights?.some((weight) => weight <= 0)) {
    return unfit("invalid_input", "a weight is not above zero");
  }
  for (const term of random) {
    const bad = membershipTrouble(term, rows);
    if (bad !== null) return unfit("invalid_input", `${term.name}: ${bad}`);
  }
  return null;
}

function membershipTrouble(term: RandomTerm, rows: number): string | null {
  const { membership, levels } = term;
  if (effectCount(term) === 0) return "a term needs an effect";
  if (membership instanceof Int32Array) {
    if (membership.length !== rows) return `${membership.length} of ${rows} rows`;
    return membership.some((level) => level < -1 || level >= levels) ? "a level is out of range" : null;
  }
  if (membership.rowStart.length !== rows + 1) return `${membership.rowStart.length - 1} of ${rows} rows`;
  const entries = membership.rowStart[rows]!;
  if (membership.level.length < entries || membership.weight.length < entries) return "entries are missing";
  for (let k = 0; k < entries; k++) {
    if (membership.level[k]! < 0 || membership.level[k]! >= levels) return "a level is out of range";
    if (!Number.isFinite(membership.weight[k]!)) return "a weight is not a number";
  }
  return null;
}

/**
 * A term whose variance the data cannot show: one level only, as many levels as rows with each row alike, or nothing
 * left of it beside the fixed effects.
 */
function groupTrouble(
  cross: SparseSymmetric,
  fixedCount: number,
  blocks: readonly RandomBlock[],
  random: readonly RandomTerm[],
  rows: number,
): Unfit | null {
  for (const block of blocks) {
    const { name } = random[block.term]!;
    for (let effect = 0; effect < block.size; effect++) {
      const { touched, least, most, squares, beside } = reachOf(cross, fixedCount, block, effect);
      if (touched < 2) return unfit("too_few_groups", `${name} has ${touched} of two levels`);
      if (touched >= rows && most <= least * (1 + 1e-9)) {
        return unfit(
          "not_identified",
          `${name} has a level for every row and cannot be told from the residual`,
        );
      }
      if (beside <= 1e-9 * squares) {
        return unfit("not_identified", `${name} cannot be told from the fixed effects`);
      }
    }
  }
  return null;
}

/** Squares of one effect's columns over levels, and what is left of them outside the span of the fixed columns. */
function reachOf(
  cross: SparseSymmetric,
  fixedCount: number,
  { offset, levels, size }: RandomBlock,
  effect: number,
): { touched: number; least: number; most: number; squares: number; beside: number } {
  let touched = 0;
  let least = Infinity;
  let most = 0;
  let squares = 0;
  let beside = 0;
  for (let level = 0; level < levels; level++) {
    const column = offset + level * size + effect;
    const own = cross.values[cross.columnStart[column]!]!;
    if (own <= 0) continue;
    touched++;
    least = Math.min(least, own);
    most = Math.max(most, own);
    squares += own;
    beside += own;
    for (let e = cross.columnStart[column + 1]! - fixedCount; e < cross.columnStart[column + 1]!; e++) {
      beside -= cross.values[e]! ** 2;
    }
  }
  return { touched, least, most, squares, beside };
}

function unfit(trouble: FitTrouble, detail: string): Unfit {
  return { verdict: trouble === "not_identified" ? "flat" : "failed", trouble, detail };
}
