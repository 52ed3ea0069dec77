/** The pattern of a symmetric matrix's lower triangle by compressed columns, rows in any order. */
export interface LowerPattern {
  readonly order: number;
  readonly columnStart: Int32Array;
  readonly rowIndex: Int32Array;
}

/**
 * Parent of each column in the elimination tree of the Cholesky factor, −1 for a root (Liu 1990, SIAM J. Matrix
 * Anal. Appl. 11, 134-172). `rowStart`, `columnIndex` give the strictly lower triangle by rows.
 */
export function eliminationTree(order: number, rowStart: Int32Array, columnIndex: Int32Array): Int32Array {
  const parent = new Int32Array(order).fill(-1);
  const ancestor = new Int32Array(order).fill(-1);
  for (let i = 0; i < order; i++) {
    for (let e = rowStart[i]!; e < rowStart[i + 1]!; e++) {
      let j = columnIndex[e]!;
      while (j !== -1 && j < i) {
        const above = ancestor[j]!;
        ancestor[j] = i;
        if (above === -1) parent[j] = i;
        j = above;
      }
    }
  }
  return parent;
}

/**
 * Columns in postorder: each tree before the next, children before their parent. Children are visited in
 * increasing order, so that a chain of the last columns stays last.
 */
export function postorder(parent: Int32Array): Int32Array {
  const n = parent.length;
  const firstChild = new Int32Array(n).fill(-1);
  const sibling = new Int32Array(n).fill(-1);
  const result = new Int32Array(n);
  const stack = new Int32Array(n);
  for (let j = n - 1; j >= 0; j--) {
    const above = parent[j]!;
    if (above === -1) continue;
    sibling[j] = firstChild[above]!;
    firstChild[above] = j;
  }
  let placed = 0;
  for (let root = 0; root < n; root++) {
    if (parent[root] !== -1) continue;
    let top = 0;
    stack[top++] = root;
    while (top > 0) {
      const j = stack[top - 1]!;
      const child = firstChild[j]!;
      if (child === -1) {
        result[placed++] = j;
        top--;
      } else {
        firstChild[j] = sibling[child]!;
        stack[top++] = child;
      }
    }
  }
  return result;
}

/**
 * Number of nonzeros in each column of the Cholesky factor, diagonal included, in almost linear time and without
 * forming the factor (Gilbert, Ng and Peyton 1994, SIAM J. Matrix Anal. Appl. 15, 1075-1091). The columns must
 * already stand in postorder of the tree `parent`.
 */
export function factorColumnCounts(pattern: LowerPattern, parent: Int32Array): Int32Array {
  const { order: n, columnStart, rowIndex } = pattern;
  const firstDescendant = new Int32Array(n);
  const delta = new Int32Array(n);
  const previousLeaf = new Int32Array(n).fill(-1);
  const lastNeighbour = new Int32Array(n).fill(-1);
  const representative = Int32Array.from({ length: n }, (_, i) => i);
  for (let j = 0; j < n; j++) firstDescendant[j] = j;
  for (let j = 0; j < n; j++) {
    const above = parent[j]!;
    if (firstDescendant[j] === j) delta[j] = 1;
    if (above !== -1) firstDescendant[above] = Math.min(firstDescendant[above]!, firstDescendant[j]!);
  }
  for (let j = 0; j < n; j++) {
    const above = parent[j]!;
    if (above !== -1) delta[above]!--;
    for (let e = columnStart[j]!; e < columnStart[j + 1]!; e++) {
      const i = rowIndex[e]!;
      if (i === j) continue;
      if (firstDescendant[j]! > lastNeighbour[i]!) {
        delta[j]!++;
        const before = previousLeaf[i]!;
        if (before !== -1) delta[lowestCommon(representative, before)]!--;
        previousLeaf[i] = j;
      }
      lastNeighbour[i] = j;
    }
    if (above !== -1) representative[j] = above;
  }
  const count = delta;
  for (let j = 0; j < n; j++) if (parent[j] !== -1) count[parent[j]!]! += count[j]!;
  return count;
}

/** Root of the set that holds j, shortening the path on the way. */
function lowestCommon(representative: Int32Array, j: number): number {
  let root = j;
  while (representative[root] !== root) root = representative[root]!;
  for (let k = j; k !== root; ) {
    const next = representative[k]!;
    representative[k] = root;
    k = next;
  }
  return root;
}
