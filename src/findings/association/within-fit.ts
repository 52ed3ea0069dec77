import { zeroMatrix } from "../../statistics/linear-algebra/dense-matrix.ts";
import type { FixedColumns } from "../../statistics/mixed-model-terms.ts";
import {
  type AbsorbedPanel,
  absorbPanel,
  type PanelRows,
} from "../../statistics/panel-shocks/absorbed-panel.ts";
import { type AveragedSlope, averageOverShocks } from "../../statistics/panel-shocks/average-over-shocks.ts";
import { type GramRegression, regressFromGram } from "../../statistics/panel-shocks/gram-regression.ts";
import { type PanelShocks, shockedGram } from "../../statistics/panel-shocks/shocked-gram.ts";
import type { Unfit } from "../../statistics/verdict.ts";
import type { ExposureId } from "./exposures.ts";
import { type Focus, focusColumn } from "./focus.ts";
import { mapExposures, type OutcomeRows, selectRows } from "./outcome-rows.ts";
import {
  hasRandomMonths,
  type Link,
  singleLevels,
  type WorkingModel,
  workingModel,
} from "./working-model.ts";

/** Events, and rows without one, from which a binary outcome is modelled; and for each slope. Project defaults. */
const LEAST_EVENTS = 20;
const EVENTS_PER_SLOPE = 5;

/**
 * The main model of an outcome: pens fixed, the within part of every focus jointly, with animals, autocorrelated
 * pen-months and months at random.
 */
export interface WithinFit {
  readonly link: Link;
  readonly rows: OutcomeRows;
  readonly focuses: readonly Focus[];
  /** Slope of each focus; null where pens and covariates leave none of it. */
  readonly slopes: readonly (AveragedSlope | null)[];
  /** No slope has more degrees of freedom than this: pen-months − pens − months − focuses. */
  readonly mostDf: number;
  readonly working: WorkingModel;
  readonly fixed: FixedColumns;
  readonly panel: PanelRows;
  /** Shocks with the highest restricted likelihood: checks are worked out at these. */
  readonly shocks: PanelShocks;
  readonly regression: GramRegression;
  readonly absorbed: AbsorbedPanel;
  /** Columns of the regression by number: 0 is the response, then focuses, pens, covariates. */
  readonly focusAt: readonly number[];
  readonly penAt: readonly number[];
  readonly covariateAt: readonly number[];
  /** By how much the outcome's own fit differs from a linear step at the same variances; 0 where it is linear. */
  readonly nonlinearity: readonly number[];
  /** Rows with the event; 0 for growth. */
  readonly events: number;
}

export type WithinResult =
  | WithinFit
  | { readonly why: "too_few_events"; readonly events: number; readonly needed: number }
  | { readonly why: "too_few_degrees"; readonly df: number }
  | { readonly why: "too_few_pens"; readonly pens: number }
  | { readonly why: "not_converged"; readonly unfit: Unfit | null };

export const LEAST_DF = 3;

/** Fits the main model on the rows where every focus is known. */
export function fitWithin(all: OutcomeRows, focuses: readonly Focus[], link: Link): WithinResult {
  const rows = modelledRows(all, focuses, link);
  if (rows.pens.length < 2) return { why: "too_few_pens", pens: rows.pens.length };
  const mostDf = rows.penMonths.length - rows.pens.length - rows.months.length - focuses.length;
  if (mostDf < LEAST_DF) return { why: "too_few_degrees", df: Math.max(0, mostDf) };
  const events = link === "identity" ? 0 : rows.outcome.reduce((sum, y) => sum + y, 0);
  const needed = Math.max(LEAST_EVENTS, EVENTS_PER_SLOPE * focuses.length);
  if (link !== "identity" && Math.min(events, rows.count - events) < needed) {
    return { why: "too_few_events", events: Math.min(events, rows.count - events), needed };
  }
  const started = startModel(rows, focuses, link);
  if ("verdict" in started) return { why: "not_converged", unfit: started };
  const { laidOut, working } = started;
  const panel: PanelRows = {
    precision: working.precision,
    group: rows.animal,
    groups: rows.animals,
    groupVariance: working.animalVariance,
    cell: rows.penMonth,
    cells: working.cells,
    blocks: working.blocks,
  };
  const absorbed = absorbPanel(panel, [working.response, ...laidOut.fixed.columns]);
  const columns = laidOut.fixed.columns.map((_, k) => k + 1);
  const average = averageOverShocks(absorbed, 0, columns, laidOut.focusAt, {
    start: working.shocks,
    leastSd: working.leastSd,
    variedBlocks: working.variedBlocks,
  });
  if (average === undefined) return { why: "not_converged", unfit: null };
  const nonlinearity = laidOut.focusAt.map(() => 0);
  if (working.coefficients !== null) {
    const step = shockedGram(absorbed, working.shocks);
    const linear = step === undefined ? undefined : regressFromGram(step.gram, 0, columns);
    laidOut.focusAt.forEach((column, k) => {
      const at = linear?.columns.indexOf(column) ?? -1;
      if (at >= 0) nonlinearity[k] = working.coefficients![column - 1]! - linear!.estimates[at]!;
    });
  }
  return {
    link,
    rows,
    focuses,
    slopes: average.slopes.map((slope, k) =>
      slope === null
        ? null
        : { ...slope, estimate: slope.estimate + nonlinearity[k]!, df: Math.min(slope.df, mostDf) },
    ),
    mostDf,
    working,
    fixed: laidOut.fixed,
    panel,
    shocks: average.best,
    regression: average.regression,
    absorbed,
    focusAt: laidOut.focusAt,
    penAt: laidOut.penAt,
    covariateAt: laidOut.covariateAt,
    nonlinearity,
    events,
  };
}

/**
 * Lays the columns out and fits the outcome's own model on them. Indicators that part the events from the rest between
 * them, though none does so alone, would run away: they are left out one by one, from the last, until none does.
 */
function startModel(
  rows: OutcomeRows,
  focuses: readonly Focus[],
  link: Link,
): { readonly laidOut: LaidOutColumns; readonly working: WorkingModel } | Unfit {
  const leftOut = new Set<string>();
  for (;;) {
    const laidOut = columnsOf(rows, focuses, link, leftOut);
    const working = workingModel(rows, laidOut.fixed, link);
    if (!("verdict" in working)) return { laidOut, working };
    if (working.trouble !== "perfect_separation") return working;
    const covariates = laidOut.covariateAt.map((column) => laidOut.fixed.names[column - 1]!);
    const named = covariates.filter((name) => working.detail.split(", ").includes(name));
    const last = (named.length > 0 ? named : covariates).at(-1);
    if (last === undefined) return working;
    leftOut.add(last);
  }
}

/** Within parts of all exposures, for a focus to read. */
export function withinColumns(rows: OutcomeRows): Readonly<Record<ExposureId, Float64Array>> {
  return mapExposures(rows.exposed, ({ within }) => within);
}

/** Each pen's share of every row's days. */
function penColumns(rows: OutcomeRows): Float64Array[] {
  const columns = rows.pens.map(() => new Float64Array(rows.count));
  const { rowStart, level, weight } = rows.penShare;
  for (let i = 0; i < rows.count; i++) {
    for (let k = rowStart[i]!; k < rowStart[i + 1]!; k++) columns[level[k]!]![i]! += weight[k]!;
  }
  return columns;
}

/**
 * Rows on which all focuses are known. A pen in which the event was never or always seen says nothing about what
 * differs within it, and its fixed effect would run away: its rows are left out; so are those of such a month where
 * months are fixed.
 */
function modelledRows(all: OutcomeRows, focuses: readonly Focus[], link: Link): OutcomeRows {
  const within = withinColumns(all);
  const columns = focuses.map((focus) => focusColumn(focus, within));
  let kept = Array.from({ length: all.count }, (_, i) => i).filter(
    (i) => !columns.some((column) => Number.isNaN(column[i]!)),
  );
  if (link !== "identity") {
    const monthOf = singleLevels({ name: "month", levels: all.months.length, membership: all.month });
    const monthsFixed = !hasRandomMonths(all);
    for (let before = -1; before !== kept.length; ) {
      before = kept.length;
      kept = withBothOutcomes(all, kept, all.pen);
      if (monthsFixed) kept = withBothOutcomes(all, kept, monthOf);
    }
  }
  return kept.length === all.count ? all : selectRows(all, Int32Array.from(kept));
}

/** The rows at `places` whose level holds both outcomes among them. */
function withBothOutcomes(rows: OutcomeRows, places: readonly number[], level: Int32Array): number[] {
  const seen = new Map<number, { events: number; rows: number }>();
  for (const i of places) {
    const own = seen.get(level[i]!) ?? { events: 0, rows: 0 };
    own.events += rows.outcome[i]!;
    own.rows++;
    seen.set(level[i]!, own);
  }
  return places.filter((i) => {
    const own = seen.get(level[i]!)!;
    return own.events > 0 && own.events < own.rows;
  });
}

interface LaidOutColumns {
  readonly fixed: FixedColumns;
  readonly focusAt: readonly number[];
  readonly penAt: readonly number[];
  readonly covariateAt: readonly number[];
}

/** Focuses, pens and covariates as fixed columns, those left out that pens and the ones before them make up. */
function columnsOf(
  rows: OutcomeRows,
  focuses: readonly Focus[],
  link: Link,
  leftOut: ReadonlySet<string>,
): LaidOutColumns {
  const within = withinColumns(rows);
  const pens = penColumns(rows);
  const covariates = rows.covariates.columns.map((column, k) => ({
    name: rows.covariates.names[k]!,
    column,
  }));
  const told = covariates.filter(
    ({ name, column }) => !leftOut.has(name) && (link === "identity" || separatesNothing(rows, column)),
  );
  const candidates = [
    ...pens.map((column, k) => ({ name: `pen:${k}`, kind: "pen", column })),
    ...focuses.map((focus) => ({ name: focus.id, kind: "focus", column: focusColumn(focus, within) })),
    ...told.map(({ name, column }) => ({ name, kind: "covariate", column })),
  ];
  const kept = independent(candidates.map(({ column }) => column)).map((k) => candidates[k]!);
  const ordered = ["focus", "pen", "covariate"].flatMap((kind) => kept.filter((one) => one.kind === kind));
  const at = (kind: string): number[] => ordered.flatMap((one, k) => (one.kind === kind ? [k + 1] : []));
  const focusColumns = focuses.map((focus) => ordered.findIndex((one) => one.name === focus.id) + 1);
  return {
    fixed: { names: ordered.map(({ name }) => name), columns: ordered.map(({ column }) => column) },
    focusAt: focusColumns,
    penAt: at("pen"),
    covariateAt: at("covariate"),
  };
}

/** Whether an indicator's rows hold both outcomes: else its effect would run away and its level joins the reference. */
function separatesNothing(rows: OutcomeRows, column: Float64Array): boolean {
  let events = 0;
  let mass = 0;
  for (let i = 0; i < rows.count; i++) {
    if (column[i]! < 0) return true;
    mass += column[i]!;
    events += column[i]! * rows.outcome[i]!;
  }
  return events > 0 && events < mass;
}

/** Places of the columns that those before them do not make up. */
function independent(columns: readonly Float64Array[]): readonly number[] {
  const n = columns.length;
  const gram = zeroMatrix(n + 1, n + 1);
  columns.forEach((a, i) => {
    for (let j = 0; j <= i; j++) {
      const b = columns[j]!;
      let sum = 0;
      for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
      gram.values[i * (n + 1) + j] = sum;
      gram.values[j * (n + 1) + i] = sum;
    }
  });
  return regressFromGram(
    gram,
    n,
    columns.map((_, k) => k),
  ).columns;
}
