import { code } from "../records/codes.ts";
import { day, defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { bernoulliCusum, bernoulliCusumLimit } from "../statistics/control-charts/bernoulli-cusum.ts";
import { Random } from "../statistics/random.ts";
import { type Finding, insertRows } from "./finding.ts";
import { readWatchedScores, type WatchedScore } from "./watched-scores.ts";

export const signalTable = defineTable({
  schema: "results",
  name: "signal",
  grain: ["flock", "pen", "gait_scale", "signalled"],
  columns: {
    flock: text.always("flock"),
    pen: text.always("pen"),
    gait_scale: text.always("scale of the scores; scales are never mixed"),
    started: day.always("day from which more goats walked lame than expected"),
    signalled: day.always("day on which that was past chance"),
    lame: integer.always("lame scores in between"),
    expected: number.always("lame scores expected from the season before"),
    statistic: number.always("the sum when it signalled"),
    limit: number.always("the limit it passed: one false signal in 5 years at this pen's pace of scoring"),
    caution: text("codes"),
  },
  reads: ["exposure.gait_day"],
  identities: [
    { says: "a signal follows its start", holds: "signalled >= started" },
    { says: "a signal passes the limit", holds: 'statistic >= "limit"' },
  ],
});

export type SignalRow = RowOf<typeof signalTable>;

/** Rise of the odds that is watched for. Project default. */
const ODDS_RATIO = 2;
const DAYS_OF_FIVE_YEARS = 1826;
const RUNS = 200;
/** Scores of a pen from which it is watched. Project default. */
const LEAST_SCORES = 20;

/**
 * Where and when a pen's lameness rose: a risk-adjusted sum of its scores against the season before (Steiner, Cook,
 * Farewell and Treasure 2000, Biostatistics 1:441-452), its limit set by seeded simulation.
 */
export const signal: Finding = {
  tables: [signalTable],
  async fill({ book, flocks, seed }) {
    const limits = new Map<string, number | undefined>();
    for (const flock of flocks) {
      const pens = new Map<string, WatchedScore[]>();
      for (const score of await readWatchedScores(book, flock)) {
        if (score.expected === null) continue;
        const key = `${score.pen}\n${score.gaitScale}`;
        const own = pens.get(key);
        if (own) own.push(score);
        else pens.set(key, [score]);
      }
      for (const scores of pens.values()) {
        if (scores.length < LEAST_SCORES) continue;
        const expected = Float64Array.from(scores, (score) => score.expected!);
        const limit = limitFor(limits, expected, daysWatched(scores), seed);
        if (limit === undefined) continue;
        await insertRows(book, signalTable, signalsOf(flock.id, scores, expected, limit));
      }
    }
  },
};

function signalsOf(
  flock: string,
  scores: readonly WatchedScore[],
  expected: Float64Array,
  limit: number,
): SignalRow[] {
  const { pen, gaitScale } = scores[0]!;
  const { signals } = bernoulliCusum(
    scores.map(({ lame }) => lame),
    expected,
    ODDS_RATIO,
    limit,
  );
  const lastOfDay = new Map<number, SignalRow>();
  for (const { started, signalled, events, expected: due, statistic } of signals) {
    // Goats of one round stand in no order: two signals on one day are one.
    lastOfDay.set(scores[signalled]!.day, {
      flock,
      pen,
      gait_scale: gaitScale,
      started: scores[started]!.day,
      signalled: scores[signalled]!.day,
      lame: events,
      expected: due,
      statistic,
      limit,
      caution: code(
        "same_animals_again",
        new Set(scores.slice(started, signalled + 1).map(({ animal }) => animal)).size,
      ),
    });
  }
  return [...lastOfDay.values()];
}

/** The limit for a pen's chances and pace; pens that are nearly alike in both share one. */
function limitFor(
  limits: Map<string, number | undefined>,
  expected: Float64Array,
  days: number,
  seed: number,
): number | undefined {
  const runLength = roundedTo(20, (expected.length / days) * DAYS_OF_FIVE_YEARS);
  const mean = expected.reduce((sum, one) => sum + one, 0) / expected.length;
  const key = `${runLength}|${Math.round(4 * Math.log(mean / (1 - mean)))}`;
  if (!limits.has(key)) {
    const found = bernoulliCusumLimit({
      expected,
      oddsRatio: ODDS_RATIO,
      runLength,
      random: new Random(seed),
      runs: RUNS,
    });
    limits.set(key, found?.limit);
  }
  return limits.get(key);
}

function daysWatched(scores: readonly WatchedScore[]): number {
  return Math.max(30, scores.at(-1)!.day - scores[0]!.day);
}

/** Rounded to one of `steps` values a factor of ten. */
function roundedTo(steps: number, value: number): number {
  return Math.max(1, Math.round(10 ** (Math.round(steps * Math.log10(value)) / steps)));
}
