import { type SparseSymmetric, sparseFromTriplets } from "../linear-algebra/sparse-symmetric.ts";
import type { MixedModel, ModelTerm } from "./model-input.ts";
import { thetaCount, thetaPlace } from "./term-factor.ts";

/**
 * The random part of a model row by row. Row i meets the random effects `coordinate[s]` for s from
 * `rowStart[i]` to `rowStart[i + 1] − 1` (its slots). Effect `b` of level l of a term stands at coordinate
 * `termStart[term] + l·effectCount + b`. All effects are standard normal; the term's lower-triangular factor T(θ)
 * scales them, so that a slot multiplies its effect by weight·Σ_{a ≥ b} T_ab·z_a: the sum over its loads
 * e = `loadStart[s]`, … of `load[e]`·θ[`slotTheta[s]` + e − `loadStart[s]`].
 */
export interface RandomDesign {
  readonly order: number;
  readonly thetas: number;
  readonly termStart: Int32Array;
  readonly thetaStart: Int32Array;
  readonly rowStart: Int32Array;
  readonly coordinate: Int32Array;
  readonly slotTheta: Int32Array;
  readonly loadStart: Int32Array;
  readonly load: Float64Array;
  /** Pattern of Z'Z and, for each row's pairs of slots (s, r ≤ s), the place of their entry in it. */
  readonly pattern: SparseSymmetric;
  readonly pairStart: Float64Array;
  readonly pairPlace: Int32Array;
}

export function randomDesign(model: MixedModel): RandomDesign {
  const { rows, terms } = model;
  const termStart = new Int32Array(terms.length + 1);
  const thetaStart = new Int32Array(terms.length + 1);
  terms.forEach((term, t) => {
    termStart[t + 1] = termStart[t] + term.levels * term.effectCount;
    thetaStart[t + 1] = thetaStart[t] + thetaCount(term);
  });
  const rowStart = new Int32Array(rows + 1);
  const pairStart = new Float64Array(rows + 1);
  let loads = 0;
  for (let i = 0; i < rows; i++) {
    let slots = 0;
    for (const term of terms) {
      slots += membershipCount(term, i) * term.effectCount;
      loads += membershipCount(term, i) * thetaCount(term);
    }
    rowStart[i + 1] = rowStart[i] + slots;
    pairStart[i + 1] = pairStart[i] + (slots * (slots + 1)) / 2;
  }
  const slots = rowStart[rows];
  const coordinate = new Int32Array(slots);
  const slotTheta = new Int32Array(slots);
  const loadStart = new Int32Array(slots + 1);
  const load = new Float64Array(loads);
  let s = 0;
  let e = 0;
  for (let i = 0; i < rows; i++) {
    for (let t = 0; t < terms.length; t++) {
      const { membership, effectCount: q, effectValues, independent } = terms[t];
      const single = membership instanceof Int32Array;
      const from = single ? i : membership.rowStart[i];
      const to = single ? i + 1 : membership.rowStart[i + 1];
      for (let m = from; m < to; m++) {
        const level = single ? membership[m] : membership.level[m];
        const weight = single ? 1 : membership.weight[m];
        for (let b = 0; b < q; b++) {
          coordinate[s] = termStart[t] + level * q + b;
          slotTheta[s] = thetaStart[t] + thetaPlace(terms[t], b, b);
          const end = independent ? b + 1 : q;
          for (let a = b; a < end; a++) load[e++] = weight * (effectValues?.[i * q + a] ?? 1);
          loadStart[++s] = e;
        }
      }
    }
  }
  const order = termStart[terms.length];
  const { pattern, pairPlace } = pairPattern(order, rows, rowStart, coordinate, pairStart[rows]);
  const thetas = thetaStart[terms.length];
  const slotsOf = { rowStart, coordinate, slotTheta, loadStart, load };
  return { order, thetas, termStart, thetaStart, ...slotsOf, pattern, pairStart, pairPlace };
}

function membershipCount(term: ModelTerm, row: number): number {
  const { membership } = term;
  return membership instanceof Int32Array ? 1 : membership.rowStart[row + 1] - membership.rowStart[row];
}

/**
 * The pattern that all rows' pairs make together, and each pair's place in it. Pairs are first gathered under a key
 * so that each entry is given once.
 */
function pairPattern(
  order: number,
  rows: number,
  rowStart: Int32Array,
  coordinate: Int32Array,
  pairs: number,
): { pattern: SparseSymmetric; pairPlace: Int32Array } {
  const entryOf = new Map<number, number>();
  const pairPlace = new Int32Array(pairs);
  const low: number[] = [];
  const high: number[] = [];
  for (let i = 0, at = 0; i < rows; i++) {
    for (let s = rowStart[i]; s < rowStart[i + 1]; s++) {
      for (let r = rowStart[i]; r <= s; r++, at++) {
        const from = Math.min(coordinate[s], coordinate[r]);
        const to = Math.max(coordinate[s], coordinate[r]);
        const key = from * order + to;
        let entry = entryOf.get(key);
        if (entry === undefined) {
          entry = low.length;
          entryOf.set(key, entry);
          low.push(from);
          high.push(to);
        }
        pairPlace[at] = entry;
      }
    }
  }
  const pattern = sparseFromTriplets(order, high, low, new Float64Array(low.length));
  const placeOf = Int32Array.from(low, (column, e) => findPlace(pattern, high[e], column));
  for (let at = 0; at < pairs; at++) pairPlace[at] = placeOf[pairPlace[at]];
  return { pattern, pairPlace };
}

function findPlace(pattern: SparseSymmetric, row: number, column: number): number {
  let low = pattern.columnStart[column];
  let high = pattern.columnStart[column + 1] - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (pattern.rowIndex[middle] < row) low = middle + 1;
    else high = middle;
  }
  return low;
}
