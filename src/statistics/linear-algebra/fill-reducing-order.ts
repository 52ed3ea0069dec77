import type { SparseSymmetric } from "./sparse-symmetric.ts";

export interface OrderingOptions {
  /** The last this many rows keep their place at the end (for example a dense border). Default 0. */
  readonly last?: number;
}

/**
 * An elimination order with little fill-in: approximate minimum degree on the quotient graph, with element
 * absorption, mass elimination and supervariables (Amestoy, Davis and Duff 1996, SIAM J. Matrix Anal. Appl. 17,
 * 886-905). `result[k]` is the row to eliminate k-th. Rows with very many neighbours are put off to the end.
 */
export function fillReducingOrder(matrix: SparseSymmetric, options: OrderingOptions = {}): Int32Array {
  const last = options.last ?? 0;
  const free = matrix.order - last;
  const order = new Int32Array(matrix.order);
  order.set(new MinimumDegree(matrix, free).run());
  for (let k = free; k < matrix.order; k++) order[k] = k;
  return order;
}

const VARIABLE = 0;
const ELEMENT = 1;
const GONE = 2;

/**
 * The quotient graph. A live variable lists first its elements, then its neighbouring variables; an element
 * lists its variables. `weight` counts the rows that a supervariable stands for.
 */
class MinimumDegree {
  private readonly n: number;
  private readonly kind: Uint8Array;
  private readonly start: Int32Array;
  private readonly size: Int32Array;
  private readonly elements: Int32Array;
  private readonly weight: Int32Array;
  private readonly degree: Int32Array;
  private readonly bucketHead: Int32Array;
  private readonly next: Int32Array;
  private readonly previous: Int32Array;
  private readonly stamp: Float64Array;
  private readonly inPivot: Uint8Array;
  private readonly hashHead: Int32Array;
  private readonly hashNext: Int32Array;
  private readonly memberNext: Int32Array;
  private readonly memberLast: Int32Array;
  private space: Int32Array;
  private used = 0;
  private clock = 1;
  private lowest = 0;
  private left: number;
  private readonly postponed: number[] = [];

  constructor(matrix: SparseSymmetric, free: number) {
    const n = free;
    this.n = n;
    this.left = n;
    this.kind = new Uint8Array(n);
    this.start = new Int32Array(n);
    this.size = new Int32Array(n);
    this.elements = new Int32Array(n);
    this.weight = new Int32Array(n).fill(1);
    this.degree = new Int32Array(n);
    this.bucketHead = new Int32Array(n + 1).fill(-1);
    this.next = new Int32Array(n);
    this.previous = new Int32Array(n);
    this.stamp = new Float64Array(n);
    this.inPivot = new Uint8Array(n);
    this.hashHead = new Int32Array(n).fill(-1);
    this.hashNext = new Int32Array(n);
    this.memberNext = new Int32Array(n).fill(-1);
    this.memberLast = Int32Array.from({ length: n }, (_, i) => i);
    this.space = this.neighbourLists(matrix);
  }

  run(): Int32Array {
    const order = new Int32Array(this.n);
    let placed = 0;
    const place = (variable: number): void => {
      for (let i = variable; i !== -1; i = this.memberNext[i]!) order[placed++] = i;
    };
    for (let i = 0; i < this.n; i++) if (this.kind[i] === VARIABLE) this.intoBucket(i);
    while (this.left > 0) {
      const pivot = this.takeSmallest();
      this.eliminate(pivot);
      place(pivot);
    }
    for (const variable of this.postponed) place(variable);
    return order;
  }

  private neighbourLists(matrix: SparseSymmetric): Int32Array {
    const { n, size, start } = this;
    for (let j = 0; j < n; j++) {
      for (let e = matrix.columnStart[j]! + 1; e < matrix.columnStart[j + 1]!; e++) {
        const i = matrix.rowIndex[e]!;
        if (i >= n) continue;
        size[i]!++;
        size[j]!++;
      }
    }
    this.postponeDenseRows();
    let total = 0;
    for (let i = 0; i < n; i++) {
      start[i] = total;
      if (this.kind[i] === VARIABLE) total += size[i]!;
      size[i] = 0;
    }
    const space = new Int32Array(total + (total >> 2) + 2 * n + 16);
    for (let j = 0; j < n; j++) {
      if (this.kind[j] === GONE) continue;
      for (let e = matrix.columnStart[j]! + 1; e < matrix.columnStart[j + 1]!; e++) {
        const i = matrix.rowIndex[e]!;
        if (i >= n || this.kind[i] === GONE) continue;
        space[start[i]! + size[i]!++] = j;
        space[start[j]! + size[j]!++] = i;
      }
    }
    this.degree.set(size);
    this.used = total;
    return space;
  }

  private postponeDenseRows(): void {
    const limit = Math.max(16, 10 * Math.sqrt(this.n));
    for (let i = 0; i < this.n; i++) {
      if (this.size[i]! <= limit) continue;
      this.kind[i] = GONE;
      this.postponed.push(i);
      this.left--;
    }
    this.postponed.sort((a, b) => this.size[a]! - this.size[b]! || a - b);
  }

  private intoBucket(i: number): void {
    const d = this.degree[i]!;
    const head = this.bucketHead[d]!;
    this.next[i] = head;
    this.previous[i] = -1;
    if (head !== -1) this.previous[head] = i;
    this.bucketHead[d] = i;
    if (d < this.lowest) this.lowest = d;
  }

  private outOfBucket(i: number): void {
    const before = this.previous[i]!;
    const after = this.next[i]!;
    if (after !== -1) this.previous[after] = before;
    if (before !== -1) this.next[before] = after;
    else this.bucketHead[this.degree[i]!] = after;
  }

  private takeSmallest(): number {
    while (this.bucketHead[this.lowest] === -1) this.lowest++;
    const pivot = this.bucketHead[this.lowest]!;
    this.outOfBucket(pivot);
    return pivot;
  }

  private eliminate(pivot: number): void {
    this.formElement(pivot);
    this.measureOverlaps(pivot);
    this.updateVariables(pivot);
    this.mergeIndistinguishable(pivot);
    this.finishElement(pivot);
  }

  /** The new element: all variables that share an element or an edge with the pivot. */
  private formElement(pivot: number): void {
    const { kind, start, size, weight, inPivot } = this;
    let needed = 0;
    const elementCount = this.elements[pivot]!;
    for (let k = 0; k < size[pivot]!; k++) {
      needed += k < elementCount ? size[this.space[start[pivot]! + k]!]! : 1;
    }
    this.reserve(needed);
    const { space } = this;
    const from = this.used;
    let end = from;
    const take = (variable: number): void => {
      if (kind[variable] !== VARIABLE || inPivot[variable] === 1 || variable === pivot) return;
      inPivot[variable] = 1;
      space[end++] = variable;
      this.outOfBucket(variable);
    };
    const own = start[pivot]!;
    const ownEnd = own + size[pivot]!;
    for (let k = own; k < own + elementCount; k++) {
      const element = space[k]!;
      for (let m = start[element]!; m < start[element]! + size[element]!; m++) take(space[m]!);
      kind[element] = GONE;
    }
    for (let k = own + elementCount; k < ownEnd; k++) take(space[k]!);
    kind[pivot] = ELEMENT;
    start[pivot] = from;
    size[pivot] = end - from;
    this.used = end;
    this.left -= weight[pivot]!;
  }

  /** stamp[e] − clock = number of rows of element e outside the new element, for every element it touches. */
  private measureOverlaps(pivot: number): void {
    const { space, start, size, stamp, weight, degree } = this;
    this.clock += this.n + 1;
    let pivotDegree = 0;
    for (let p = start[pivot]!; p < start[pivot]! + size[pivot]!; p++) {
      const i = space[p]!;
      pivotDegree += weight[i]!;
      for (let k = start[i]!; k < start[i]! + this.elements[i]!; k++) {
        const element = space[k]!;
        if (this.kind[element] !== ELEMENT) continue;
        if (stamp[element]! < this.clock) stamp[element] = this.clock + degree[element]!;
        stamp[element]! -= weight[i]!;
      }
    }
    degree[pivot] = pivotDegree;
  }

  /** Prunes the lists of the new element's variables, absorbs covered elements and bounds the new degrees. */
  private updateVariables(pivot: number): void {
    const { space, start, size, stamp, weight, degree, kind, inPivot } = this;
    const pivotDegree = degree[pivot]!;
    for (let p = start[pivot]!; p < start[pivot]! + size[pivot]!; p++) {
      const i = space[p]!;
      const from = start[i]!;
      const to = from + size[i]!;
      const firstVariable = from + this.elements[i]!;
      let keep = from;
      let outside = 0;
      let hash = 0;
      for (let k = from; k < firstVariable; k++) {
        const element = space[k]!;
        if (kind[element] !== ELEMENT) continue;
        const beyond = stamp[element]! - this.clock;
        if (beyond <= 0) {
          kind[element] = GONE;
          continue;
        }
        outside += beyond;
        hash += element;
        space[keep++] = element;
      }
      const elementsKept = keep - from;
      // One entry at least has been dropped (the pivot itself, or the element that led to it), so the slot of
      // the new element fits; the first kept variable makes room for it below.
      let variableEnd = keep;
      for (let k = firstVariable; k < to; k++) {
        const neighbour = space[k]!;
        if (kind[neighbour] !== VARIABLE || inPivot[neighbour] === 1) continue;
        outside += weight[neighbour]!;
        hash += neighbour;
        space[variableEnd++] = neighbour;
      }
      if (outside === 0) {
        this.absorb(i, pivot);
        this.left -= weight[i]!;
        weight[i] = 0;
        continue;
      }
      const moved = space[keep]!;
      if (variableEnd > keep) space[variableEnd] = moved;
      space[keep] = pivot;
      size[i] = variableEnd - from + 1;
      this.elements[i] = elementsKept + 1;
      const rest = pivotDegree - weight[i]!;
      degree[i] = Math.min(degree[i]! + rest, outside + rest);
      const slot = (hash + pivot) % this.n;
      this.hashNext[i] = this.hashHead[slot]!;
      this.hashHead[slot] = i;
      this.previous[i] = slot;
    }
  }

  /** Joins variables of the new element whose lists are equal: they will stay neighbours to the end. */
  private mergeIndistinguishable(pivot: number): void {
    const { space, start, size, weight, kind, stamp } = this;
    for (let p = start[pivot]!; p < start[pivot]! + size[pivot]!; p++) {
      const slot = kind[space[p]!] === VARIABLE ? this.previous[space[p]!]! : -1;
      if (slot === -1 || this.hashHead[slot] === -1) continue;
      let first = this.hashHead[slot]!;
      this.hashHead[slot] = -1;
      for (; first !== -1 && this.hashNext[first] !== -1; first = this.hashNext[first]!) {
        this.clock += this.n + 1;
        const from = start[first]!;
        for (let k = from; k < from + size[first]!; k++) stamp[space[k]!] = this.clock;
        let before = first;
        for (let other = this.hashNext[first]!; other !== -1; other = this.hashNext[other]!) {
          if (!this.sameLists(first, other)) {
            before = other;
            continue;
          }
          weight[first]! += weight[other]!;
          weight[other] = 0;
          this.absorb(other, first);
          this.hashNext[before] = this.hashNext[other]!;
        }
      }
    }
  }

  private sameLists(first: number, other: number): boolean {
    const { space, start, size, stamp } = this;
    if (size[first] !== size[other] || this.elements[first] !== this.elements[other]) return false;
    for (let k = start[other]!; k < start[other]! + size[other]!; k++) {
      if (stamp[space[k]!] !== this.clock) return false;
    }
    return true;
  }

  private absorb(variable: number, into: number): void {
    this.kind[variable] = GONE;
    this.memberNext[this.memberLast[into]!] = variable;
    this.memberLast[into] = this.memberLast[variable]!;
  }

  private finishElement(pivot: number): void {
    const { space, start, size, weight, degree, kind, inPivot } = this;
    const pivotDegree = degree[pivot]!;
    const from = start[pivot]!;
    let keep = from;
    let left = 0;
    for (let p = from; p < from + size[pivot]!; p++) {
      const i = space[p]!;
      inPivot[i] = 0;
      if (kind[i] !== VARIABLE) continue;
      degree[i] = Math.max(0, Math.min(degree[i]!, this.left - weight[i]!, this.n - 1));
      this.intoBucket(i);
      left += weight[i]!;
      space[keep++] = i;
    }
    size[pivot] = keep - from;
    degree[pivot] = Math.min(pivotDegree, left);
    if (size[pivot] === 0) kind[pivot] = GONE;
    this.used = keep;
  }

  /** Makes room for a new list, closing the gaps that pruned lists left and growing the space if need be. */
  private reserve(needed: number): void {
    if (this.used + needed <= this.space.length) return;
    let live = 0;
    for (let i = 0; i < this.n; i++) if (this.kind[i] !== GONE) live += this.size[i]!;
    const target = new Int32Array(Math.max(this.space.length, live + needed + (live >> 2)));
    let end = 0;
    for (let i = 0; i < this.n; i++) {
      if (this.kind[i] === GONE) continue;
      const from = this.start[i]!;
      target.set(this.space.subarray(from, from + this.size[i]!), end);
      this.start[i] = end;
      end += this.size[i]!;
    }
    this.space = target;
    this.used = end;
  }
}
