import { fUpperTail } from "../../statistics/distributions/f.ts";
import { tUpperQuantile } from "../../statistics/distributions/student-t.ts";
import { empiricalQuantile } from "../../statistics/empirical-quantile.ts";
import { denseCholesky, solveLowerDense } from "../../statistics/linear-algebra/dense-cholesky.ts";
import { zeroMatrix } from "../../statistics/linear-algebra/dense-matrix.ts";
import { regressFromGram } from "../../statistics/panel-shocks/gram-regression.ts";
import { harrellKnots, restrictedCubicSpline } from "../../statistics/restricted-cubic-spline.ts";
import { focusColumn } from "./focus.ts";
import { allColumns, mainColumns, regressOn } from "./slope-checks.ts";
import { type WithinFit, withinColumns } from "./within-fit.ts";

const KNOTS = 4;
const GRID_POINTS = 25;
/** The curve is drawn over the middle of what was seen. */
const DRAWN = [0.05, 0.95] as const;

/** What one exposure goes with, against its usual value, on the scale of the model. */
export interface DoseResponseCurve {
  /** p of the two terms that bend the line, by F on the slope's degrees of freedom. */
  readonly pNotStraight: number;
  readonly points: readonly {
    /** Departure from the pen's usual value. */
    readonly departure: number;
    readonly estimate: number;
    readonly lo: number;
    readonly hi: number;
  }[];
}

/**
 * Restricted cubic splines on the within part of each focus (Harrell's knots), every other focus straight beside it;
 * null where the exposure takes too few values for distinct knots or is a bundle.
 */
export function doseResponseCurves(fit: WithinFit): (DoseResponseCurve | null)[] {
  const within = withinColumns(fit.rows);
  const columns = fit.focuses.map((focus) => focusColumn(focus, within));
  const knots = columns.map((column, k) =>
    fit.focuses[k]!.members.length === 1 && fit.focusAt[k]! > 0 ? harrellKnots(column, KNOTS) : undefined,
  );
  const bends = knots.map((at, k) =>
    at === undefined ? [] : restrictedCubicSpline(columns[k]!, at).slice(1),
  );
  const all = mainColumns(fit);
  const firstBend: number[] = [];
  for (const own of bends) {
    firstBend.push(all.length);
    all.push(...own);
  }
  const checked = regressOn(fit, all, () => true);
  return columns.map((column, k) => {
    const slope = fit.slopes[k];
    const at = knots[k];
    if (checked === null || at === undefined || slope == null) return null;
    const asked = bends[k]!.map((_, b) => firstBend[k]! + b);
    const regression = regressFromGram(checked.gram, 0, [...allColumns(fit), ...asked]);
    const places = [fit.focusAt[k]!, ...asked].map((one) => regression.columns.indexOf(one));
    if (places.includes(-1)) return null;
    const p = regression.columns.length;
    const covariance = (i: number, j: number): number =>
      regression.covariance.values[places[i]! * p + places[j]!]!;
    const estimate = (i: number): number => regression.estimates[places[i]!]!;
    const bending = zeroMatrix(asked.length, asked.length);
    asked.forEach((_, i) => {
      asked.forEach((_, j) => {
        bending.values[i * asked.length + j] = covariance(i + 1, j + 1);
      });
    });
    const factor = denseCholesky(bending, 1e-12);
    if (!factor.positiveDefinite) return null;
    const half = solveLowerDense(
      factor,
      asked.map((_, i) => estimate(i + 1)),
    );
    const f = half.reduce((sum, value) => sum + value * value, 0) / asked.length;
    const ascending = column.slice().sort();
    const [from, to] = DRAWN.map((q) => empiricalQuantile(ascending, q)!);
    const grid = Array.from(
      { length: GRID_POINTS },
      (_, g) => from! + ((to! - from!) * g) / (GRID_POINTS - 1),
    );
    const basis = restrictedCubicSpline(grid, at);
    const zero = restrictedCubicSpline([0], at);
    const reach = tUpperQuantile(0.025, slope.df);
    return {
      pNotStraight: fUpperTail(f, asked.length, slope.df),
      points: grid.map((departure, g) => {
        const contrast = basis.map((values, b) => values[g]! - zero[b]![0]!);
        let value = 0;
        let variance = 0;
        contrast.forEach((a, i) => {
          value += a * estimate(i);
          contrast.forEach((b, j) => {
            variance += a * b * covariance(i, j);
          });
        });
        const half = reach * Math.sqrt(variance);
        return { departure, estimate: value, lo: value - half, hi: value + half };
      }),
    };
  });
}
