import type { FixedColumns, MultipleMembership, RandomTerm } from "../mixed-model-terms.ts";
import type { MixedFamily } from "./row-likelihood.ts";

/**
 * Data of a generalized linear mixed model. `outcome` holds successes or counts, `trials` the trials of a binomial
 * row (one where left out). `offset` is added to the linear predictor. All arrays have one value a row, none
 * missing.
 */
export interface GeneralizedMixedInput {
  readonly family: MixedFamily;
  readonly outcome: Float64Array;
  readonly trials?: Float64Array;
  readonly offset?: Float64Array;
  readonly fixed: FixedColumns;
  readonly random: readonly RandomTerm[];
}

/** A parsed term: its effect values row by row (`effectCount` a row), or null where it is one intercept. */
export interface ModelTerm {
  readonly name: string;
  readonly levels: number;
  readonly effectCount: number;
  readonly independent: boolean;
  readonly membership: Int32Array | MultipleMembership;
  readonly effectValues: Float64Array | null;
}

/** The parsed model: equal rows merged, the fixed design row by row. */
export interface MixedModel {
  readonly family: MixedFamily;
  readonly rows: number;
  readonly rowsBeforeMerging: number;
  readonly fixedNames: readonly string[];
  readonly design: Float64Array;
  readonly offset: Float64Array;
  /** Successes or counts, summed over merged rows. */
  readonly total: Float64Array;
  /** Trials, or the number of counts, summed over merged rows. */
  readonly size: Float64Array;
  readonly terms: readonly ModelTerm[];
  /** The part of the log-likelihood that depends on the data alone. */
  readonly logConstant: number;
}
