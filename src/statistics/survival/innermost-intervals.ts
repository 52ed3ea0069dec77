import type { CensoredTimes } from "./censored-times.ts";

/**
 * Where a nonparametric estimate can put mass (Peto 1973, Appl. Stat. 22:86-91; Turnbull 1976, JRSS B 38:290-295):
 * the intervals (left, right] between a left end and the right end that follows it with no other end between.
 * A single point where left = right. Row i covers intervals first[i] … last[i].
 */
export interface InnermostIntervals {
  readonly left: Float64Array;
  readonly right: Float64Array;
  readonly first: Int32Array;
  readonly last: Int32Array;
}

/**
 * Every end of every row as a whole number, in the order of the time line. At one time the ends stand in this
 * order: the closed left end of an exact time, a right end (closed), the open left end of an interval.
 */
export interface CodedEnds {
  readonly values: Float64Array;
  readonly left: Int32Array;
  readonly right: Int32Array;
}

const CLOSED_LEFT = 0;
const RIGHT = 1;
const OPEN_LEFT = 2;

/** Codes the ends once, so that resamples of the same rows need no further sort. */
export function codeEnds({ left, right }: Pick<CensoredTimes, "left" | "right">): CodedEnds {
  const values = distinct(left, right);
  const code = new Map<number, number>();
  for (let k = 0; k < values.length; k++) code.set(values[k], 3 * k);
  return {
    values,
    left: Int32Array.from(
      left,
      (value, i) => code.get(value)! + (value === right[i] ? CLOSED_LEFT : OPEN_LEFT),
    ),
    right: Int32Array.from(right, (value) => code.get(value)! + RIGHT),
  };
}

/** Innermost intervals of the rows with positive weight; the others cover none (first > last). */
export function innermostIntervals(ends: CodedEnds, weights: Float64Array): InnermostIntervals {
  const codes = 3 * ends.values.length;
  const seen = new Uint8Array(codes);
  for (let i = 0; i < weights.length; i++) {
    if (weights[i] > 0) {
      seen[ends.left[i]] = 1;
      seen[ends.right[i]] = 1;
    }
  }
  // How many innermost intervals begin before a code, and how many end at or before it.
  const startsBefore = new Int32Array(codes + 1);
  const endsBy = new Int32Array(codes);
  const left: number[] = [];
  const right: number[] = [];
  let openLeft = -1;
  for (let c = 0; c < codes; c++) {
    if (seen[c] === 1) {
      if (c % 3 !== RIGHT) openLeft = c;
      else if (openLeft >= 0) {
        left.push(ends.values[(openLeft - (openLeft % 3)) / 3]);
        right.push(ends.values[(c - RIGHT) / 3]);
        startsBefore[openLeft + 1] = 1;
        endsBy[c] = 1;
        openLeft = -1;
      }
    }
  }
  for (let c = 0; c < codes; c++) {
    startsBefore[c + 1] += startsBefore[c];
    if (c > 0) endsBy[c] += endsBy[c - 1];
  }
  const first = new Int32Array(weights.length);
  const last = new Int32Array(weights.length).fill(-1);
  for (let i = 0; i < weights.length; i++) {
    if (weights[i] > 0) {
      first[i] = startsBefore[ends.left[i]];
      last[i] = endsBy[ends.right[i]] - 1;
    }
  }
  return { left: Float64Array.from(left), right: Float64Array.from(right), first, last };
}

function distinct(left: Float64Array, right: Float64Array): Float64Array {
  const all = new Float64Array(left.length + right.length);
  all.set(left);
  all.set(right, left.length);
  all.sort();
  let kept = 0;
  for (let i = 0; i < all.length; i++) {
    if (i === 0 || all[i] !== all[i - 1]) all[kept++] = all[i];
  }
  return all.slice(0, kept);
}
