import { tTwoSided, tUpperQuantile } from "../../statistics/distributions/student-t.ts";
import { benjaminiHochberg } from "../../statistics/multiplicity.ts";
import type { AveragedSlope } from "../../statistics/panel-shocks/average-over-shocks.ts";
import {
  type AdjustedPens,
  adjustedPens,
  differenceP,
  joined,
  slopeBetweenFlocks,
  slopeBetweenPens,
  whyNotBetweenPens,
} from "./between-units.ts";
import { type DoseResponseCurve, doseResponseCurves } from "./dose-response-curve.ts";
import { type AskedFocuses, askedFocuses, type Focus } from "./focus.ts";
import type { OutcomeRows } from "./outcome-rows.ts";
import {
  atOtherLag,
  type CheckedSlope,
  type FutureControl,
  futureControls,
  leavingOut,
  sharesOfCalendar,
  unadjusted,
  withMonthsFixed,
} from "./slope-checks.ts";
import { fitWithin, type WithinFit, type WithinResult } from "./within-fit.ts";
import type { Link } from "./working-model.ts";

/** Outcomes whose association with conditions of pens is asked. */
export const outcomeIds = ["growth", "lame", "new_lameness"] as const;
export type OutcomeId = (typeof outcomeIds)[number];

const linkOf: Readonly<Record<OutcomeId, Link>> = {
  growth: "identity",
  lame: "logit",
  new_lameness: "cloglog",
};

/** Everything found about one outcome of one flock, or of all flocks together. */
export interface OutcomeAnalysis {
  readonly outcome: OutcomeId;
  readonly rows: OutcomeRows;
  readonly asked: AskedFocuses;
  readonly focuses: readonly FocusAnalysis[];
}

export interface FocusAnalysis {
  readonly focus: Focus;
  /** The main model that the focus stands in, or why there is none. */
  readonly fit: WithinResult;
  readonly found: FoundSlopes | null;
}

export interface FoundSlopes {
  readonly fit: WithinFit;
  readonly within: AveragedSlope;
  readonly betweenPens: AveragedSlope | null;
  /** Code of why there is no slope between pens. */
  readonly whyNotBetweenPens: string | null;
  readonly betweenFlocks: AveragedSlope | null;
  readonly overall: AveragedSlope;
  /** p of the difference between pens and within them; null where there is nothing between. */
  readonly pLevels: number | null;
  readonly control: FutureControl | null;
  readonly calendarShare: number | null;
  readonly unadjusted: CheckedSlope | null;
  readonly monthFixed: CheckedSlope | null;
  readonly otherLags: ReadonlyMap<number, CheckedSlope>;
  readonly leftOut: readonly LeftOutSlope[];
  readonly curve: DoseResponseCurve | null;
}

export interface LeftOutSlope {
  readonly kind: "leave_out_pen" | "leave_out_flock";
  readonly name: string;
  readonly slope: CheckedSlope;
}

/** All checks of a slope, or only those that a claim rests on. */
type Checks = "all" | "claims";

/** Fits an outcome's models and what checks them. */
export function analyseOutcome(
  rows: OutcomeRows,
  outcome: OutcomeId,
  checks: Checks = "all",
): OutcomeAnalysis {
  const asked = askedFocuses(rows);
  const joint = analyseFocuses(rows, asked.joint, asked.joint, outcome, checks);
  const apart = asked.apart.flatMap((focus) =>
    analyseFocuses(rows, [focus, ...asked.joint], [focus], outcome, checks),
  );
  return { outcome, rows, asked, focuses: [...joint, ...apart] };
}

function analyseFocuses(
  rows: OutcomeRows,
  together: readonly Focus[],
  reported: readonly Focus[],
  outcome: OutcomeId,
  asked: Checks,
): FocusAnalysis[] {
  if (reported.length === 0) return [];
  const fit = fitWithin(rows, together, linkOf[outcome]);
  if ("why" in fit) return reported.map((focus) => ({ focus, fit, found: null }));
  const pens = adjustedPens(fit, rows);
  const all = asked === "all";
  const checks = {
    controls: futureControls(fit),
    calendar: sharesOfCalendar(fit),
    unadjusted: all ? unadjusted(fit) : [],
    monthFixed: all ? withMonthsFixed(fit) : [],
    lags: new Map((all ? [...rows.otherLags.keys()] : []).map((lag) => [lag, atOtherLag(fit, lag)])),
    leftOut: all ? leftOutSlopes(fit) : [],
    curves: all ? doseResponseCurves(fit) : [],
  };
  return reported.map((focus) => {
    const k = together.indexOf(focus);
    const within = fit.slopes[k];
    if (within == null) return { focus, fit, found: null };
    const levels = levelsOf(within, pens, focus);
    return {
      focus,
      fit,
      found: {
        fit,
        within,
        ...levels,
        control: checks.controls[k] ?? null,
        calendarShare: checks.calendar[k] ?? null,
        unadjusted: checks.unadjusted[k] ?? null,
        monthFixed: checks.monthFixed[k] ?? null,
        otherLags: new Map(
          [...checks.lags].flatMap(([lag, slopes]): [number, CheckedSlope][] => {
            const slope = slopes[k];
            return slope == null ? [] : [[lag, slope]];
          }),
        ),
        leftOut: checks.leftOut.flatMap(({ kind, name, slopes }) => {
          const slope = slopes[k];
          return slope == null ? [] : [{ kind, name, slope }];
        }),
        curve: checks.curves[k] ?? null,
      },
    };
  });
}

function levelsOf(
  within: AveragedSlope,
  pens: AdjustedPens,
  focus: Focus,
): Pick<FoundSlopes, "betweenPens" | "whyNotBetweenPens" | "betweenFlocks" | "overall" | "pLevels"> {
  const betweenPens = slopeBetweenPens(pens, focus);
  const betweenFlocks = slopeBetweenFlocks(pens, focus);
  const between = [betweenPens, betweenFlocks].filter((slope) => slope !== null);
  return {
    betweenPens,
    whyNotBetweenPens: betweenPens === null ? whyNotBetweenPens(pens, focus) : null,
    betweenFlocks,
    overall: joined([within, ...between]),
    pLevels: between.length === 0 ? null : differenceP(within, joined(between)),
  };
}

function leftOutSlopes(
  fit: WithinFit,
): { kind: LeftOutSlope["kind"]; name: string; slopes: (CheckedSlope | null)[] }[] {
  const { rows } = fit;
  const cellsWhere = (of: (pen: number) => boolean): number =>
    rows.penMonths.filter(({ pen }) => of(pen)).length;
  if (rows.flocks.length > 1) {
    return rows.flocks.map((name, flock) => {
      const gone = cellsWhere((pen) => rows.pens[pen]!.flock === flock);
      const pens = rows.pens.filter((pen) => pen.flock === flock).length;
      const months = rows.months.filter((month) => month.flock === flock).length;
      return {
        kind: "leave_out_flock",
        name,
        slopes: leavingOut(fit, (row) => rows.flock[row] === flock, fit.mostDf - gone + pens + months),
      };
    });
  }
  return rows.pens.map(({ pen: name }, pen) => ({
    kind: "leave_out_pen",
    name,
    slopes: leavingOut(
      fit,
      (row) => rows.pen[row] === pen,
      fit.mostDf - cellsWhere((one) => one === pen) + 1,
    ),
  }));
}

/** Two-sided p of a slope. */
export function pOf({ estimate, standardError, df }: AveragedSlope): number {
  return tTwoSided(estimate / standardError, df);
}

/** Half the width of a slope's 95 % interval. */
export function reachOf({ standardError, df }: AveragedSlope): number {
  return tUpperQuantile(0.025, df) * standardError;
}

/** False discovery rates of the main within slopes over all outcomes of one analysis (Benjamini & Hochberg). */
export function familyQ(analyses: readonly OutcomeAnalysis[]): ReadonlyMap<FocusAnalysis, number> {
  const tested = analyses.flatMap(({ focuses }) => focuses.filter(({ found }) => found !== null));
  const q = benjaminiHochberg(tested.map(({ found }) => pOf(found!.within)));
  return new Map(tested.map((one, k) => [one, q[k]!]));
}

const CLAIMED = 0.05;
const LEVELS_DISAGREE = 0.1;
const CALENDAR_SHARE = 0.5;

export function levelsDisagree({ pLevels }: FoundSlopes): boolean {
  return pLevels !== null && pLevels < LEVELS_DISAGREE;
}

/** The slope after leaves out zero, where it can say anything. */
export function controlFailed({ control }: FoundSlopes): boolean {
  return control !== null && !control.silent && Math.abs(control.after.estimate) > reachOf(control.after);
}

export function movesWithCalendar({ calendarShare }: FoundSlopes): boolean {
  return calendarShare !== null && calendarShare > CALENDAR_SHARE;
}

/** Whether an association is claimed: found over the family, at no odds with itself, and not the calendar's. */
export function isClaimed(found: FoundSlopes, q: number): boolean {
  return q < CLAIMED && !levelsDisagree(found) && !controlFailed(found) && !movesWithCalendar(found);
}
