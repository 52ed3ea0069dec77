import { fUpperQuantile, fUpperTail } from "../distributions/f.ts";
import { checkLevel, type Interval } from "../interval.ts";
import type { Unfit } from "../verdict.ts";

/**
 * Shrout and Fleiss's forms: (1) each target rated by other judges, (2) the same judges drawn at random, (3) these
 * judges alone; `single` for one rating, `average` for the mean of all.
 */
export type IccForm = "1-single" | "2-single" | "3-single" | "1-average" | "2-average" | "3-average";

export interface IccEstimate extends Interval {
  /** F test of no differences between targets. */
  readonly f: number;
  readonly df1: number;
  readonly df2: number;
  readonly p: number;
}

export interface IntraclassCorrelation {
  readonly verdict: "converged";
  readonly forms: Readonly<Record<IccForm, IccEstimate>>;
  readonly betweenTargets: number;
  readonly betweenJudges: number;
  readonly withinTargets: number;
  readonly residual: number;
}

/**
 * Intraclass correlations of a full table, `ratings[target][judge]` (Shrout & Fleiss 1979, Psychol. Bull.
 * 86:420-428; limits of the second form by McGraw & Wong 1996, Psychol. Methods 1:30-46).
 */
export function intraclassCorrelation(
  ratings: readonly (readonly number[])[],
  level = 0.95,
): IntraclassCorrelation | Unfit {
  checkLevel(level);
  const n = ratings.length;
  const k = ratings[0]?.length ?? 0;
  if (ratings.some((row) => row.length !== k || !row.every(Number.isFinite))) {
    return {
      verdict: "failed",
      trouble: "invalid_input",
      detail: "every target needs a rating by every judge",
    };
  }
  if (n < 2 || k < 2) {
    return {
      verdict: "failed",
      trouble: n === 0 ? "no_rows" : "too_few_rows",
      detail: `${n} targets, ${k} judges`,
    };
  }
  const all = ratings.flat();
  const grand = all.reduce((sum, x) => sum + x, 0) / (n * k);
  const targetMeans = ratings.map((row) => row.reduce((sum, x) => sum + x, 0) / k);
  const judgeMeans = ratings[0].map((_, j) => ratings.reduce((sum, row) => sum + row[j], 0) / n);
  const squares = (values: readonly number[]) => values.reduce((sum, x) => sum + (x - grand) ** 2, 0);
  const total = squares(all);
  const targets = k * squares(targetMeans);
  const judges = n * squares(judgeMeans);
  if (total === 0)
    return { verdict: "flat", trouble: "constant_outcome", detail: "every rating is the same" };
  const msr = targets / (n - 1);
  const msc = judges / (k - 1);
  const msw = (total - targets) / (n * (k - 1));
  const mse = Math.max(0, total - targets - judges) / ((n - 1) * (k - 1));
  const table: AnovaTable = { n, k, msr, msc, mse, tail: (1 - level) / 2 };
  return {
    verdict: "converged",
    forms: {
      "1-single": singleForm(table, msw, n * (k - 1)),
      "2-single": agreementForm(table, false),
      "3-single": singleForm(table, mse, (n - 1) * (k - 1)),
      "1-average": averageForm(table, msw, n * (k - 1)),
      "2-average": agreementForm(table, true),
      "3-average": averageForm(table, mse, (n - 1) * (k - 1)),
    },
    betweenTargets: msr,
    betweenJudges: msc,
    withinTargets: msw,
    residual: mse,
  };
}

interface AnovaTable {
  readonly n: number;
  readonly k: number;
  readonly msr: number;
  readonly msc: number;
  readonly mse: number;
  readonly tail: number;
}

function test({ n, msr }: AnovaTable, error: number, df2: number) {
  const f = msr / error;
  return { f, df1: n - 1, df2, p: fUpperTail(f, n - 1, df2) };
}

/** F over its quantile and F times the other one: limits of the ratio of mean squares. */
function ratioLimits(table: AnovaTable, error: number, df2: number): [number, number, number] {
  const f = table.msr / error;
  const df1 = table.n - 1;
  return [f, f / fUpperQuantile(table.tail, df1, df2), f * fUpperQuantile(table.tail, df2, df1)];
}

function singleForm(table: AnovaTable, error: number, df2: number): IccEstimate {
  const [estimate, lo, hi] = ratioLimits(table, error, df2).map((f) => {
    return f === Infinity ? 1 : (f - 1) / (f + table.k - 1);
  });
  return { estimate, lo, hi, ...test(table, error, df2) };
}

function averageForm(table: AnovaTable, error: number, df2: number): IccEstimate {
  const [estimate, lo, hi] = ratioLimits(table, error, df2).map((f) => 1 - 1 / f);
  return { estimate, lo, hi, ...test(table, error, df2) };
}

function agreementForm(table: AnovaTable, average: boolean): IccEstimate {
  const { n, k, msr, msc, mse, tail } = table;
  const single = (msr - mse) / (msr + (k - 1) * mse + (k * (msc - mse)) / n);
  const judgeRatio = mse > 0 ? msc / mse : Number.MAX_VALUE;
  const rest = n * (1 + (k - 1) * single) - k * single;
  const df =
    mse > 0
      ? ((k - 1) * (n - 1) * (k * single * judgeRatio + rest) ** 2) /
        ((n - 1) * (k * single * judgeRatio) ** 2 + rest ** 2)
      : k - 1;
  const above = fUpperQuantile(tail, n - 1, df);
  const below = fUpperQuantile(tail, df, n - 1);
  const others = k * msc + (k * n - k - n) * mse;
  const lo = (n * (msr - above * mse)) / (above * others + n * msr);
  const hi = (n * (below * msr - mse)) / (others + n * below * msr);
  const stepUp = (r: number) => (average ? (k * r) / (1 + (k - 1) * r) : r);
  return { estimate: stepUp(single), lo: stepUp(lo), hi: stepUp(hi), ...test(table, mse, (n - 1) * (k - 1)) };
}
