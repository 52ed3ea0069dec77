import { eliminationTree, factorColumnCounts, type LowerPattern, postorder } from "./elimination-tree.ts";
import { fillReducingOrder } from "./fill-reducing-order.ts";
import type { SparseSymmetric } from "./sparse-symmetric.ts";

/** Order, tree and size of a Cholesky factor, found without forming it. */
export interface FactorForecast {
  readonly order: number;
  /** `pivotOrder[k]` is the row of the matrix that is eliminated k-th; `place` is its inverse. */
  readonly pivotOrder: Int32Array;
  readonly place: Int32Array;
  readonly parent: Int32Array;
  /** Nonzeros of each factor column, diagonal included. */
  readonly columnCount: Int32Array;
  /** Nonzeros of L. */
  readonly nonzeros: number;
  /** Multiplications and additions of one numeric factorisation. */
  readonly operations: number;
}

/**
 * All that depends on the pattern alone: made once, used for every factorisation of a matrix with this pattern.
 *
 * Columns are gathered in supernodes s: columns `firstColumn[s]` to `firstColumn[s + 1] - 1` share the rows
 * `rows[rowStart[s]]` to `rows[rowStart[s + 1] - 1]` (their own columns first, then those below, ascending). The
 * values of supernode s start at `valueStart[s]`, row by row, one place per column. Row and column numbers count in
 * elimination order.
 */
export interface SymbolicFactor extends FactorForecast {
  readonly supernodes: number;
  readonly firstColumn: Int32Array;
  readonly supernodeOf: Int32Array;
  readonly rowStart: Int32Array;
  readonly rows: Int32Array;
  readonly valueStart: Float64Array;
  readonly valueCount: number;
  /** Place in the factor's values of each entry of the matrix. */
  readonly destination: Int32Array;
}

export interface SymbolicOptions {
  /**
   * The last this many rows are eliminated after every row that they touch (equivalent reorderings aside, which
   * leave the factor's diagonal as it is). Default 0.
   */
  readonly last?: number;
  /** An elimination order to use instead of the fill-reducing one. */
  readonly pivotOrder?: Int32Array;
}

/** Width at which a supernode is split, so that one block stays within the processor's cache. */
const WIDEST = 64;

/** Order, tree and nonzero count of the Cholesky factor of a matrix with this pattern. */
export function forecastFactor(matrix: SparseSymmetric, options: SymbolicOptions = {}): FactorForecast {
  return forecast(matrix, options).forecast;
}

/** The symbolic analysis of a pattern; the matrix's values are not read. */
export function symbolicCholesky(matrix: SparseSymmetric, options: SymbolicOptions = {}): SymbolicFactor {
  const { forecast: found, lower, entry } = forecast(matrix, options);
  const firstColumn = joinColumns(found);
  const supernodes = firstColumn.length - 1;
  const supernodeOf = new Int32Array(found.order);
  for (let s = 0; s < supernodes; s++) supernodeOf.fill(s, firstColumn[s]!, firstColumn[s + 1]!);
  const { rowStart, rows } = supernodeRows(lower, found, firstColumn, supernodeOf);
  const valueStart = new Float64Array(supernodes + 1);
  for (let s = 0; s < supernodes; s++) {
    const width = firstColumn[s + 1]! - firstColumn[s]!;
    valueStart[s + 1] = valueStart[s]! + width * (rowStart[s + 1]! - rowStart[s]!);
  }
  const valueCount = valueStart[supernodes]!;
  if (valueCount > 2 ** 31 - 1) throw new RangeError(`the factor has ${found.nonzeros} nonzeros: too many`);
  const destination = new Int32Array(matrix.rowIndex.length);
  const local = new Int32Array(found.order);
  for (let s = 0; s < supernodes; s++) {
    const width = firstColumn[s + 1]! - firstColumn[s]!;
    for (let k = rowStart[s]!; k < rowStart[s + 1]!; k++) local[rows[k]!] = k - rowStart[s]!;
    for (let column = firstColumn[s]!; column < firstColumn[s + 1]!; column++) {
      const offset = valueStart[s]! + column - firstColumn[s]!;
      for (let e = lower.columnStart[column]!; e < lower.columnStart[column + 1]!; e++) {
        destination[entry[e]!] = offset + local[lower.rowIndex[e]!]! * width;
      }
    }
  }
  return {
    ...found,
    supernodes,
    firstColumn,
    supernodeOf,
    rowStart,
    rows,
    valueStart,
    valueCount,
    destination,
  };
}

function forecast(
  matrix: SparseSymmetric,
  options: SymbolicOptions,
): { forecast: FactorForecast; lower: LowerPattern; entry: Int32Array } {
  const n = matrix.order;
  const first =
    options.pivotOrder ?? fillReducingOrder(matrix, options.last === undefined ? {} : { last: options.last });
  const upper = permuted(matrix, inverse(first), "by-row");
  const tree = eliminationTree(n, upper.columnStart, upper.rowIndex);
  const order = postorder(tree);
  const pivotOrder = Int32Array.from(order, (k) => first[k]!);
  const place = inverse(pivotOrder);
  const relabel = inverse(order);
  const parent = Int32Array.from(order, (k) => (tree[k] === -1 ? -1 : relabel[tree[k]!]!));
  const lower = permuted(matrix, place, "by-column");
  const columnCount = factorColumnCounts(lower, parent);
  let nonzeros = 0;
  let operations = 0;
  for (const count of columnCount) {
    nonzeros += count;
    operations += count * count;
  }
  return {
    forecast: { order: n, pivotOrder, place, parent, columnCount, nonzeros, operations },
    lower,
    entry: lower.entry,
  };
}

function inverse(order: Int32Array): Int32Array {
  const place = new Int32Array(order.length);
  for (let k = 0; k < order.length; k++) place[order[k]!] = k;
  return place;
}

/** Lower triangle of the permuted matrix, its entries gathered by row or by column, with their origin. */
function permuted(
  matrix: SparseSymmetric,
  place: Int32Array,
  gather: "by-row" | "by-column",
): LowerPattern & { entry: Int32Array } {
  const n = matrix.order;
  const total = matrix.rowIndex.length;
  const columnStart = new Int32Array(n + 1);
  const rowIndex = new Int32Array(total);
  const entry = new Int32Array(total);
  const byRow = gather === "by-row";
  for (let j = 0; j < n; j++) {
    const b = place[j]!;
    for (let e = matrix.columnStart[j]!; e < matrix.columnStart[j + 1]!; e++) {
      const a = place[matrix.rowIndex[e]!]!;
      columnStart[(a > b === byRow ? a : b) + 1]!++;
    }
  }
  for (let j = 0; j < n; j++) columnStart[j + 1]! += columnStart[j]!;
  const next = columnStart.slice(0, n);
  for (let j = 0; j < n; j++) {
    const b = place[j]!;
    for (let e = matrix.columnStart[j]!; e < matrix.columnStart[j + 1]!; e++) {
      const a = place[matrix.rowIndex[e]!]!;
      const to = next[a > b === byRow ? a : b]!++;
      rowIndex[to] = a > b === byRow ? b : a;
      entry[to] = e;
    }
  }
  return { order: n, columnStart, rowIndex, entry };
}

/**
 * First column of each supernode. Columns with the same rows below are one supernode; a supernode that stands
 * directly before its parent is joined to it where the explicit zeros that this stores are few (Ashcraft and
 * Grimes 1989, ACM Trans. Math. Softw. 15, 291-309).
 */
function joinColumns(found: FactorForecast): Int32Array {
  const { order: n, parent, columnCount } = found;
  const starts: number[] = [];
  const rowsOf: number[] = [];
  const nonzerosOf: number[] = [];
  for (let from = 0, to = 0; from < n; from = to) {
    let nonzeros = columnCount[from]!;
    for (to = from + 1; to < n && to - from < WIDEST; to++) {
      if (parent[to - 1] !== to || columnCount[to - 1] !== columnCount[to]! + 1) break;
      nonzeros += columnCount[to]!;
    }
    starts.push(from);
    rowsOf.push(columnCount[from]!);
    nonzerosOf.push(nonzeros);
    while (starts.length > 1) {
      const top = starts.length - 1;
      const middle = starts[top]!;
      const above = parent[middle - 1]!;
      const width = to - starts[top - 1]!;
      if (above === -1 || above >= to || width > WIDEST) break;
      const rows = middle - starts[top - 1]! + rowsOf[top]!;
      const nonzerosTogether = nonzerosOf[top - 1]! + nonzerosOf[top]!;
      if (!worthJoining(width, rows, nonzerosTogether)) break;
      starts.pop();
      rowsOf.pop();
      nonzerosOf.pop();
      rowsOf[top - 1] = rows;
      nonzerosOf[top - 1] = nonzerosTogether;
    }
  }
  return Int32Array.from([...starts, n]);
}

function worthJoining(width: number, rows: number, nonzeros: number): boolean {
  const stored = width * rows - (width * (width - 1)) / 2;
  const zeros = (stored - nonzeros) / stored;
  if (width <= 4) return true;
  if (width <= 16) return zeros < 0.6;
  return zeros < (width <= 48 ? 0.1 : 0.05);
}

/** Rows of each supernode: its own columns, then the union of what its columns and its children reach below. */
function supernodeRows(
  lower: LowerPattern,
  found: FactorForecast,
  firstColumn: Int32Array,
  supernodeOf: Int32Array,
): { rowStart: Int32Array; rows: Int32Array } {
  const supernodes = firstColumn.length - 1;
  const childHead = new Int32Array(supernodes).fill(-1);
  const childNext = new Int32Array(supernodes).fill(-1);
  const mark = new Int32Array(found.order).fill(-1);
  const rowStart = new Int32Array(supernodes + 1);
  let rows = new Int32Array(Math.max(1024, lower.rowIndex.length));
  let used = 0;
  for (let s = 0; s < supernodes; s++) {
    const from = firstColumn[s]!;
    const to = firstColumn[s + 1]!;
    const room = used + (found.order - from);
    if (room > rows.length) {
      const grown = new Int32Array(Math.max(room, rows.length * 2));
      grown.set(rows.subarray(0, used));
      rows = grown;
    }
    for (let j = from; j < to; j++) rows[used++] = j;
    const below = used;
    const take = (i: number): void => {
      if (i < to || mark[i] === s) return;
      mark[i] = s;
      rows[used++] = i;
    };
    for (let e = lower.columnStart[from]!; e < lower.columnStart[to]!; e++) take(lower.rowIndex[e]!);
    for (let child = childHead[s]!; child !== -1; child = childNext[child]!) {
      const width = firstColumn[child + 1]! - firstColumn[child]!;
      for (let k = rowStart[child]! + width; k < rowStart[child + 1]!; k++) take(rows[k]!);
    }
    rows.subarray(below, used).sort();
    rowStart[s + 1] = used;
    if (used > below) {
      const above = supernodeOf[rows[below]!]!;
      childNext[s] = childHead[above]!;
      childHead[above] = s;
    }
  }
  return { rowStart, rows: rows.slice(0, used) };
}
