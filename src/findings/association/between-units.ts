import { code } from "../../records/codes.ts";
import { tTwoSided } from "../../statistics/distributions/student-t.ts";
import { links } from "../../statistics/generalized-linear/family.ts";
import { type DenseMatrix, zeroMatrix } from "../../statistics/linear-algebra/dense-matrix.ts";
import { metaRegression } from "../../statistics/meta-regression.ts";
import type { AveragedSlope } from "../../statistics/panel-shocks/average-over-shocks.ts";
import { type Focus, focusColumn } from "./focus.ts";
import { mapExposures, type OutcomeRows, type PenLevel } from "./outcome-rows.ts";
import type { WithinFit } from "./within-fit.ts";

/** Pens, and flocks, from which a slope between them is given. */
const LEAST_PENS_BETWEEN = 6;
export const LEAST_FLOCKS_BETWEEN = 5;

/** What the pens of an analysis come to once the main model has adjusted them, and how sure that is. */
export interface AdjustedPens {
  readonly pens: readonly PenLevel[];
  readonly estimates: Float64Array;
  readonly covariance: DenseMatrix;
}

/**
 * The pens' adjusted means. A pen in which the event was never (or always) seen is not in the model of a binary
 * outcome; it comes back with half an event added to either side (Haldane 1956; Anscombe 1956), adjusted for the same
 * covariates.
 */
export function adjustedPens(fit: WithinFit, all: OutcomeRows): AdjustedPens {
  const own = fit.penAt.map((column) => fit.regression.columns.indexOf(column));
  const lost = fit.link === "identity" ? [] : pensLeftOut(fit, all);
  const pens = [...fit.rows.pens, ...lost.map(({ pen }) => ({ ...pen, flock: placeOfFlock(fit, all, pen) }))];
  const estimates = new Float64Array(pens.length);
  const covariance = zeroMatrix(pens.length, pens.length);
  const p = fit.regression.columns.length;
  own.forEach((a, i) => {
    estimates[i] = fit.regression.estimates[a]!;
    own.forEach((b, j) => {
      covariance.values[i * pens.length + j] = fit.regression.covariance.values[a * p + b]!;
    });
  });
  lost.forEach(({ estimate, variance }, k) => {
    const i = own.length + k;
    estimates[i] = estimate;
    covariance.values[i * (pens.length + 1)] = variance;
  });
  return { pens, estimates, covariance };
}

/** Slope between pens of one flock, or within flocks between their pens: null below the pens needed. */
export function slopeBetweenPens(
  { pens, estimates, covariance }: AdjustedPens,
  focus: Focus,
): AveragedSlope | null {
  const usual = usualOf(pens, focus);
  const known = Array.from(usual.keys()).filter((k) => !Number.isNaN(usual[k]!));
  const flocks = [...new Set(known.map((k) => pens[k]!.flock))];
  if (known.length < pensNeeded(flocks.length)) return null;
  const regression = metaRegression(
    known.map((k) => estimates[k]!),
    picked(covariance, known),
    [
      known.map((k) => usual[k]!),
      ...flocks.map((flock) => known.map((k) => (pens[k]!.flock === flock ? 1 : 0))),
    ],
  );
  return regression === undefined
    ? null
    : {
        estimate: regression.coefficients[0]!,
        standardError: regression.standardErrors[0]!,
        df: regression.df,
      };
}

/** Why there is no slope between the pens that are known. */
export function whyNotBetweenPens({ pens }: AdjustedPens, focus: Focus): string {
  const usual = usualOf(pens, focus);
  const known = pens.filter((_, k) => !Number.isNaN(usual[k]!));
  const needed = pensNeeded(new Set(known.map(({ flock }) => flock)).size);
  return known.length < needed ? code("too_few_pens", known.length, needed) : code("not_converged");
}

/** Each flock beyond the first takes a mean of its own from its pens. */
function pensNeeded(flocks: number): number {
  return LEAST_PENS_BETWEEN + Math.max(0, flocks - 1);
}

/** Slope between flocks' means over their pens: null below the flocks needed. */
export function slopeBetweenFlocks(adjusted: AdjustedPens, focus: Focus): AveragedSlope | null {
  const { pens, estimates, covariance } = adjusted;
  const usual = usualOf(pens, focus);
  const known = Array.from(usual.keys()).filter((k) => !Number.isNaN(usual[k]!));
  const flocks = [...new Set(known.map((k) => pens[k]!.flock))];
  if (flocks.length < LEAST_FLOCKS_BETWEEN) return null;
  const members = flocks.map((flock) => known.filter((k) => pens[k]!.flock === flock));
  const mean = (of: readonly number[], value: (k: number) => number): number =>
    of.reduce((sum, k) => sum + value(k), 0) / of.length;
  const pooled = zeroMatrix(flocks.length, flocks.length);
  members.forEach((a, i) => {
    members.forEach((b, j) => {
      pooled.values[i * flocks.length + j] = mean(a, (k) =>
        mean(b, (m) => covariance.values[k * covariance.columns + m]!),
      );
    });
  });
  const regression = metaRegression(
    members.map((own) => mean(own, (k) => estimates[k]!)),
    pooled,
    [members.map((own) => mean(own, (k) => usual[k]!)), members.map(() => 1)],
  );
  return regression === undefined
    ? null
    : {
        estimate: regression.coefficients[0]!,
        standardError: regression.standardErrors[0]!,
        df: regression.df,
      };
}

/** Slopes of several levels joined by inverse variance; degrees of freedom by Welch and Satterthwaite. */
export function joined(slopes: readonly AveragedSlope[]): AveragedSlope {
  const weights = slopes.map(({ standardError }) => 1 / standardError ** 2);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const estimate = slopes.reduce((sum, slope, k) => sum + (weights[k]! / total) * slope.estimate, 0);
  const spread = slopes.reduce((sum, slope, k) => sum + (weights[k]! / total) ** 2 / slope.df, 0);
  return { estimate, standardError: Math.sqrt(1 / total), df: 1 / spread };
}

/** p of the difference of two slopes, by Welch's t. */
export function differenceP(a: AveragedSlope, b: AveragedSlope): number {
  const [va, vb] = [a.standardError ** 2, b.standardError ** 2];
  const df = (va + vb) ** 2 / (va ** 2 / a.df + vb ** 2 / b.df);
  return tTwoSided((a.estimate - b.estimate) / Math.sqrt(va + vb), df);
}

function usualOf(pens: readonly PenLevel[], focus: Focus): Float64Array {
  const usual = mapExposures(pens[0]!.usual, (_, id) => Float64Array.from(pens, (pen) => pen.usual[id]));
  return focusColumn(focus, usual);
}

function picked(matrix: DenseMatrix, at: readonly number[]): DenseMatrix {
  const result = zeroMatrix(at.length, at.length);
  at.forEach((a, i) => {
    at.forEach((b, j) => {
      result.values[i * at.length + j] = matrix.values[a * matrix.columns + b]!;
    });
  });
  return result;
}

interface LeftOutPen {
  readonly pen: PenLevel;
  readonly estimate: number;
  readonly variance: number;
}

function pensLeftOut(fit: WithinFit, all: OutcomeRows): LeftOutPen[] {
  const named = new Set(fit.rows.pens.map((pen) => `${fit.rows.flocks[pen.flock]}\n${pen.pen}`));
  const effects = all.covariates.names.map((name) => {
    const at = fit.regression.columns.indexOf(fit.fixed.names.indexOf(name) + 1);
    return at < 0 ? 0 : fit.regression.estimates[at]!;
  });
  return all.pens.flatMap((pen, p) => {
    if (named.has(`${all.flocks[pen.flock]}\n${pen.pen}`)) return [];
    let rows = 0;
    let events = 0;
    let beside = 0;
    for (let i = 0; i < all.count; i++) {
      if (all.pen[i] !== p) continue;
      rows++;
      events += all.outcome[i]!;
      beside += all.offset?.[i] ?? 0;
      effects.forEach((effect, k) => {
        beside += effect * all.covariates.columns[k]![i]!;
      });
    }
    if (rows === 0) return [];
    const share = (events + 0.5) / (rows + 1);
    const link = fit.link === "cloglog" ? links.cloglog : links.logit;
    return {
      pen,
      estimate: link.predictor(share) - beside / rows,
      variance: 1 / (events + 0.5) + (fit.link === "cloglog" ? 0 : 1 / (rows - events + 0.5)),
    };
  });
}

/** Flocks are numbered anew in the fit; one whose pens are all left out comes after them. */
function placeOfFlock(fit: WithinFit, all: OutcomeRows, pen: PenLevel): number {
  const at = fit.rows.flocks.indexOf(all.flocks[pen.flock]!);
  return at >= 0 ? at : fit.rows.flocks.length + pen.flock;
}
