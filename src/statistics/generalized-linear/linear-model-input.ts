import { logGamma } from "../distributions/log-gamma.ts";
import type { DenseMatrix } from "../linear-algebra/dense-matrix.ts";
import { dependentColumns, pivotedQr } from "../linear-algebra/pivoted-qr.ts";
import type { FitTrouble, Unfit } from "../verdict.ts";
import type { Family } from "./family.ts";

/**
 * Data of a generalized linear model: one value a row in every array, none missing. `columns` are the fixed
 * effects, an intercept being a column of ones. `outcome` holds successes (binomial), counts (poisson) or values
 * (gaussian); `trials` the trials of a binomial row (one where left out). `offset` is added to the linear
 * predictor; `priorWeights` multiply a row's log-likelihood.
 */
export interface GeneralizedLinearInput {
  readonly family: Family;
  readonly names: readonly string[];
  readonly columns: readonly Float64Array[];
  readonly outcome: Float64Array;
  readonly trials?: Float64Array;
  readonly offset?: Float64Array;
  readonly priorWeights?: Float64Array;
}

/** The parsed data; `trials` of a count are the number of counts that were added up in its row. */
export interface LinearModelData {
  readonly family: Family;
  readonly names: readonly string[];
  readonly design: DenseMatrix;
  readonly outcome: Float64Array;
  readonly trials: Float64Array;
  readonly offset: Float64Array;
  readonly priorWeights: Float64Array;
}

/** Checks and lays out the data; a closed reason where the data rule the model out before any fit. */
export function parseLinearModel(input: GeneralizedLinearInput): LinearModelData | Unfit {
  const rows = input.outcome.length;
  if (rows === 0) return unfit("no_rows", "no rows");
  const arrays: [string, Float64Array | undefined][] = [
    ["outcome", input.outcome],
    ["trials", input.trials],
    ["offset", input.offset],
    ["priorWeights", input.priorWeights],
    ...input.columns.map((column, k): [string, Float64Array] => [input.names[k] ?? `column ${k}`, column]),
  ];
  for (const [name, array] of arrays) {
    if (array === undefined) continue;
    if (array.length !== rows) return unfit("invalid_input", `${name} has ${array.length} of ${rows} rows`);
    if (!array.every(Number.isFinite)) return unfit("invalid_input", `${name} has a value that is no number`);
  }
  if (input.names.length !== input.columns.length) return unfit("invalid_input", "one name a column");
  const data: LinearModelData = {
    family: input.family,
    names: input.names,
    design: rowByRow(input.columns, rows),
    outcome: input.outcome,
    trials: input.trials ?? new Float64Array(rows).fill(1),
    offset: input.offset ?? new Float64Array(rows),
    priorWeights: input.priorWeights ?? new Float64Array(rows).fill(1),
  };
  return whyNot(data) ?? data;
}

/** Why data in parsed form cannot be fitted at all, or null. */
export function whyNot(data: LinearModelData): Unfit | null {
  const { outcome, trials, priorWeights, design, family } = data;
  if (priorWeights.some((weight) => weight < 0)) return unfit("invalid_input", "negative prior weight");
  if (family.distribution !== "gaussian") {
    if (!outcome.every(isCount)) return unfit("invalid_input", "outcome must be whole and not negative");
  }
  if (family.distribution === "binomial") {
    if (!trials.every(isCount)) return unfit("invalid_input", "trials must be whole and not negative");
    if (outcome.some((y, i) => y > trials[i])) return unfit("invalid_input", "more successes than trials");
  }
  if (design.columns > 0) {
    const qr = pivotedQr(design);
    if (qr.rank < design.columns && design.rows > qr.rank) {
      return unfit(
        "rank_deficient",
        dependentColumns(qr)
          .map((k) => data.names[k])
          .join(", "),
      );
    }
  }
  if (design.rows < design.columns) {
    return unfit("too_few_rows", `${design.rows} rows for ${design.columns} columns`);
  }
  return outcomeWithoutContrast(data);
}

/** The data's part of the log-likelihood, for families whose scale is known. */
export function logLikelihoodConstant(data: LinearModelData): number {
  const { outcome, trials, priorWeights } = data;
  if (data.family.distribution === "gaussian") return 0;
  const binomial = data.family.distribution === "binomial";
  let sum = 0;
  for (let i = 0; i < outcome.length; i++) {
    if (binomial && trials[i] <= 1) continue;
    if (!binomial && outcome[i] <= 1 && trials[i] === 1) continue;
    const term = binomial
      ? logGamma(trials[i] + 1) - logGamma(outcome[i] + 1) - logGamma(trials[i] - outcome[i] + 1)
      : outcome[i] * Math.log(trials[i]) - logGamma(outcome[i] + 1);
    sum += priorWeights[i] * term;
  }
  return sum;
}

export function unfit(trouble: FitTrouble, detail: string, verdict: Unfit["verdict"] = "failed"): Unfit {
  return { verdict, trouble, detail };
}

function rowByRow(columns: readonly Float64Array[], rows: number): DenseMatrix {
  const width = columns.length;
  const values = new Float64Array(rows * width);
  columns.forEach((column, j) => {
    for (let i = 0; i < rows; i++) values[i * width + j] = column[i];
  });
  return { rows, columns: width, values };
}

function isCount(value: number): boolean {
  return value >= 0 && Number.isInteger(value);
}

function outcomeWithoutContrast(data: LinearModelData): Unfit | null {
  const { outcome, trials, family } = data;
  if (family.distribution === "gaussian") {
    return outcome.every((y) => y === outcome[0]) ? unfit("constant_outcome", `always ${outcome[0]}`) : null;
  }
  if (outcome.every((y) => y === 0)) return unfit("no_events", "no row has an event");
  if (family.distribution === "binomial" && outcome.every((y, i) => y === trials[i])) {
    return unfit("constant_outcome", "every trial is a success");
  }
  return null;
}
