/** Fixed effects as named columns, one value a row; an intercept is a column of ones. */
export interface FixedColumns {
  readonly names: readonly string[];
  readonly columns: readonly Float64Array[];
}

/** Rows that load on any number of levels: row i has entries rowStart[i] to rowStart[i + 1] − 1. */
export interface MultipleMembership {
  readonly rowStart: Int32Array;
  readonly level: Int32Array;
  readonly weight: Float64Array;
}

/**
 * One random term: for each of `levels` levels a normal vector of effects with mean zero. `membership` gives each
 * row's level (0 to levels − 1, or −1 for a row without one), or its levels with weights. `effects` are the columns
 * that the effects multiply (a column of ones for an intercept, a covariate for a slope); without them the term is
 * one random intercept. Several effects of one term are correlated unless `independent`.
 */
export interface RandomTerm {
  readonly name: string;
  readonly levels: number;
  readonly membership: Int32Array | MultipleMembership;
  readonly effects?: readonly Float64Array[];
  readonly independent?: boolean;
}
