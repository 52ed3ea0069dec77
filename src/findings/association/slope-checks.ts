import type { DenseMatrix } from "../../statistics/linear-algebra/dense-matrix.ts";
import { absorbPanel } from "../../statistics/panel-shocks/absorbed-panel.ts";
import { type GramRegression, regressFromGram } from "../../statistics/panel-shocks/gram-regression.ts";
import { shockedGram } from "../../statistics/panel-shocks/shocked-gram.ts";
import { focusColumn } from "./focus.ts";
import { mapExposures } from "./outcome-rows.ts";
import { LEAST_DF, type WithinFit } from "./within-fit.ts";
import { FREE_VARIANCE } from "./working-model.ts";

/*
 * What is asked beside a main fit. Every check is a regression at the variances of the main fit: exact for growth, one
 * step of iteratively reweighted least squares from the main fit for a binary outcome.
 */

/** A slope of a check, on the scale of the model. */
export interface CheckedSlope {
  readonly estimate: number;
  readonly standardError: number;
  readonly df: number;
  readonly rows: number;
}

/** The cross-products of the main fit at its best shocks; `freeMonths` lets the months go where they will. */
function mainGram(fit: WithinFit, months: "random" | "free" | "none"): DenseMatrix | undefined {
  const { shocks } = fit;
  const [, ...others] = shocks.blockVariances;
  const month = months === "free" ? FREE_VARIANCE : months === "none" ? 0 : shocks.blockVariances[0]!;
  return shockedGram(fit.absorbed, { ...shocks, blockVariances: [month, ...others] })?.gram;
}

/** The slope of focus k with pens and months but no other exposure and nothing else to adjust for. */
export function unadjusted(fit: WithinFit): (CheckedSlope | null)[] {
  const gram = mainGram(fit, "random");
  return fit.focusAt.map((column, k) =>
    gram === undefined
      ? null
      : slopeAt(fit, k, regressFromGram(gram, 0, [...fit.penAt, column]), column, true),
  );
}

/** The slopes with months fixed instead of random; none where they are fixed already. */
export function withMonthsFixed(fit: WithinFit): (CheckedSlope | null)[] {
  const gram = fit.working.variedBlocks.includes(0) ? mainGram(fit, "free") : undefined;
  const regression = gram === undefined ? undefined : regressFromGram(gram, 0, allColumns(fit));
  return fit.focusAt.map((column, k) =>
    regression === undefined ? null : slopeAt(fit, k, regression, column, true),
  );
}

/** Share of each slope's information that the months take: 1 − information with them / without. */
export function sharesOfCalendar(fit: WithinFit): (number | null)[] {
  const withMonths = mainGram(fit, "random");
  const without = mainGram(fit, "none");
  if (withMonths === undefined || without === undefined) return fit.focusAt.map(() => null);
  const [a, b] = [withMonths, without].map((gram) => regressFromGram(gram, 0, allColumns(fit)));
  return fit.focusAt.map((column) => {
    const [v, v0] = [varianceAt(a!, column), varianceAt(b!, column)];
    return v === null || v0 === null ? null : 1 - v0 / v;
  });
}

/** The slopes of the main columns without the rows that `leftOut` names; `groups` pens or flocks fewer count for the df. */
export function leavingOut(
  fit: WithinFit,
  leftOut: (row: number) => boolean,
  mostDf: number,
): (CheckedSlope | null)[] {
  if (mostDf < LEAST_DF) return fit.focusAt.map(() => null);
  const checked = regressOn(fit, mainColumns(fit), (row) => !leftOut(row));
  if (checked === null) return fit.focusAt.map(() => null);
  const regression = regressFromGram(checked.gram, 0, allColumns(fit));
  return fit.focusAt.map((column, k) => {
    const slope = slopeAt(fit, k, regression, column, true, checked.rows);
    return slope === null ? null : { ...slope, df: Math.min(slope.df, mostDf) };
  });
}

/** The slopes of exposures meaned over another window. */
export function atOtherLag(fit: WithinFit, lag: number): (CheckedSlope | null)[] {
  const exposed = fit.rows.otherLags.get(lag);
  if (exposed === undefined) return fit.focusAt.map(() => null);
  const within = mapExposures(exposed, (column) => column.within);
  const focus = fit.focuses.map((one) => focusColumn(one, within));
  const columns = mainColumns(fit);
  fit.focusAt.forEach((at, k) => {
    if (at > 0) columns[at] = focus[k]!;
  });
  const checked = regressOn(fit, columns, (row) => focus.every((column) => !Number.isNaN(column[row]!)));
  if (checked === null) return fit.focusAt.map(() => null);
  const regression = regressFromGram(checked.gram, 0, allColumns(fit));
  return fit.focusAt.map((column, k) => slopeAt(fit, k, regression, column, false, checked.rows));
}

/** The weeks before and after in one model: what came after can have had no part. */
export interface FutureControl {
  readonly before: CheckedSlope;
  readonly after: CheckedSlope;
  /** Too alike, or the slope after too wide, to say anything. */
  readonly silent: boolean;
}

const LARGEST_PAIR_INFLATION = 5;
const WIDEST_AFTER = 4;

export function futureControls(fit: WithinFit): (FutureControl | null)[] {
  const before = mapExposures(fit.rows.control, (column) => column.before);
  const after = mapExposures(fit.rows.control, (column) => column.after);
  const befores = fit.focuses.map((focus) => focusColumn(focus, before));
  const afters = fit.focuses.map((focus) => focusColumn(focus, after));
  const columns = mainColumns(fit);
  fit.focusAt.forEach((at, k) => {
    if (at > 0) columns[at] = befores[k]!;
  });
  const first = columns.length;
  const known = (row: number): boolean =>
    [...befores, ...afters].every((column) => !Number.isNaN(column[row]!));
  const checked = regressOn(fit, [...columns, ...afters], known);
  return fit.focusAt.map((column, k) => {
    if (checked === null || column === 0) return null;
    const pair = regressFromGram(checked.gram, 0, [...allColumns(fit), first + k]);
    const alone = regressFromGram(checked.gram, 0, allColumns(fit));
    const slopeBefore = slopeAt(fit, k, pair, column, false, checked.rows);
    const slopeAfter = slopeAt(fit, k, pair, first + k, false, checked.rows);
    const own = varianceAt(alone, column);
    if (slopeBefore === null || slopeAfter === null || own === null) return null;
    const inflation = slopeBefore.standardError ** 2 / own;
    return {
      before: slopeBefore,
      after: slopeAfter,
      silent:
        inflation > LARGEST_PAIR_INFLATION ||
        slopeAfter.standardError > WIDEST_AFTER * slopeBefore.standardError,
    };
  });
}

/** Response and fixed columns of the main fit, as they were absorbed. */
export function mainColumns(fit: WithinFit): Float64Array[] {
  return [fit.working.response, ...fit.fixed.columns];
}

/** Numbers of all fixed columns of the main fit. */
export function allColumns(fit: WithinFit): number[] {
  return [...fit.focusAt.filter((at) => at > 0), ...fit.penAt, ...fit.covariateAt];
}

/** Cross-products at the main fit's shocks of some columns on some rows; null where hardly any is left. */
export function regressOn(
  fit: WithinFit,
  columns: readonly Float64Array[],
  keeps: (row: number) => boolean,
): { readonly gram: DenseMatrix; readonly rows: number } | null {
  const precision = fit.panel.precision.slice();
  let rows = 0;
  for (let i = 0; i < precision.length; i++) {
    if (keeps(i)) rows++;
    else precision[i] = 0;
  }
  if (rows < columns.length + 2) return null;
  const clean = columns.map((column) => column.map((value) => (Number.isNaN(value) ? 0 : value)));
  const absorbed = absorbPanel({ ...fit.panel, precision }, clean, fit.absorbed);
  const gram = shockedGram(absorbed, fit.shocks)?.gram;
  return gram === undefined ? null : { gram, rows };
}

function slopeAt(
  fit: WithinFit,
  focus: number,
  regression: GramRegression,
  column: number,
  sameColumn: boolean,
  rows = fit.rows.count,
): CheckedSlope | null {
  const at = regression.columns.indexOf(column);
  const main = fit.slopes[focus];
  if (at < 0 || main == null) return null;
  return {
    estimate: regression.estimates[at]! + (sameColumn ? fit.nonlinearity[focus]! : 0),
    standardError: Math.sqrt(regression.covariance.values[at * (regression.columns.length + 1)]!),
    df: main.df,
    rows,
  };
}

function varianceAt(regression: GramRegression, column: number): number | null {
  const at = regression.columns.indexOf(column);
  return at < 0 ? null : regression.covariance.values[at * (regression.columns.length + 1)]!;
}
