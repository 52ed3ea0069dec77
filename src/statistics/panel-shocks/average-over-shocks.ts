import type { AbsorbedPanel } from "./absorbed-panel.ts";
import { type GramRegression, regressFromGram } from "./gram-regression.ts";
import { type PanelShocks, shockedGram } from "./shocked-gram.ts";

/** Slopes of some columns with the uncertainty of the shocks' variances and correlation taken in. */
export interface ShockAverage {
  /** Shocks at which the restricted likelihood is highest on the grid, and the regression there. */
  readonly best: PanelShocks;
  readonly regression: GramRegression;
  /** Posterior mean of the correlation. */
  readonly correlation: number;
  /** For each focal column: averaged estimate, standard error and degrees of freedom of its t distribution. */
  readonly slopes: readonly AveragedSlope[];
}

export interface AveragedSlope {
  readonly estimate: number;
  readonly standardError: number;
  readonly df: number;
}

/** Standard deviations tried, as multiples of the starting one, and correlations of neighbouring times. */
const MULTIPLES = [0.05, 0.35, 0.6, 0.8, 1, 1.25, 1.6, 2.2, 3];
const CORRELATIONS = [0, 0.2, 0.4, 0.6, 0.75, 0.88];

interface Tried {
  readonly shocks: PanelShocks;
  readonly regression: GramRegression;
  readonly criterion: number;
}

/**
 * Regresses column `outcome` on `columns`, averaged over a grid of the cells' standard deviation and correlation and
 * (beside their best) of the periods' standard deviation, each with the weight of its restricted likelihood and a flat
 * prior. Each focal slope's conditional variances v are matched to a scaled inverse chi-square: the slope then follows
 * Student's t with scale 1/E(1/v) and 2 E(1/v)²/Var(1/v) degrees of freedom, plus what the estimate itself moves by.
 * undefined where the equations break down everywhere.
 */
export function averageOverShocks(
  panel: AbsorbedPanel,
  outcome: number,
  columns: readonly number[],
  focal: readonly number[],
  start: PanelShocks,
  options: { readonly periodsFixed: boolean; readonly leastCellSd: number },
): ShockAverage | undefined {
  const attempt = (shocks: PanelShocks): Tried | undefined => {
    const gram = shockedGram(panel, shocks);
    if (gram === undefined) return undefined;
    const regression = regressFromGram(gram.gram, outcome, columns);
    return {
      shocks,
      regression,
      criterion: gram.logDeterminant + regression.logDeterminant + regression.residual,
    };
  };
  const cellSd = Math.max(options.leastCellSd, Math.sqrt(start.cellVariance));
  const grid: { tried: Tried; width: number }[] = [];
  MULTIPLES.forEach((multiple, i) => {
    CORRELATIONS.forEach((correlation, j) => {
      const tried = attempt({
        cellVariance: (multiple * cellSd) ** 2,
        correlation,
        periodVariance: start.periodVariance,
      });
      if (tried !== undefined) grid.push({ tried, width: widthAt(MULTIPLES, i) * widthAt(CORRELATIONS, j) });
    });
  });
  if (grid.length === 0) return undefined;
  const best = lowest(grid.map(({ tried }) => tried));
  const weights = weightsOf(grid);
  const periods: { tried: Tried; width: number }[] = [];
  if (!options.periodsFixed) {
    const periodSd = Math.max(options.leastCellSd, Math.sqrt(start.periodVariance));
    MULTIPLES.forEach((multiple, i) => {
      const tried = attempt({ ...best.shocks, periodVariance: (multiple * periodSd) ** 2 });
      if (tried !== undefined) periods.push({ tried, width: widthAt(MULTIPLES, i) });
    });
  }
  const periodWeights = weightsOf(periods);
  const slopes = focal.map((column) => {
    const at = best.regression.columns.indexOf(column);
    const main = moments(grid.map(({ tried }) => tried), weights, at);
    if (periods.length === 0) return slopeOf(main.estimate, main.inverse, main.inverseVariance, main.moved);
    const reference = variance(best.regression, at);
    const beside = moments(periods.map(({ tried }) => tried), periodWeights, at);
    const shift = beside.estimate - best.regression.estimates[at]!;
    return slopeOf(
      main.estimate + shift,
      main.inverse * beside.inverse * reference,
      main.inverseVariance * (beside.inverse * reference) ** 2 + beside.inverseVariance * (main.inverse * reference) ** 2,
      main.moved + beside.moved,
    );
  });
  return {
    best: best.shocks,
    regression: best.regression,
    correlation: grid.reduce((sum, { tried }, k) => sum + weights[k]! * tried.shocks.correlation, 0),
    slopes,
  };
}

function slopeOf(estimate: number, inverse: number, inverseVariance: number, moved: number): AveragedSlope {
  return {
    estimate,
    standardError: Math.sqrt(1 / inverse + moved),
    df: inverseVariance > 0 ? (2 * inverse * inverse) / inverseVariance : Number.POSITIVE_INFINITY,
  };
}

/** Weighted mean of the estimate and its variance over the grid, mean and variance of 1 / v. */
function moments(
  tried: readonly Tried[],
  weights: readonly number[],
  at: number,
): { estimate: number; moved: number; inverse: number; inverseVariance: number } {
  let estimate = 0;
  let square = 0;
  let inverse = 0;
  let inverseSquare = 0;
  tried.forEach(({ regression }, k) => {
    const b = regression.estimates[at]!;
    const precision = 1 / variance(regression, at);
    estimate += weights[k]! * b;
    square += weights[k]! * b * b;
    inverse += weights[k]! * precision;
    inverseSquare += weights[k]! * precision * precision;
  });
  return {
    estimate,
    moved: Math.max(0, square - estimate * estimate),
    inverse,
    inverseVariance: Math.max(0, inverseSquare - inverse * inverse),
  };
}

function variance(regression: GramRegression, at: number): number {
  return regression.covariance.values[at * (regression.columns.length + 1)]!;
}

function lowest(tried: readonly Tried[]): Tried {
  return tried.reduce((best, one) => (one.criterion < best.criterion ? one : best));
}

function weightsOf(grid: readonly { tried: Tried; width: number }[]): number[] {
  if (grid.length === 0) return [];
  const least = Math.min(...grid.map(({ tried }) => tried.criterion));
  const raw = grid.map(({ tried, width }) => width * Math.exp(-(tried.criterion - least) / 2));
  const total = raw.reduce((sum, weight) => sum + weight, 0);
  return raw.map((weight) => weight / total);
}

/** Width of the interval that a grid point stands for. */
function widthAt(points: readonly number[], i: number): number {
  const before = points[i - 1] ?? points[i]!;
  const after = points[i + 1] ?? points[i]!;
  return (after - before) / 2;
}
