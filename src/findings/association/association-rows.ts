import { code, joinCodes } from "../../records/codes.ts";
import { eValue, riskRatioOfCommonOutcome } from "../../statistics/e-value.ts";
import type { AveragedSlope } from "../../statistics/panel-shocks/average-over-shocks.ts";
import type { AssociationRow, DoseResponseRow } from "./association-tables.ts";
import { LEAST_FLOCKS_BETWEEN } from "./between-units.ts";
import { type ExposureId, exposureIds } from "./exposures.ts";
import { type Focus, loneFocus, type NotAsked } from "./focus.ts";
import { LAG_DAYS } from "./gait-outcome.ts";
import {
  controlFailed,
  type FocusAnalysis,
  type FoundSlopes,
  isClaimed,
  levelsDisagree,
  movesWithCalendar,
  type OutcomeAnalysis,
  type OutcomeId,
  pOf,
  reachOf,
} from "./outcome-analysis.ts";
import type { WithinFit, WithinResult } from "./within-fit.ts";

/** Units of each exposure that a printed slope is for. Project defaults: steps that a keeper can take. */
const amounts: Readonly<Record<ExposureId, number>> = {
  crude_protein: 1,
  copper_diet: 10,
  mineral_copper: 10,
  zinc: 10,
  wetness: 1,
};

const effectKinds: Readonly<Record<OutcomeId, string>> = {
  growth: "mm_per_30d",
  lame: "odds_ratio",
  new_lameness: "hazard_ratio",
};

/** Prevalence above which an odds ratio is far from a ratio of risks. */
const COMMON = 0.15;

/** All rows of one outcome of one analysis. `flock`: its name, or `all`. */
export function associationRows(
  flock: string,
  analysis: OutcomeAnalysis,
  q: ReadonlyMap<FocusAnalysis, number>,
): AssociationRow[] {
  const asked = analysis.focuses.flatMap((one) => {
    const base = baseRow(flock, analysis, one.focus);
    return one.found === null
      ? [{ ...base, caution: whyUnfit(one.fit) }]
      : foundRows(base, analysis, one, one.found, q.get(one)!);
  });
  const silent = exposureIds.flatMap((id): AssociationRow[] => {
    const why = analysis.asked.notAsked.get(id);
    if (why === undefined) return [];
    return [{ ...baseRow(flock, analysis, loneFocus(id)), caution: whyNotAsked(why) }];
  });
  return [...asked.map(silentUnderThree), ...silent];
}

/** Degrees of freedom under which no interval can be trusted, so that nothing is given. */
const LEAST_DEGREES = 3;

function silentUnderThree(row: AssociationRow): AssociationRow {
  if (row.df === null || row.df >= LEAST_DEGREES) return row;
  const silent = { effect: null, lo: null, hi: null, p: null, q: null, e_value: null, e_value_limit: null };
  const caution = joinCodes([code("too_few_degrees", Math.round(row.df * 10) / 10), row.caution]);
  return { ...row, ...silent, claim: false, caution };
}

/** The curves of one outcome: x is the exposure where the pens' usual is the flock's mean. */
export function doseResponseRows(flock: string, analysis: OutcomeAnalysis): DoseResponseRow[] {
  const ratio = analysis.outcome !== "growth";
  return analysis.focuses.flatMap(({ focus, found }) => {
    const curve = found?.curve ?? null;
    if (found === null || curve === null) return [];
    const { id } = focus.members[0]!;
    const { mean } = found.fit.rows.exposed[id];
    const usual = mean.reduce((sum, value) => sum + value, 0) / mean.length;
    const shown = (value: number): number => (ratio ? Math.exp(value) : value);
    return curve.points.map(
      ({ departure, estimate, lo, hi }): DoseResponseRow => ({
        flock,
        outcome: analysis.outcome,
        exposure: id,
        effect_kind: effectKinds[analysis.outcome],
        x: usual + departure,
        estimate: shown(estimate),
        lo: shown(lo),
        hi: shown(hi),
        p_not_straight: curve.pNotStraight,
      }),
    );
  });
}

/** Time to retrim has no interval for conditions of pens that was shown to hold: each exposure is named and withheld. */
export function withheldRows(flock: string, analyses: readonly OutcomeAnalysis[]): AssociationRow[] {
  const [first] = analyses;
  if (first === undefined) return [];
  return exposureIds
    .filter((id) => analyses.some(({ asked }) => asked.notAsked.get(id)?.why !== "missing"))
    .map((id) => ({
      ...baseRow(flock, first, loneFocus(id)),
      outcome: "time_to_retrim",
      effect_kind: "time_ratio",
      lag_days: null,
      caution: "pen_level_withheld",
    }));
}

function baseRow(flock: string, { outcome, rows }: OutcomeAnalysis, focus: Focus): AssociationRow {
  const { id } = focus.members[0]!;
  return {
    flock,
    outcome,
    exposure: focus.id,
    lag_days: outcome === "growth" ? null : LAG_DAYS,
    level: "within_pen",
    check: "main",
    left_out: "",
    per: focus.members.length > 1 ? code("per_bundle", 1) : code(`per_${id}`, amounts[id]),
    effect: null,
    lo: null,
    hi: null,
    df: null,
    p: null,
    q: null,
    effect_kind: effectKinds[outcome],
    claim: false,
    e_value: null,
    e_value_limit: null,
    p_levels: null,
    adjusted_for: "",
    animals: rows.animals,
    pens: rows.pens.length,
    rows: rows.count,
    events: outcome === "growth" ? null : rows.outcome.reduce((sum, y) => sum + y, 0),
    caution: null,
  };
}

function foundRows(
  base: AssociationRow,
  analysis: OutcomeAnalysis,
  { focus, fit: result }: FocusAnalysis,
  found: FoundSlopes,
  q: number,
): AssociationRow[] {
  const { fit } = found;
  const amount = focus.members.length > 1 ? 1 : amounts[focus.members[0]!.id];
  const shown = slopeWriter(analysis.outcome, amount, fit.rows);
  const others = fit.focuses.filter((one) => one !== focus).map((one) => one.id);
  const common = {
    ...base,
    animals: fit.rows.animals,
    pens: fit.rows.pens.length,
    rows: fit.rows.count,
    events: analysis.outcome === "growth" ? null : fit.events,
  };
  const adjustedFor = adjustments(["pen", ...alwaysAdjusted(fit), ...others]);
  const claim = isClaimed(found, q);
  const neverLame = analysis.rows.pens.length - fit.rows.pens.length;
  const caution = joinCodes([
    levelsDisagree(found) ? code("levels_disagree") : null,
    controlFailed(found) ? code("control_failed") : null,
    found.control?.silent === true ? code("control_silent") : null,
    movesWithCalendar(found) ? code("moves_with_calendar") : null,
    restsOn(found),
    "why" in result || analysis.outcome === "growth" || neverLame <= 0
      ? null
      : code("pens_never_lame", neverLame),
  ]);
  const main = {
    ...common,
    ...shown(found.within),
    q,
    claim,
    p_levels: found.pLevels,
    adjusted_for: adjustedFor,
    caution,
  };
  const betweenAdjusted = adjustments(alwaysAdjusted(fit));
  const rows: AssociationRow[] = [
    main,
    { ...main, ...shown(found.overall), level: "overall" },
    {
      ...common,
      ...(found.betweenPens === null ? { caution: found.whyNotBetweenPens } : shown(found.betweenPens)),
      level: "between_pen",
      adjusted_for: betweenAdjusted,
    },
  ];
  if (fit.rows.flocks.length > 1) {
    rows.push({
      ...common,
      ...(found.betweenFlocks === null
        ? { caution: code("too_few_flocks", fit.rows.flocks.length, LEAST_FLOCKS_BETWEEN) }
        : shown(found.betweenFlocks)),
      level: "between_flock",
      adjusted_for: betweenAdjusted,
    });
  }
  const check = (
    slope: (AveragedSlope & { readonly rows?: number }) | null,
    as: Partial<AssociationRow>,
  ): void => {
    if (slope === null) return;
    rows.push({
      ...common,
      adjusted_for: adjustedFor,
      ...shown(slope),
      rows: slope.rows ?? common.rows,
      ...as,
    });
  };
  check(found.unadjusted, { check: "unadjusted", adjusted_for: adjustments(["pen", "month"]) });
  check(found.monthFixed, { check: "month_fixed" });
  for (const [lag, slope] of found.otherLags) check(slope, { check: "other_lag", lag_days: lag });
  if (found.control !== null) {
    const silent = found.control.silent ? code("control_silent") : null;
    check(found.control.before, { check: "past_beside_future", caution: silent });
    check(found.control.after, { check: "future_exposure", caution: silent });
  }
  for (const { kind, name, slope } of found.leftOut) check(slope, { check: kind, left_out: name });
  return rows;
}

type SlopeCells = Pick<AssociationRow, "effect" | "lo" | "hi" | "df" | "p" | "e_value" | "e_value_limit">;

function slopeWriter(
  outcome: OutcomeId,
  amount: number,
  rows: OutcomeAnalysis["rows"],
): (slope: AveragedSlope) => SlopeCells {
  const prevalence = rows.outcome.reduce((sum, y) => sum + y, 0) / rows.count;
  return (slope) => {
    const reach = reachOf(slope);
    const [effect, lo, hi] = [slope.estimate, slope.estimate - reach, slope.estimate + reach].map((value) =>
      outcome === "growth" ? amount * value : Math.exp(amount * value),
    ) as [number, number, number];
    const known = { effect, lo, hi, df: slope.df, p: pOf(slope) };
    const ratio = { estimate: effect, lo, hi };
    // A ratio of hazards of an outcome that is not rare has no such simple stand-in.
    const told = outcome === "lame" || (outcome === "new_lameness" && prevalence <= COMMON);
    if (!told || !Number.isFinite(hi)) return { ...known, e_value: null, e_value_limit: null };
    const e = eValue(prevalence > COMMON ? riskRatioOfCommonOutcome(ratio) : ratio);
    return { ...known, e_value: e.estimate, e_value_limit: e.limit };
  };
}

function alwaysAdjusted({ fixed, covariateAt }: WithinFit): string[] {
  const kinds = new Set(covariateAt.map((column) => fixed.names[column - 1]!.split(":")[0]!));
  return ["animal", "pen_month", "month", ...kinds];
}

function adjustments(names: readonly string[]): string {
  return [...new Set(names)].join(", ");
}

/** Names the first pen or flock without which the slope changes its sign. */
function restsOn({ within, leftOut }: FoundSlopes): string | null {
  const turned = leftOut.find(({ slope }) => slope.estimate * within.estimate < 0);
  return turned === undefined || pOf(within) >= 0.05 ? null : code("rests_on", turned.name);
}

function whyUnfit(fit: WithinResult): string {
  if (!("why" in fit)) return "too_little_contrast";
  switch (fit.why) {
    case "too_few_events":
      return code("too_few_events", fit.events, fit.needed);
    case "too_few_degrees":
      return code("too_few_degrees", fit.df);
    case "too_few_pens":
      return code("too_few_pens", fit.pens, 2);
    case "not_converged":
      return code("not_converged");
  }
}

function whyNotAsked(why: NotAsked): string {
  switch (why.why) {
    case "missing":
      return code("exposure_missing");
    case "too_little_contrast":
      return code("too_little_contrast");
    case "not_asked":
      return code("not_asked");
    case "bundled":
      return code("in_bundle", why.bundle);
  }
}
