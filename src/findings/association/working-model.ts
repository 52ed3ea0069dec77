import { links } from "../../statistics/generalized-linear/family.ts";
import { prepareGeneralizedMixedModel } from "../../statistics/generalized-mixed-model/generalized-mixed-model.ts";
import { parseMixedModel } from "../../statistics/generalized-mixed-model/parse-mixed-model.ts";
import { fitLinearMixedModel } from "../../statistics/linear-mixed-model/fit-linear-mixed-model.ts";
import type { FixedColumns, RandomTerm } from "../../statistics/mixed-model-terms.ts";
import { minimizeBounded } from "../../statistics/optimise/bounded-quasi-newton.ts";
import type { PanelBlock, PanelCell } from "../../statistics/panel-shocks/absorbed-panel.ts";
import type { PanelShocks } from "../../statistics/panel-shocks/shocked-gram.ts";
import type { Unfit } from "../../statistics/verdict.ts";
import type { OutcomeRows } from "./outcome-rows.ts";

/** Months from which a flock-wide month term is random; with fewer months they are fixed. */
const RANDOM_MONTHS = 6;
/** Variance that lets a block's levels go where they will: fixed effects in all but name. */
export const FREE_VARIANCE = 1e6;
/** Share of the residual variance given to a term that the search for variances could not tell. */
const UNTOLD_SHARE = 0.1;

/**
 * A linear model that stands for the outcome near its fit, with variances to start from. Growth is its own response;
 * a binary outcome is replaced by the working response and weights of iteratively reweighted least squares at the
 * modes of its fit (McCullagh & Nelder 1989, section 2.5; Breslow & Clayton 1993, JASA 88:9-25).
 */
export interface WorkingModel {
  readonly response: Float64Array;
  readonly precision: Float64Array;
  readonly animalVariance: number;
  readonly shocks: PanelShocks;
  readonly cells: readonly PanelCell[];
  readonly blocks: readonly PanelBlock[];
  /** Blocks whose variance is uncertain. */
  readonly variedBlocks: readonly number[];
  /** Smallest standard deviation of a shock that matters beside the residual's. */
  readonly leastSd: number;
  /** Coefficients of the fixed columns where the fit is not linear: a linear step from there differs a little. */
  readonly coefficients: Float64Array | null;
}

export type Link = "identity" | "logit" | "cloglog";

/** Fits the outcome's own mixed model on the fixed columns, none in the span of others, for its variances. */
export function workingModel(rows: OutcomeRows, fixed: FixedColumns, link: Link): WorkingModel | Unfit {
  const panel = panelOf(rows);
  return link === "identity" ? linearModel(rows, fixed, panel) : binaryModel(rows, fixed, panel, link);
}

interface RowsPanel {
  readonly cells: readonly PanelCell[];
  readonly blocks: readonly PanelBlock[];
  readonly monthsRandom: boolean;
}

function panelOf(rows: OutcomeRows): RowsPanel {
  return {
    cells: rows.penMonths.map(({ pen, month }) => ({
      unit: pen,
      time: calendarMonth(rows.months[month]!.day),
    })),
    blocks: [{ levels: rows.months.length, membership: rows.month }],
    monthsRandom: hasRandomMonths(rows),
  };
}

/** Whether months are many enough for a random term. */
export function hasRandomMonths({ months, flocks }: OutcomeRows): boolean {
  return months.length >= RANDOM_MONTHS * flocks.length;
}

/** Months since January 1970. */
function calendarMonth(day: number): number {
  const date = new Date(day * 86_400_000);
  return 12 * (date.getUTCFullYear() - 1970) + date.getUTCMonth();
}

type TermName = "animal" | "pen_month" | "month";
/** Dropped in this order while the variances cannot be told apart. */
const DROPPED_FIRST: readonly TermName[] = ["pen_month", "month", "animal"];

function termsOf(rows: OutcomeRows, monthsRandom: boolean): Map<TermName, RandomTerm> {
  const terms = new Map<TermName, RandomTerm>();
  if (rows.animals < 0.9 * rows.count) {
    terms.set("animal", { name: "animal", levels: rows.animals, membership: rows.animal });
  }
  if (rows.penMonths.length < rows.count) {
    terms.set("pen_month", { name: "pen_month", levels: rows.penMonths.length, membership: rows.penMonth });
  }
  if (monthsRandom) terms.set("month", { name: "month", levels: rows.months.length, membership: rows.month });
  return terms;
}

function linearModel(rows: OutcomeRows, fixed: FixedColumns, panel: RowsPanel): WorkingModel | Unfit {
  const terms = termsOf(rows, panel.monthsRandom);
  const withMonths = panel.monthsRandom ? fixed : withFixedMonths(rows, fixed);
  for (;;) {
    const fit = fitLinearMixedModel({
      outcome: rows.outcome,
      fixed: withMonths,
      random: [...terms.values()],
    });
    if ("trouble" in fit) {
      const next = DROPPED_FIRST.find((name) => terms.has(name));
      if (next === undefined) return fit;
      terms.delete(next);
      continue;
    }
    const names = [...terms.keys()];
    const variance = (name: TermName): number => {
      const at = names.indexOf(name);
      return at < 0 ? UNTOLD_SHARE * fit.sigmaSquared : fit.terms[at]!.covariance.values[0]!;
    };
    const reading = rows.readingVariance ?? new Float64Array(rows.count);
    const meanReading = reading.reduce((sum, v) => sum + v, 0) / rows.count;
    // What is not the ruler's is the interval's own; at least a tenth, so that no row is taken for exact.
    const own = Math.max(0.1 * fit.sigmaSquared, fit.sigmaSquared - meanReading);
    return {
      response: rows.outcome,
      precision: reading.map((v) => 1 / (own + v)),
      animalVariance: names.includes("animal") ? variance("animal") : 0,
      ...startingShocks(panel, variance("pen_month"), variance("month")),
      leastSd: 0.25 * Math.sqrt(own),
      coefficients: null,
    };
  }
}

function startingShocks(
  { cells, blocks, monthsRandom }: RowsPanel,
  cellVariance: number,
  monthVariance: number,
): Pick<WorkingModel, "shocks" | "cells" | "blocks" | "variedBlocks"> {
  return {
    cells,
    blocks,
    variedBlocks: monthsRandom ? [0] : [],
    shocks: {
      cellVariance,
      correlation: 0,
      blockVariances: [monthsRandom ? monthVariance : FREE_VARIANCE],
    },
  };
}

/** The fixed columns with an indicator for every month but the first of each flock. */
function withFixedMonths(rows: OutcomeRows, fixed: FixedColumns): FixedColumns {
  const first = new Map<number, number>();
  rows.months.forEach(({ flock }, month) => {
    if (!first.has(flock)) first.set(flock, month);
  });
  const shown = rows.months.flatMap(({ flock }, month) => (first.get(flock) === month ? [] : [month]));
  const columns = shown.map(() => new Float64Array(rows.count));
  const place = new Map(shown.map((month, k) => [month, k]));
  const { rowStart, level, weight } = rows.month;
  for (let i = 0; i < rows.count; i++) {
    for (let k = rowStart[i]!; k < rowStart[i + 1]!; k++) {
      const at = place.get(level[k]!);
      if (at !== undefined) columns[at]![i]! += weight[k]!;
    }
  }
  return {
    names: [...fixed.names, ...shown.map((month) => `month:${month}`)],
    columns: [...fixed.columns, ...columns],
  };
}

/** Standard deviation, in log odds or log hazard, below which a shock of a pen or month does not matter. */
const LEAST_BINARY_SD = 0.15;

/**
 * Laplace's approximation to the likelihood, maximised over coefficients and variances; the curvature there is that
 * of the working model. Terms whose variances cannot be told are left out as for growth.
 */
function binaryModel(
  rows: OutcomeRows,
  fixed: FixedColumns,
  panel: RowsPanel,
  link: "logit" | "cloglog",
): WorkingModel | Unfit {
  const terms = termsOf(rows, panel.monthsRandom);
  for (;;) {
    const fit = binaryFit(rows, fixed, panel, terms, link);
    if (!("verdict" in fit)) return fit;
    const next = DROPPED_FIRST.find((name) => terms.has(name));
    if (fit.trouble === "perfect_separation" || next === undefined || terms.size === 1) return fit;
    terms.delete(next);
  }
}

function binaryFit(
  rows: OutcomeRows,
  fixed: FixedColumns,
  panel: RowsPanel,
  terms: ReadonlyMap<TermName, RandomTerm>,
  link: "logit" | "cloglog",
): WorkingModel | Unfit {
  const model = parseMixedModel({
    family: { distribution: "binomial", link },
    outcome: rows.outcome,
    ...(rows.offset === null ? {} : { offset: rows.offset }),
    fixed: panel.monthsRandom ? fixed : withFixedMonths(rows, fixed),
    random: [...terms.values()].map((term) => ({ ...term, membership: singleLevels(term) })),
  });
  if ("verdict" in model) return model;
  const problem = prepareGeneralizedMixedModel(model);
  if ("verdict" in problem) return problem;
  const { likelihood, start } = problem;
  const from = Float64Array.from([...start.coefficients, ...start.theta]);
  // one term alone has a likelihood of its own, which gives no rough curvature
  const hessian = (likelihood.roughHessian ?? ((at) => likelihood.curved(at, [...at.keys()])?.hessian))(from);
  if (hessian === undefined) {
    return { verdict: "failed", trouble: "not_converged", detail: "no likelihood at the start" };
  }
  const found = minimizeBounded(likelihood.slope, from, {
    hessian,
    scale: from.map((_, k) => 1 / Math.sqrt(Math.max(1e-6, hessian.values[k * (from.length + 1)]!))),
    radius: 3,
    tolerance: 1e-8,
  });
  const effects = found.converged ? likelihood.effects(found.point) : null;
  if (effects === null) {
    return { verdict: "failed", trouble: "not_converged", detail: `${found.evaluations} evaluations` };
  }
  const names = [...terms.keys()];
  const p = likelihood.coefficients;
  const variance = (name: TermName): number => {
    const at = names.indexOf(name);
    return at < 0 ? LEAST_BINARY_SD ** 2 : found.point[p + at]! ** 2;
  };
  const coefficients = found.point.slice(0, fixed.columns.length);
  const runaway = fixed.names.filter(
    (_, k) => Math.abs(coefficients[k]!) * spreadOf(fixed.columns[k]!) > LARGEST_LOG_RATIO,
  );
  if (runaway.length > 0) {
    return { verdict: "failed", trouble: "perfect_separation", detail: runaway.join(", ") };
  }
  const linear = new Float64Array(rows.count);
  const allFixed = panel.monthsRandom ? fixed : withFixedMonths(rows, fixed);
  allFixed.columns.forEach((column, k) => {
    for (let i = 0; i < rows.count; i++) linear[i]! += found.point[k]! * column[i]!;
  });
  [...terms.values()].forEach((term, t) => {
    const level = singleLevels(term);
    for (let i = 0; i < rows.count; i++) linear[i]! += effects[t]!.mode[level[i]!]!;
  });
  const mean = new Float64Array(rows.count);
  const complement = new Float64Array(rows.count);
  const slope = new Float64Array(rows.count);
  links[link].fill(rows.offset === null ? linear : linear.map((value, i) => value + rows.offset![i]!), {
    mean,
    complement,
    slope,
  });
  return {
    response: linear.map((value, i) => value + (rows.outcome[i]! - mean[i]!) / slope[i]!),
    precision: slope.map((s, i) => (s * s) / (mean[i]! * complement[i]!)),
    animalVariance: names.includes("animal") ? variance("animal") : 0,
    ...startingShocks(panel, variance("pen_month"), variance("month")),
    leastSd: LEAST_BINARY_SD,
    coefficients,
  };
}

/** A fitted change of log odds over a column's range beyond which the fit has run away. */
const LARGEST_LOG_RATIO = 12;

function spreadOf(column: Float64Array): number {
  let least = Infinity;
  let most = -Infinity;
  for (const value of column) {
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return most > least ? most - least : 0;
}

/** Levels of a term of which every row has just one. */
export function singleLevels({ name, membership }: RandomTerm): Int32Array {
  if (membership instanceof Int32Array) return membership;
  if (membership.level.length !== membership.rowStart.length - 1) {
    throw new RangeError(`${name}: a score falls on one day, hence one level a row`);
  }
  return membership.level;
}
