import type { FitTrouble, Unfit } from "../verdict.ts";

/**
 * Event times known to lie in (left, right], in one unit: exact where left = right, right-censored where right is
 * Infinity, left-censored where left is 0. `weights` are case weights, one where left out.
 */
export interface CensoredTimesInput {
  readonly left: ArrayLike<number>;
  readonly right: ArrayLike<number>;
  readonly weights?: ArrayLike<number>;
}

/** The same, checked. */
export interface CensoredTimes {
  readonly left: Float64Array;
  readonly right: Float64Array;
  readonly weights: Float64Array;
}

/** Checks censored times; names the first row that makes no sense. */
export function parseCensoredTimes(input: CensoredTimesInput): CensoredTimes | Unfit {
  const rows = input.left.length;
  if (rows === 0) return unfit("no_rows", "no rows");
  if (input.right.length !== rows)
    return unfit("invalid_input", `right has ${input.right.length} of ${rows} rows`);
  if (input.weights !== undefined && input.weights.length !== rows) {
    return unfit("invalid_input", `weights has ${input.weights.length} of ${rows} rows`);
  }
  const left = Float64Array.from(input.left);
  const right = Float64Array.from(input.right);
  const weights =
    input.weights === undefined ? new Float64Array(rows).fill(1) : Float64Array.from(input.weights);
  for (let i = 0; i < rows; i++) {
    if (!(left[i] >= 0 && left[i] < Infinity && right[i] >= left[i] && right[i] > 0)) {
      return unfit("invalid_input", `row ${i}: no event time lies in (${left[i]}, ${right[i]}]`);
    }
    if (!(weights[i] >= 0 && weights[i] < Infinity)) {
      return unfit("invalid_input", `row ${i}: a weight cannot be ${weights[i]}`);
    }
  }
  return { left, right, weights };
}

/** A closed reason for no estimate, in one line. */
export function unfit(trouble: FitTrouble, detail: string, verdict: Unfit["verdict"] = "failed"): Unfit {
  return { verdict, trouble, detail };
}
