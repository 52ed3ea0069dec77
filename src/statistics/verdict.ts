/**
 * What a model fit says of itself. Every fit in this room is a union over `verdict`, so that code which
 * wants an estimate must first have asked whether there is one.
 *
 * - `converged`: the gradient vanishes and the curvature has the right sign at an interior point.
 * - `singular`: the same, with at least one variance at its lower bound (an estimate of zero is an estimate).
 * - `flat`: the data do not identify the model; there is no estimate to print.
 * - `failed`: the search ended without meeting the convergence conditions, or the data rule the model out.
 */
export type Verdict = "converged" | "singular" | "flat" | "failed";

/** Why there is no estimate: a closed list, so that a caller can word each one. */
export type FitTrouble =
  | "no_rows"
  | "too_few_rows"
  | "rank_deficient"
  | "constant_outcome"
  | "perfect_separation"
  | "no_events"
  | "all_censored"
  | "too_few_groups"
  | "not_identified"
  | "not_converged"
  | "invalid_input";

/** A fit without estimates. `detail` names the offending column, level or value for a developer. */
export interface Unfit {
  readonly verdict: "flat" | "failed";
  readonly trouble: FitTrouble;
  readonly detail: string;
}

/** How the search went: kept with every fit so that result and provenance travel together. */
export interface SearchRecord {
  readonly start: readonly number[];
  readonly end: readonly number[];
  readonly objective: number;
  readonly evaluations: number;
  readonly largestGradient: number;
}
