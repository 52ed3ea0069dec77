import { code, joinCodes } from "../records/codes.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { clusteredProportion } from "../statistics/proportions/clustered-proportion.ts";
import { wilsonInterval } from "../statistics/proportions/proportion-interval.ts";
import { Random } from "../statistics/random.ts";
import { clusteredRate } from "../statistics/rates/clustered-rate.ts";
import { type Finding, insertRows } from "./finding.ts";
import { gatherRows } from "./gather-rows.ts";
import { type LamenessCourse, lamenessCourse, readScorePairs } from "./lameness-course.ts";
import { readWorstScores, type Severity, severityAgainstOthers } from "./lameness-severity.ts";

export const lamenessTable = defineTable({
  schema: "results",
  name: "lameness",
  grain: ["flock", "season", "group_kind", "group_value", "gait_scale"],
  columns: {
    flock: text.always("flock; all: every flock that scores on this scale and mark, two or more"),
    season: text.always("season, or all"),
    group_kind: text.always("flock, pen, ground, line, age_band, class, arm"),
    group_value: text.always("which of them"),
    scored_animals: integer.always("animals scored at least once"),
    lame_animals: integer.always("of these, ever lame"),
    prevalence: number("ever lame over scored (period prevalence)"),
    lo: number("lower 95 % limit, Wilson"),
    hi: number("upper 95 % limit, Wilson"),
    scores: integer.always("scores, those for cause apart"),
    lame_scores: integer.always("of these, lame"),
    point_prevalence: number("lame scores over scores: how many are lame on a day"),
    point_lo: number("lower 95 % limit, Wilson on the effective sample size over animals"),
    point_hi: number("upper 95 % limit"),
    point_with_for_cause: number(
      "the same with scores for cause; given where the two readings lie 3 points or more apart",
    ),
    point_with_for_cause_lo: number("lower 95 % limit"),
    point_with_for_cause_hi: number("upper 95 % limit"),
    point_without_assumed: number("the same without scores assumed sound; given where there are any"),
    point_without_assumed_lo: number("lower 95 % limit"),
    point_without_assumed_hi: number("upper 95 % limit"),
    assumed_sound: integer.always("scores that a round gave by saying all others walked sound"),
    for_cause: integer.always("scores given because the animal limped, left out of the day's figure"),
    new_cases: integer.always("not lame to lame between successive scores at most 120 days apart"),
    animal_days_at_risk: integer.always("days between scores that start not lame"),
    incidence_100_animal_months: number("new cases seen per 100 animal-months"),
    inc_lo: number("lower 95 % limit, exact Poisson over animals"),
    inc_hi: number("upper 95 % limit"),
    median_gap_days: number("median days between successive scores: incidences compare only at like gaps"),
    onset_100_animal_months: number("onsets per 100 animal-months by the two-state process"),
    onset_lo: number("lower 95 % limit, over animals"),
    onset_hi: number("upper 95 % limit"),
    recovered: integer.always("lame to not lame between successive scores at most 120 days apart"),
    median_days_lame: number("median days lame by the two-state process"),
    median_days_lame_lo: number("lower 95 % limit, over animals"),
    median_days_lame_hi: number("upper 95 % limit"),
    severe_scores: integer.always("scores at or above the scale's mark of severe lameness"),
    worse_odds_ratio: number(
      "odds of a worse gait among its lame animals against those of the other groups of its kind",
    ),
    worse_lo: number("lower 95 % limit"),
    worse_hi: number("upper 95 % limit"),
    gait_scale: text.always("scale of the scores; scales are never mixed"),
    lame_from: number.always("score from which an animal counts as lame"),
    caution: text("codes"),
  },
  reads: ["exposure.gait_day", "exposure.animal_day_group", "exposure.season"],
  identities: [
    { says: "no more lame than scored", holds: "lame_animals <= scored_animals AND lame_scores <= scores" },
    { says: "a prevalence is a share", holds: "prevalence IS NULL OR prevalence BETWEEN 0 AND 1" },
  ],
});

export type LamenessRow = RowOf<typeof lamenessTable>;

/** Successive scores further apart than this say nothing of what happened between. Project default. */
const LONGEST_GAP_DAYS = 120;
/** Animals from which a prevalence is given. Project default. */
const LEAST_ANIMALS = 5;
const DAYS_A_MONTH = 30;

interface AnimalCount {
  flock: string;
  season: string;
  group_kind: string;
  group_value: string;
  gait_scale: string;
  lame_from: number;
  animal: string;
  pen: string | null;
  ever_lame: boolean;
  scores: number;
  lame_scores: number;
  assumed: number;
  for_cause: number;
  new_cases: number;
  scores_all: number;
  lame_all: number;
  scores_seen: number;
  severe: number;
  recovered: number;
  days_at_risk: number;
  in_rounds: boolean;
  median_gap: number | null;
}

/**
 * How much of a group is lame: over the season (period prevalence, Wilson), on a day (point prevalence, with
 * the animal as the unit of the error), and how fast new cases are seen (exact Poisson, widened by the
 * animals' own clustering). Several flocks are also put together, scale by scale and only where they count the same score
 * as lame; each keeps its own pens as strata.
 */
export const lameness: Finding = {
  tables: [lamenessTable],
  async fill({ book, seed }) {
    const counts = await book.rows<AnimalCount>(`
      WITH pair AS (
        SELECT *, lag(lame) OVER a AS was_lame, lag(day) OVER a AS was_day FROM exposure.gait_day
        WINDOW a AS (PARTITION BY flock, animal, gait_scale ORDER BY day)
      ), own AS (
        SELECT p.*, s.season, g.group_kind, g.group_value, CAST(p.day - p.was_day AS INTEGER) AS between_days,
          coalesce(p.day - p.was_day <= ${LONGEST_GAP_DAYS}, FALSE) AS near
        FROM pair p
        JOIN exposure.animal_day_group g ON g.flock = p.flock AND g.animal = p.animal AND g.day = p.day
        JOIN exposure.season s ON s.flock = p.flock AND p.day >= s.from_day AND p.day < s.to_day
      ), shared AS (
        SELECT season, gait_scale, arg_max(lame_from, (flocks, -lame_from)) AS lame_from FROM (
          SELECT season, gait_scale, lame_from, count(DISTINCT flock) AS flocks FROM own WHERE group_kind = 'flock' GROUP BY ALL)
        WHERE flocks > 1 GROUP BY season, gait_scale
      ), grouped AS (
        SELECT * FROM own
        UNION ALL
        SELECT o.* REPLACE ('all' AS flock, 'all' AS group_value, o.flock || chr(10) || o.animal AS animal,
          o.flock || chr(10) || coalesce(o.pen, '') AS pen)
        FROM own o JOIN shared USING (season, gait_scale, lame_from) WHERE o.group_kind = 'flock'
      ), gap AS (
        SELECT season, flock, group_kind, group_value, gait_scale, median(between_days) AS median_gap FROM grouped GROUP BY ALL
      )
      SELECT flock, season, group_kind, group_value, gait_scale, CAST(any_value(lame_from) AS DOUBLE) AS lame_from, animal, min(pen) AS pen,
        bool_or(lame) AS ever_lame,
        CAST(count(*) FILTER (NOT for_cause) AS INTEGER) AS scores, CAST(count(*) FILTER (lame AND NOT for_cause) AS INTEGER) AS lame_scores,
        CAST(count(*) FILTER (assumed) AS INTEGER) AS assumed, CAST(count(*) FILTER (for_cause) AS INTEGER) AS for_cause,
        CAST(count(*) AS INTEGER) AS scores_all, CAST(count(*) FILTER (lame) AS INTEGER) AS lame_all,
        CAST(count(*) FILTER (NOT for_cause AND NOT assumed) AS INTEGER) AS scores_seen, CAST(count(*) FILTER (severe) AS INTEGER) AS severe,
        CAST(count(*) FILTER (near AND lame AND NOT was_lame) AS INTEGER) AS new_cases,
        CAST(count(*) FILTER (near AND NOT lame AND was_lame) AS INTEGER) AS recovered,
        CAST(coalesce(sum(between_days) FILTER (near AND NOT was_lame), 0) AS INTEGER) AS days_at_risk,
        bool_or(in_rounds) AS in_rounds, CAST(any_value(median_gap) AS DOUBLE) AS median_gap
      FROM grouped JOIN gap USING (flock, season, group_kind, group_value, gait_scale)
      GROUP BY flock, season, group_kind, group_value, gait_scale, animal
      ORDER BY flock, season, group_kind, group_value, gait_scale, animal`);
    const groups = gatherRows(counts, keyOf);
    const courses = coursesOf(gatherRows(await readScorePairs(book), keyOf), seed);
    const severities = severitiesOf(await readWorstScores(book));
    await insertRows(
      book,
      lamenessTable,
      [...groups].map(([key, animals]) => lamenessOf(animals, courses.get(key), severities.get(key))),
    );
  },
};

type GroupKey = Pick<AnimalCount, "flock" | "season" | "group_kind" | "group_value" | "gait_scale">;

const keyOf = (row: GroupKey): string =>
  [row.flock, row.season, row.group_kind, row.group_value, row.gait_scale].join("\n");

/** Bootstrap samples of animals for the whole flock, and for a group of it. */
const SAMPLES = 500;
const GROUP_SAMPLES = 200;

function coursesOf(
  pairs: ReadonlyMap<string, Awaited<ReturnType<typeof readScorePairs>>>,
  seed: number,
): Map<string, LamenessCourse | undefined> {
  const random = new Random(seed);
  return new Map(
    [...pairs].map(([key, own], i) => {
      const samples = own[0]!.group_kind === "flock" ? SAMPLES : GROUP_SAMPLES;
      return [key, lamenessCourse(own, random.substream(i), samples)];
    }),
  );
}

function severitiesOf(worst: Awaited<ReturnType<typeof readWorstScores>>): Map<string, Severity | undefined> {
  const kinds = gatherRows(worst, (row) => keyOf({ ...row, group_value: "" }));
  const severities = new Map<string, Severity | undefined>();
  for (const members of kinds.values()) {
    for (const [key, own] of gatherRows(members, keyOf)) {
      const animals = new Set(own.map(({ animal }) => animal));
      // An animal that belonged to several groups stands in its own and not among the others.
      const others = members.filter((row) => keyOf(row) !== key && !animals.has(row.animal));
      severities.set(
        key,
        severityAgainstOthers(
          own.map((row) => row.worst),
          others.map((row) => row.worst),
        ),
      );
    }
  }
  return severities;
}

/** Points between the two readings of a day's figure from which both are given. */
const READINGS_APART = 0.03;

function lamenessOf(
  animals: readonly AnimalCount[],
  course: LamenessCourse | undefined,
  severity: Severity | undefined,
): LamenessRow {
  const first = animals[0]!;
  const total = (of: (animal: AnimalCount) => number): number =>
    animals.reduce((sum, animal) => sum + of(animal), 0);
  const lameAnimals = total((animal) => Number(animal.ever_lame));
  const enough = animals.length >= LEAST_ANIMALS;
  const period = enough ? wilsonInterval(lameAnimals, animals.length) : undefined;
  const pointOf = (successes: (animal: AnimalCount) => number, trials: (animal: AnimalCount) => number) =>
    enough
      ? clusteredProportion(
          animals.map((animal) => ({
            successes: successes(animal),
            trials: trials(animal),
            stratum: animal.pen ?? "",
          })),
        )
      : undefined;
  const point = pointOf(
    (animal) => animal.lame_scores,
    (animal) => animal.scores,
  );
  const incidence = enough
    ? clusteredRate(
        animals.map((animal) => ({
          events: animal.new_cases,
          exposure: animal.days_at_risk / DAYS_A_MONTH / 100,
        })),
      )
    : undefined;
  const forCause = total((animal) => animal.for_cause);
  const assumed = total((animal) => animal.assumed);
  const withForCause = pointOf(
    (animal) => animal.lame_all,
    (animal) => animal.scores_all,
  );
  const bothReadings =
    forCause > 0 && point && withForCause && withForCause.estimate - point.estimate >= READINGS_APART
      ? withForCause
      : undefined;
  const withoutAssumed =
    assumed > 0
      ? pointOf(
          (animal) => animal.lame_scores,
          (animal) => animal.scores_seen,
        )
      : undefined;
  return {
    flock: first.flock,
    season: first.season,
    group_kind: first.group_kind,
    group_value: first.group_value,
    scored_animals: animals.length,
    lame_animals: lameAnimals,
    prevalence: period?.estimate ?? null,
    lo: period?.lo ?? null,
    hi: period?.hi ?? null,
    scores: total((animal) => animal.scores),
    lame_scores: total((animal) => animal.lame_scores),
    point_prevalence: point?.estimate ?? null,
    point_lo: point?.lo ?? null,
    point_hi: point?.hi ?? null,
    point_with_for_cause: bothReadings?.estimate ?? null,
    point_with_for_cause_lo: bothReadings?.lo ?? null,
    point_with_for_cause_hi: bothReadings?.hi ?? null,
    point_without_assumed: withoutAssumed?.estimate ?? null,
    point_without_assumed_lo: withoutAssumed?.lo ?? null,
    point_without_assumed_hi: withoutAssumed?.hi ?? null,
    assumed_sound: assumed,
    for_cause: forCause,
    new_cases: total((animal) => animal.new_cases),
    animal_days_at_risk: total((animal) => animal.days_at_risk),
    incidence_100_animal_months: incidence?.estimate ?? null,
    inc_lo: incidence?.lo ?? null,
    inc_hi: incidence?.hi ?? null,
    median_gap_days: first.median_gap,
    onset_100_animal_months: course?.onset ?? null,
    onset_lo: course?.onsetLo ?? null,
    onset_hi: course?.onsetHi ?? null,
    recovered: total((animal) => animal.recovered),
    median_days_lame: course?.medianDays ?? null,
    median_days_lame_lo: course?.medianLo ?? null,
    median_days_lame_hi: course?.medianHi ?? null,
    severe_scores: total((animal) => animal.severe),
    worse_odds_ratio: severity?.ratio ?? null,
    worse_lo: severity?.lo ?? null,
    worse_hi: severity?.hi ?? null,
    gait_scale: first.gait_scale,
    lame_from: first.lame_from,
    caution: joinCodes([
      enough ? null : code("too_few_animals", animals.length, LEAST_ANIMALS),
      forCause > 0 ? code("for_cause_apart", forCause) : null,
      assumed > 0 ? code("assumed_sound", assumed) : null,
      animals.some((animal) => animal.in_rounds) ? null : code("scored_singly"),
    ]),
  };
}
