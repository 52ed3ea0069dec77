import { type SparseFactor, solveLowerAlong } from "../linear-algebra/sparse-cholesky.ts";
import type { MixedModelSolution } from "./criterion.ts";
import { addLoadings, columnsAlong, type ParsedCombination } from "./linear-combinations.ts";
import type { LinearMixedDesign } from "./linear-mixed-design.ts";
import { factorsOf } from "./relative-covariance.ts";

/**
 * Combinations of which many sums are to be taken. Their ways to the root of the elimination tree begin each for itself
 * and run together further up: what happens on a part's own stretch is worked out once, however many sums it is in, and
 * a sum is solved for on the shared stretch alone.
 */
export interface PartsPlan {
  readonly parts: readonly {
    readonly combination: ParsedCombination;
    /** Supernodes of its own, and their columns. */
    readonly own: Int32Array;
    readonly ownColumns: Int32Array;
    /** Shared columns that its loadings or its own stretch reach. */
    readonly reached: Int32Array;
  }[];
  /** Supernodes on the way of more than one part, and their columns. */
  readonly shared: Int32Array;
  readonly sharedColumns: Int32Array;
}

/** Lays out on which stretches some combinations are to be solved for. */
export function planParts(design: LinearMixedDesign, combinations: readonly ParsedCombination[]): PartsPlan {
  const { symbolic } = design;
  const { supernodes, rowStart, rows, supernodeOf, place } = symbolic;
  const ways = new Int32Array(supernodes);
  for (const { path } of combinations) for (const s of path) ways[s]!++;
  const isShared = (column: number): boolean => ways[supernodeOf[column]!]! > 1;
  const shared = Int32Array.from(ways.keys()).filter((s) => ways[s]! > 1);
  const parts = combinations.map((combination) => {
    const own = combination.path.filter((s) => ways[s] === 1);
    const reached = new Set<number>();
    for (const s of own) {
      for (let k = rowStart[s]!; k < rowStart[s + 1]!; k++) if (isShared(rows[k]!)) reached.add(rows[k]!);
    }
    for (const row of combination.rows) if (isShared(place[row]!)) reached.add(place[row]!);
    const ownColumns = columnsAlong(symbolic, own);
    return { combination, own, ownColumns, reached: Int32Array.from(reached).sort() };
  });
  return { parts, shared, sharedColumns: columnsAlong(symbolic, shared) };
}

/** Planned parts at one solution. Half solutions are L⁻¹ D'(m, k): their products, times σ², are covariances. */
export interface SolvedParts {
  readonly plan: PartsPlan;
  readonly factor: SparseFactor;
  /** Sum of squares of each half solution on its own stretch. */
  readonly ownSquare: Float64Array;
  /** What a part brings to the columns that it reaches. */
  readonly brought: readonly Float64Array[];
  /** Zeros, in elimination order. */
  readonly work: Float64Array;
}

/** Solves for each part on its own stretch. */
export function solveParts(
  design: LinearMixedDesign,
  { factor, theta }: MixedModelSolution,
  plan: PartsPlan,
): SolvedParts {
  const factors = factorsOf(design.blocks, theta);
  const work = new Float64Array(design.symbolic.order);
  const ownSquare = new Float64Array(plan.parts.length);
  const brought = plan.parts.map(({ combination, own, ownColumns, reached }, p) => {
    addLoadings(design, factors, combination, work);
    solveLowerAlong(factor, own, work);
    for (const column of ownColumns) {
      ownSquare[p]! += work[column]! ** 2;
      work[column] = 0;
    }
    const left = Float64Array.from(reached, (column) => work[column]!);
    for (const column of reached) work[column] = 0;
    return left;
  });
  return { plan, factor, ownSquare, brought, work };
}

/** The half solution of Σ weight·part on the shared columns, in their order, written to `into`. */
export function sharedHalf(
  { plan, factor, brought, work }: SolvedParts,
  part: ArrayLike<number>,
  weight: ArrayLike<number>,
  into: Float64Array,
): void {
  for (let j = 0; j < part.length; j++) {
    const p = part[j]!;
    const { reached } = plan.parts[p]!;
    const values = brought[p]!;
    for (let k = 0; k < reached.length; k++) work[reached[k]!]! += weight[j]! * values[k]!;
  }
  solveLowerAlong(factor, plan.shared, work);
  plan.sharedColumns.forEach((column, k) => {
    into[k] = work[column]!;
    work[column] = 0;
  });
}
