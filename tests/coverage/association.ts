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
import { allColumns, mainColumns } from "../../src/findings/association/slope-checks.ts";
import type { WithinFit } from "../../src/findings/association/within-fit.ts";
import { tTwoSided } from "../../src/statistics/distributions/student-t.ts";
import { benjaminiHochberg } from "../../src/statistics/multiplicity.ts";
import { absorbPanel } from "../../src/statistics/panel-shocks/absorbed-panel.ts";
import { type GramRegression, regressFromGram } from "../../src/statistics/panel-shocks/gram-regression.ts";
import { shockedGram } from "../../src/statistics/panel-shocks/shocked-gram.ts";
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
export interface AssociationScenario {
  readonly name: string;
  readonly plan: AssociationFlockPlan;
  readonly shows: "truth" | "null" | "confounder" | "silence" | "held";
}

/** Shocks that drift from day to day, which months cut anyhow. */
const drifting = {
  penShock: { by: "day", correlation30: 0.6 },
  flockShock: { by: "day", correlation30: 0.3 },
} as const;

/** Goats come and go and are missed, pens differ in size, visits fall early or late, and looks at the ground have gaps. */
const usual: AssociationFlockPlan = {
  ...usualFlock,
  visitSlack: 6,
  missed: 0.1,
  comeAndGo: 0.25,
  largestPen: 3,
  groundLooks: { every: 7, missed: 0.15 },
  copperWithProtein: 0.5,
  growth: { ...usualFlock.growth, ...drifting },
  lameness: { ...usualFlock.lameness, ...drifting },
};
const withoutEffect = (plan: AssociationFlockPlan): AssociationFlockPlan => ({
  ...plan,
  growth: { ...plan.growth, perProtein: 0, perWetness: 0 },
  lameness: { ...plan.lameness, perProtein: 0, perWetness: 0 },
});
const withoutShocks = (plan: AssociationFlockPlan): AssociationFlockPlan => ({
  ...plan,
  growth: { ...plan.growth, penShockSd: 0, flockShockSd: 0 },
  lameness: { ...plan.lameness, penShockSd: 0, flockShockSd: 0 },
});
const lasting = (plan: AssociationFlockPlan): AssociationFlockPlan => ({
  ...plan,
  lameness: { ...plan.lameness, lasting: 0.4 },
});
const lame = (plan: AssociationFlockPlan, mean: number): AssociationFlockPlan => ({
  ...plan,
  lameness: { ...plan.lameness, mean },
});
const fewPens: AssociationFlockPlan = { ...usual, pens: 4, goats: 60, days: 480 };
const manyPens: AssociationFlockPlan = { ...usual, pens: 10, goats: 100, days: 480 };

export const associationScenarios: readonly AssociationScenario[] = [
  { name: "6 pens", plan: usual, shows: "truth" },
  { name: "4 pens", plan: fewPens, shows: "truth" },
  { name: "10 pens", plan: manyPens, shows: "truth" },
  {
    name: "no effect, 6 pens without shocks",
    plan: withoutEffect(withoutShocks(usualFlock)),
    shows: "null",
  },
  {
    name: "no effect, 6 pens, flock and pen shocks, lasting lameness",
    plan: lasting(withoutEffect(usual)),
    shows: "null",
  },
  { name: "no effect, 4 pens, flock and pen shocks", plan: withoutEffect(fewPens), shows: "null" },
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
    plan: { ...usual, pens: 3, days: 60, visitEvery: 20, scoreEvery: 7 },
    shows: "silence",
  },
  { name: "rare lameness", plan: lame(usual, -4.2), shows: "held" },
  { name: "common lameness", plan: lame(usual, -0.6), shows: "held" },
  { name: "24 pens of 4", plan: { ...usual, pens: 24, goats: 96, days: 360 }, shows: "held" },
  { name: "4 pens of 6", plan: { ...usual, pens: 4, goats: 24, days: 540, largestPen: 1 }, shows: "held" },
  {
    name: "one year, seldom looked at",
    plan: { ...usual, goats: 90, days: 360, scoreEvery: 60, visitEvery: 90 },
    shows: "held",
  },
  {
    name: "ground that hardly changes",
    plan: { ...usual, days: 480, wetSwing: 0.3 },
    shows: "held",
  },
  {
    name: "rations changed three times a year, all pens together",
    plan: { ...usual, days: 540, rationDays: [110, 130], rationsTogether: true },
    shows: "held",
  },
  {
    name: "strong lasting shocks",
    plan: {
      ...usual,
      days: 540,
      growth: { ...usual.growth, penShockSd: 0.7, penShock: { by: "day", correlation30: 0.85 } },
      lameness: { ...usual.lameness, penShockSd: 0.9, penShock: { by: "day", correlation30: 0.85 } },
    },
    shows: "held",
  },
  {
    name: "nothing but chance",
    plan: {
      ...withoutShocks(usual),
      goats: 60,
      days: 480,
      growth: { ...usual.growth, animalSd: 0, penSd: 0, penShockSd: 0, flockShockSd: 0 },
      lameness: { ...usual.lameness, animalSd: 0, penSd: 0, penShockSd: 0, flockShockSd: 0 },
    },
    shows: "held",
  },
];

/** Simulated flocks of one kind with known truth: 200 in the quick form, 1,000 else. */
export function associationCoverage(
  scenario: AssociationScenario,
  flocks: number,
  quick: boolean,
): AssociationCoverageRow[] {
  const seen = Array.from({ length: flocks }, (_, f) => analysedFlock(scenario.plan, SEED + f));
  return rowsOf(scenario, seen, quick);
}

function rowsOf(
  scenario: AssociationScenario,
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
    case "held":
      return [...coverageRows(scenario, seen, quick), ...meanRows(scenario, seen)];
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
  // Only lameness that lasts has a hazard of going lame.
  const fresh =
    plan.lameness.lasting === null ? simulatedOutcomes(lasting(plan), seed).newLameness : newLameness;
  const analyses = [
    analyseOutcome(growth, "growth", "claims"),
    analyseOutcome(lame, "lame", "claims"),
    analyseOutcome(fresh, "new_lameness", "claims"),
  ];
  return { analyses, q: familyQ(analyses), referenceQ: referenceQ(analyses, plan) };
}

/** The reference fit is told the true variances and does not average over any. */
function referenceQ(
  analyses: readonly OutcomeAnalysis[],
  plan: AssociationFlockPlan,
): ReadonlyMap<FocusAnalysis, number> {
  const tested = analyses.flatMap(({ outcome, focuses }) =>
    focuses.flatMap((one) => (one.found === null ? [] : [{ one, outcome, found: one.found }])),
  );
  const known = new Map<WithinFit, GramRegression>();
  const p = tested.map(({ one: { focus }, outcome, found: { fit, within } }) => {
    const regression = known.get(fit) ?? regressionAtTruth(fit, outcome, plan);
    known.set(fit, regression);
    const at = regression.columns.indexOf(fit.focusAt[fit.focuses.indexOf(focus)]!);
    const variance = regression.covariance.values[at * (regression.columns.length + 1)]!;
    return tTwoSided(regression.estimates[at]! / Math.sqrt(variance), within.df);
  });
  const q = benjaminiHochberg(p);
  return new Map(tested.map(({ one }, k) => [one, q[k]!]));
}

function regressionAtTruth(fit: WithinFit, outcome: OutcomeId, plan: AssociationFlockPlan): GramRegression {
  const of = outcome === "growth" ? plan.growth : plan.lameness;
  const own = plan.growth.intervalSd ** 2;
  const reading = fit.rows.readingVariance;
  const panel = absorbPanel(
    {
      ...fit.panel,
      groupVariance: of.animalSd ** 2,
      precision: reading === null ? fit.panel.precision : reading.map((v) => 1 / (own + v)),
    },
    mainColumns(fit),
  );
  const gram = shockedGram(panel, {
    cellVariance: of.penShockSd ** 2,
    correlation: of.penShock.by === "day" ? of.penShock.correlation30 : of.penShock.correlation,
    blockVariances: [of.flockShockSd ** 2],
  })!.gram;
  return regressFromGram(gram, 0, allColumns(fit));
}

/** Slopes with a truth, lameness that lasts apart: how many are lame then follows from how many go lame by no one ratio. */
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
  { outcome: "new_lameness", exposure: "crude_protein", of: ({ lameness }) => lameness.perProtein },
  { outcome: "new_lameness", exposure: "wetness", of: ({ lameness }) => lameness.perWetness },
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
  { name, plan }: AssociationScenario,
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

/** Mean slopes beside the true ones. */
function meanRows(
  { name, plan }: AssociationScenario,
  seen: readonly AnalysedFlock[],
): AssociationCoverageRow[] {
  return truths
    .filter(({ of }) => of(plan) !== 0)
    .map(({ outcome, exposure, of }) => {
      const estimates = slopesOf(seen, outcome, exposure).map(
        ({ found }) => found.within.estimate / of(plan),
      );
      const allowed = 0.04 + 2 * standardError(estimates);
      return row(
        `${name}: ${outcome} by ${exposure}, mean slope over the true one`,
        estimates.length,
        mean(estimates),
        1 - allowed,
        1 + allowed,
      );
    });
}

function truthRows(
  scenario: AssociationScenario,
  seen: readonly AnalysedFlock[],
  quick: boolean,
): AssociationCoverageRow[] {
  const { name, plan } = scenario;
  const told = truths.filter(({ of }) => of(plan) !== 0);
  return [
    ...coverageRows(scenario, seen, quick),
    ...meanRows(scenario, seen),
    ...told.flatMap(({ outcome, exposure }) => {
      const slopes = slopesOf(seen, outcome, exposure);
      const what = `${name}: ${outcome} by ${exposure}`;
      const reference = share(slopes.map(({ referenceQ: q }) => q < 0.05));
      return [
        row(
          `${what}, share found over that of a fit told the variances (${reference.toFixed(2)})`,
          slopes.length,
          share(slopes.map(({ q }) => q < 0.05)) / reference,
          0.9,
          1.1,
        ),
        row(
          // Wet pens are also the lush ones here, and one in ten flocks has levels apart by chance alone.
          `${what}, share claimed over that found (levels and control can stop a claim)`,
          slopes.length,
          share(slopes.map(({ found, q }) => isClaimed(found, q))) / share(slopes.map(({ q }) => q < 0.05)),
          0.75,
          1,
        ),
        row(
          `${what}, levels seen to disagree without cause`,
          slopes.length,
          share(slopes.map(({ found }) => levelsDisagree(found))),
          0,
          0.2,
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
  { name }: AssociationScenario,
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
function disagreementRows(
  { name }: AssociationScenario,
  seen: readonly AnalysedFlock[],
): AssociationCoverageRow[] {
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

function silence({ name }: AssociationScenario, seen: readonly AnalysedFlock[]): AssociationCoverageRow {
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
