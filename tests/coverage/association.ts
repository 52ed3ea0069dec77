import {
  analyseOutcome,
  controlFailed,
  type FocusAnalysis,
  familyQ,
  isClaimed,
  levelsDisagree,
  type OutcomeAnalysis,
  type OutcomeId,
  reachOf,
} from "../../src/findings/association/outcome-analysis.ts";
import { tTwoSided } from "../../src/statistics/distributions/student-t.ts";
import { benjaminiHochberg } from "../../src/statistics/multiplicity.ts";
import { type AssociationFlockPlan, simulatedOutcomes, usualFlock } from "./association-flock.ts";

/** One figure of the simulations: passes when it lies from `lo` to `hi`. */
export interface AssociationCoverageRow {
  readonly what: string;
  readonly flocks: number;
  readonly got: number;
  readonly lo: number;
  readonly hi: number;
  readonly passes: boolean;
}

const SEED = 31_000;

/** A kind of flock, what it is to show, and from which outcomes. */
interface Scenario {
  readonly name: string;
  readonly plan: AssociationFlockPlan;
  readonly shows: "truth" | "null" | "confounder" | "silence";
}

const autocorrelated = { penMonthCorrelation: 0.6 };
const noEffect = (plan: AssociationFlockPlan): AssociationFlockPlan => ({
  ...plan,
  growth: { ...plan.growth, perProtein: 0, perWetness: 0 },
  lameness: { ...plan.lameness, perProtein: 0, perWetness: 0 },
});
const withShocks = (plan: AssociationFlockPlan): AssociationFlockPlan => ({
  ...plan,
  growth: { ...plan.growth, ...autocorrelated },
  lameness: { ...plan.lameness, ...autocorrelated },
});
const withoutShocks = (plan: AssociationFlockPlan): AssociationFlockPlan => ({
  ...plan,
  growth: { ...plan.growth, penMonthSd: 0, monthSd: 0 },
  lameness: { ...plan.lameness, penMonthSd: 0, monthSd: 0 },
});
const fewPens: AssociationFlockPlan = { ...usualFlock, pens: 4, goats: 80, days: 480 };
const manyPens: AssociationFlockPlan = { ...usualFlock, pens: 10, days: 480 };

const scenarios: readonly Scenario[] = [
  { name: "6 pens", plan: usualFlock, shows: "truth" },
  { name: "4 pens", plan: withShocks(fewPens), shows: "truth" },
  { name: "10 pens", plan: withShocks(manyPens), shows: "truth" },
  { name: "6 pens, no effect, no shocks", plan: noEffect(withoutShocks(usualFlock)), shows: "null" },
  {
    name: "6 pens, no effect, month shocks and autocorrelated pen shocks",
    plan: noEffect(withShocks(usualFlock)),
    shows: "null",
  },
  {
    name: "4 pens, no effect, month shocks and autocorrelated pen shocks",
    plan: noEffect(withShocks(fewPens)),
    shows: "null",
  },
  {
    name: "10 pens, planted cause that makes wet pens worse",
    plan: {
      ...manyPens,
      growth: { ...manyPens.growth, penConfounder: 0.8 },
      lameness: { ...manyPens.lameness, penConfounder: -1 },
    },
    shows: "confounder",
  },
  {
    name: "3 pens, 2 months",
    plan: { ...usualFlock, pens: 3, days: 60, visitEvery: 20, scoreEvery: 7 },
    shows: "silence",
  },
];

/** Simulated flocks with known truth: 200 of each kind in the quick form, 1,000 else. */
export function associationCoverage(quick: boolean, flocks = quick ? 200 : 1000): AssociationCoverageRow[] {
  return scenarios.flatMap((scenario) => {
    const seen = Array.from({ length: flocks }, (_, f) => analysedFlock(scenario.plan, SEED + f));
    return rowsOf(scenario, seen, quick);
  });
}

function rowsOf(
  scenario: Scenario,
  seen: readonly AnalysedFlock[],
  quick: boolean,
): AssociationCoverageRow[] {
  switch (scenario.shows) {
    case "truth":
      return truthRows(scenario, seen, quick);
    case "null":
      return [anyClaim(scenario, seen, quick), ...coverageRows(scenario, seen, quick)];
    case "confounder":
      return [...coverageRows(scenario, seen, quick), ...disagreementRows(scenario, seen)];
    case "silence":
      return [silence(scenario, seen)];
  }
}

interface AnalysedFlock {
  readonly analyses: readonly OutcomeAnalysis[];
  readonly q: ReadonlyMap<FocusAnalysis, number>;
  /** q of a fit that takes the variances for known, on the same degrees of freedom. */
  readonly referenceQ: ReadonlyMap<FocusAnalysis, number>;
}

function analysedFlock(plan: AssociationFlockPlan, seed: number): AnalysedFlock {
  const { growth, lame, newLameness } = simulatedOutcomes(plan, seed);
  const analyses = [
    analyseOutcome(growth, "growth", "claims"),
    analyseOutcome(lame, "lame", "claims"),
    analyseOutcome(newLameness, "new_lameness", "claims"),
  ];
  return { analyses, q: familyQ(analyses), referenceQ: plugInQ(analyses) };
}

function plugInQ(analyses: readonly OutcomeAnalysis[]): ReadonlyMap<FocusAnalysis, number> {
  const tested = analyses.flatMap(({ focuses }) => focuses.filter(({ found }) => found !== null));
  const p = tested.map(({ focus, found }) => {
    const { fit, within } = found!;
    const column = fit.focusAt[fit.focuses.indexOf(focus)]!;
    const at = fit.regression.columns.indexOf(column);
    const variance = fit.regression.covariance.values[at * (fit.regression.columns.length + 1)]!;
    return tTwoSided(fit.regression.estimates[at]! / Math.sqrt(variance), within.df);
  });
  const q = benjaminiHochberg(p);
  return new Map(tested.map((one, k) => [one, q[k]!]));
}

/** Slopes with a truth: incidence is a ratio of hazards, near the ratio of odds but not the same, so it is left out. */
const truths: readonly {
  readonly outcome: OutcomeId;
  readonly exposure: string;
  readonly of: (plan: AssociationFlockPlan) => number;
}[] = [
  { outcome: "growth", exposure: "crude_protein", of: ({ growth }) => growth.perProtein },
  { outcome: "growth", exposure: "wetness", of: ({ growth }) => growth.perWetness },
  { outcome: "growth", exposure: "copper_diet", of: () => 0 },
  { outcome: "lame", exposure: "crude_protein", of: ({ lameness }) => lameness.perProtein },
  { outcome: "lame", exposure: "wetness", of: ({ lameness }) => lameness.perWetness },
  { outcome: "lame", exposure: "copper_diet", of: () => 0 },
];

function slopesOf(seen: readonly AnalysedFlock[], outcome: OutcomeId, exposure: string) {
  return seen.flatMap(({ analyses, q, referenceQ }) =>
    analyses
      .filter((analysis) => analysis.outcome === outcome)
      .flatMap(({ focuses }) => focuses.filter(({ focus, found }) => focus.id === exposure && found !== null))
      .map((one) => ({ found: one.found!, q: q.get(one)!, referenceQ: referenceQ.get(one)! })),
  );
}

function coverageRows(
  { name, plan }: Scenario,
  seen: readonly AnalysedFlock[],
  quick: boolean,
): AssociationCoverageRow[] {
  const [lo, hi] = quick ? [0.905, 0.985] : [0.93, 0.97];
  return truths.map(({ outcome, exposure, of }) => {
    const slopes = slopesOf(seen, outcome, exposure);
    const truth = of(plan);
    const held = slopes.map(({ found: { within } }) => Math.abs(within.estimate - truth) <= reachOf(within));
    return row(`${name}: ${outcome} by ${exposure}, within pens`, slopes.length, share(held), lo!, hi!);
  });
}

function truthRows(
  scenario: Scenario,
  seen: readonly AnalysedFlock[],
  quick: boolean,
): AssociationCoverageRow[] {
  const { name, plan } = scenario;
  const told = truths.filter(({ of }) => of(plan) !== 0);
  return [
    ...coverageRows(scenario, seen, quick),
    ...told.flatMap(({ outcome, exposure, of }) => {
      const slopes = slopesOf(seen, outcome, exposure);
      const estimates = slopes.map(({ found }) => found.within.estimate / of(plan));
      const allowed = 0.04 + 2 * standardError(estimates);
      const what = `${name}: ${outcome} by ${exposure}`;
      const reference = share(slopes.map(({ referenceQ }) => referenceQ < 0.05));
      return [
        row(
          `${what}, mean slope over the true one`,
          slopes.length,
          mean(estimates),
          1 - allowed,
          1 + allowed,
        ),
        row(
          `${what}, share found over that of a reference fit (${reference.toFixed(2)})`,
          slopes.length,
          share(slopes.map(({ q }) => q < 0.05)) / reference,
          0.9,
          1.1,
        ),
        row(
          // Wet pens are also the lush ones here: between pens each exposure stands for both, and the levels may disagree.
          `${what}, share claimed over that found (levels and control can stop a claim)`,
          slopes.length,
          share(slopes.map(({ found, q }) => isClaimed(found, q))) / share(slopes.map(({ q }) => q < 0.05)),
          0.6,
          1,
        ),
        row(
          `${what}, negative control fails without cause`,
          slopes.length,
          share(slopes.map(({ found }) => controlFailed(found))),
          0,
          0.095,
        ),
      ];
    }),
  ];
}

function anyClaim(
  { name }: Scenario,
  seen: readonly AnalysedFlock[],
  quick: boolean,
): AssociationCoverageRow {
  const claimed = seen.map(({ analyses, q }) =>
    analyses.some(({ focuses }) =>
      focuses.some((one) => one.found !== null && isClaimed(one.found, q.get(one)!)),
    ),
  );
  return row(`${name}: any claim`, seen.length, share(claimed), 0, quick ? 0.08 : 0.065);
}

/** The planted cause acts between pens alone: the levels must be seen to disagree far oftener than by chance. */
function disagreementRows({ name }: Scenario, seen: readonly AnalysedFlock[]): AssociationCoverageRow[] {
  return (["growth", "lame"] as const).map((outcome) => {
    const slopes = slopesOf(seen, outcome, "wetness");
    return row(
      `${name}: ${outcome} by wetness, levels seen to disagree`,
      slopes.length,
      share(slopes.map(({ found }) => levelsDisagree(found))),
      0.5,
      1,
    );
  });
}

function silence({ name }: Scenario, seen: readonly AnalysedFlock[]): AssociationCoverageRow {
  const silent = seen.map(({ analyses }) =>
    analyses.every(({ focuses }) => focuses.every(({ found }) => found === null)),
  );
  return row(`${name}: nothing said`, seen.length, share(silent), 1, 1);
}

function row(what: string, flocks: number, got: number, lo: number, hi: number): AssociationCoverageRow {
  return { what, flocks, got, lo, hi, passes: got >= lo && got <= hi };
}

function share(held: readonly boolean[]): number {
  return held.filter(Boolean).length / held.length;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function standardError(values: readonly number[]): number {
  const middle = mean(values);
  const squares = values.reduce((sum, value) => sum + (value - middle) ** 2, 0);
  return Math.sqrt(squares / (values.length - 1) / values.length);
}
