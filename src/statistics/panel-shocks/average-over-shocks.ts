import type { AbsorbedPanel } from "./absorbed-panel.ts";
import { type GramRegression, regressFromGram } from "./gram-regression.ts";
import { type PanelShocks, shockedGram } from "./shocked-gram.ts";

/** Slopes of some columns with the uncertainty of the shocks' variances and correlation taken in. */
export interface ShockAverage {
  /** The shocks of the grid with the highest restricted likelihood, and the regression there. */
  readonly best: PanelShocks;
  readonly regression: GramRegression;
  /** Posterior mean of the correlation. */
  readonly correlation: number;
  /** For each focal column; null where it lies in the span of columns before it. */
  readonly slopes: readonly (AveragedSlope | null)[];
}

/** Student's t: location, scale and degrees of freedom. */
export interface AveragedSlope {
  readonly estimate: number;
  readonly standardError: number;
  readonly df: number;
}

export interface ShockGrid {
  /** Where the standard deviations are centred. */
  readonly start: PanelShocks;
  /** No standard deviation is centred below this: a search may have ended at zero. */
  readonly leastSd: number;
  /** Blocks whose standard deviation is varied too, each beside the best of the cells. */
  readonly variedBlocks: readonly number[];
}

/** Standard deviations tried, as multiples of the starting one, and correlations of neighbouring times. */
const MULTIPLES = [0.05, 0.4, 0.75, 1.1, 1.6, 2.4];
const CORRELATIONS = [0, 0.25, 0.5, 0.7, 0.86];

/**
 * Regresses column `outcome` on `columns`, averaged over a grid of the cells' standard deviation and correlation and of
 * the blocks' standard deviations, each point with the weight of its restricted likelihood under a flat prior. A focal
 * slope's conditional variances v are matched to a scaled inverse chi-square distribution; the slope then follows
 * Student's t with squared scale 1/E(1/v), plus the variance of its conditional estimates, and 2 E(1/v)²/Var(1/v)
 * degrees of freedom. undefined where the equations break down everywhere.
 */
export function averageOverShocks(
  panel: AbsorbedPanel,
  outcome: number,
  columns: readonly number[],
  focal: readonly number[],
  { start, leastSd, variedBlocks }: ShockGrid,
): ShockAverage | undefined {
  const attempt = (shocks: PanelShocks, width: number): GridPoint[] => {
    const gram = shockedGram(panel, shocks);
    if (gram === undefined) return [];
    const regression = regressFromGram(gram.gram, outcome, columns);
    const criterion = gram.logDeterminant + regression.logDeterminant + regression.residual;
    return [{ shocks, regression, criterion, width }];
  };
  const centre = (variance: number): number => Math.max(leastSd, Math.sqrt(variance));
  const cellSd = centre(start.cellVariance);
  const cells = MULTIPLES.flatMap((multiple, i) =>
    CORRELATIONS.flatMap((correlation, j) =>
      attempt(
        { ...start, cellVariance: (multiple * cellSd) ** 2, correlation },
        widthAt(MULTIPLES, i) * widthAt(CORRELATIONS, j),
      ),
    ),
  );
  if (cells.length === 0) return undefined;
  const best = cells.reduce((lowest, one) => (one.criterion < lowest.criterion ? one : lowest));
  const beside = variedBlocks.map((block) => {
    const sd = centre(start.blockVariances[block]!);
    return MULTIPLES.flatMap((multiple, i) =>
      attempt(
        {
          ...best.shocks,
          blockVariances: best.shocks.blockVariances.map((v, b) => (b === block ? (multiple * sd) ** 2 : v)),
        },
        widthAt(MULTIPLES, i),
      ),
    );
  });
  const weights = weightsOf(cells);
  const weightsBeside = beside.map(weightsOf);
  return {
    best: best.shocks,
    regression: best.regression,
    correlation: cells.reduce((sum, { shocks }, k) => sum + weights[k]! * shocks.correlation, 0),
    slopes: focal.map((column) => {
      const at = best.regression.columns.indexOf(column);
      if (at < 0) return null;
      const reference = moments([best], [1], at);
      const others = beside.map((points, b) => moments(points, weightsBeside[b]!, at));
      return combined(moments(cells, weights, at), others, reference);
    }),
  };
}

interface GridPoint {
  readonly shocks: PanelShocks;
  readonly regression: GramRegression;
  readonly criterion: number;
  /** Width of the stretch of the grid that the point stands for. */
  readonly width: number;
}

interface Moments {
  readonly estimate: number;
  /** Variance of the estimate over the grid. */
  readonly moved: number;
  /** Mean of 1 / v, and its squared coefficient of variation. */
  readonly precision: number;
  readonly spread: number;
}

function moments(points: readonly GridPoint[], weights: readonly number[], at: number): Moments {
  let estimate = 0;
  let square = 0;
  let precision = 0;
  let precisionSquare = 0;
  points.forEach(({ regression }, k) => {
    const b = regression.estimates[at]!;
    const own = 1 / regression.covariance.values[at * (regression.columns.length + 1)]!;
    estimate += weights[k]! * b;
    square += weights[k]! * b * b;
    precision += weights[k]! * own;
    precisionSquare += weights[k]! * own * own;
  });
  return {
    estimate,
    moved: Math.max(0, square - estimate * estimate),
    precision,
    spread: Math.max(0, precisionSquare / (precision * precision) - 1),
  };
}

/** What varying the blocks does beside the reference point is taken to add to what varying the cells does. */
function combined(main: Moments, others: readonly Moments[], reference: Moments): AveragedSlope {
  let { estimate, moved, precision, spread } = main;
  for (const other of others) {
    estimate += other.estimate - reference.estimate;
    moved += other.moved;
    precision *= other.precision / reference.precision;
    spread += other.spread;
  }
  return {
    estimate,
    standardError: Math.sqrt(1 / precision + moved),
    df: spread > 0 ? 2 / spread : Number.POSITIVE_INFINITY,
  };
}

function weightsOf(points: readonly GridPoint[]): number[] {
  const least = Math.min(...points.map(({ criterion }) => criterion));
  const raw = points.map(({ criterion, width }) => width * Math.exp(-(criterion - least) / 2));
  const total = raw.reduce((sum, weight) => sum + weight, 0);
  return raw.map((weight) => weight / total);
}

function widthAt(points: readonly number[], i: number): number {
  return ((points[i + 1] ?? points[i]!) - (points[i - 1] ?? points[i]!)) / 2;
}
