import { gaitScales } from "../records/gait-scales.ts";
import { normalCumulative } from "../statistics/distributions/normal.ts";
import type { Random } from "../statistics/random.ts";
import type { FlockCalendar } from "./flock-calendar.ts";
import type { FlockPlan, LamenessParameters } from "./flock-options.ts";
import { gaitOfLiability } from "./gait-cuts.ts";
import type { DemoAnimal } from "./invent-animals.ts";
import { inventBreeding } from "./invent-breeding.ts";
import { reference } from "./invent-growth.ts";
import type { Life, LifeSegment } from "./invent-lives.ts";
import type { DemoPen } from "./invent-pens.ts";
import { monthShocks } from "./month-shocks.ts";
import { mean, standardised } from "./standardised.ts";

/** What the lameness of an invented flock is made of, on the log odds of being lame. */
export interface FlockLameness {
  readonly lineEffects: Float64Array;
  readonly breedingValues: Float64Array;
  readonly animalEffects: Float64Array;
  readonly penEffects: Float64Array;
  readonly monthEffects: Float64Array;
  readonly penMonthEffects: readonly Float64Array[];
  /** Log odds in each pen on each day, beside what the animal itself adds. */
  readonly penLogOdds: readonly Float64Array[];
}

export interface GaitScore {
  readonly animal: number;
  readonly day: number;
  readonly pen: number;
  readonly score: number;
  readonly lame: boolean;
  readonly scorer: string;
  readonly forCause: boolean;
  /** True log odds of being lame that day. */
  readonly logOdds: number;
}

/** A walk through a pen: counts alone, or counts with only the lame named. */
export interface PenRound {
  readonly pen: number;
  readonly day: number;
  readonly scorer: string;
  readonly lookedAt: number;
  readonly lame: number;
  readonly severelyLame: number;
  readonly othersSound: boolean;
}

export interface Lameness {
  readonly truth: FlockLameness;
  readonly scores: readonly GaitScore[];
  readonly rounds: readonly PenRound[];
}

type WalkKind = "named" | "counted" | "others sound";

interface Walk {
  readonly pen: number;
  readonly day: number;
  readonly kind: WalkKind;
  readonly scorer: string;
  readonly second: string | null;
}

const WETNESS_DAYS = 28;
const FIRST_SCORE_AGE_DAYS = 90;
const LOOK_EVERY_DAYS = 7;
const scorers = ["Perrin", "Wren"] as const;
const SECOND_SCORER_SPREAD = 0.7;
const SECOND_SCORER_SHIFT = 0.25;

/** Draws gait scores from a liability: effects, and a logistic part that lasts as long as a bout. */
export function inventLameness(
  random: Random,
  plan: FlockPlan,
  calendar: FlockCalendar,
  pens: readonly DemoPen[],
  animals: readonly DemoAnimal[],
  lives: readonly Life[],
): Lameness {
  const truth = lamenessTruth(random.substream(0), plan, calendar, pens, animals);
  const own = random.substream(1);
  const walks = pens.map((_, p) => penWalks(own.substream(p), plan, calendar, p));
  const counts = new Map<Walk, WalkCount>();
  const scores: GaitScore[] = [];
  const scoring = { plan, calendar, truth, walks, counts, scores };
  animals.forEach((animal, i) => {
    if (lives[i].segments.length > 0) {
      scoreAnimal(own.substream(1000 + i), scoring, animal, i, lives[i]);
    }
  });
  scores.sort((a, b) => a.day - b.day || a.animal - b.animal);
  const rounds = [...counts].map(([walk, count]) => ({
    pen: walk.pen,
    day: walk.day,
    scorer: walk.scorer,
    lookedAt: count.lookedAt,
    lame: count.lame,
    severelyLame: count.severe,
    othersSound: walk.kind === "others sound",
  }));
  rounds.sort((a, b) => a.day - b.day || a.pen - b.pen);
  return { truth, scores, rounds };
}

function lamenessTruth(
  random: Random,
  plan: FlockPlan,
  calendar: FlockCalendar,
  pens: readonly DemoPen[],
  animals: readonly DemoAnimal[],
): FlockLameness {
  const l = plan.lameness;
  const { lineEffects, values } = inventBreeding(random, animals, plan.lines, l.additiveVariance, l.lineSd);
  const animalEffects = values.map((value) => value + l.permanentSd * random.normal());
  const monthEffects = monthShocks(random, calendar.months, l.monthSd, l.monthCorrelation);
  const wetnessScores = standardised(pens.map((pen) => mean(pen.wetness)));
  const penEffects = Float64Array.from(
    pens,
    (_, p) => l.penSd * random.normal() + l.penConfounder * wetnessScores[p],
  );
  const penMonthEffects = pens.map(() =>
    monthShocks(random, calendar.months, l.penMonthSd, l.penMonthCorrelation),
  );
  const penLogOdds = pens.map((pen, p) => {
    const wetness = meanOfDaysBefore(pen.wetness, WETNESS_DAYS);
    const protein = meanOfDaysBefore(pen.crudeProtein, WETNESS_DAYS);
    const copper = meanOfDaysBefore(pen.dietCopper, WETNESS_DAYS);
    return Float64Array.from({ length: calendar.length }, (_, d) => {
      const month = calendar.month[d];
      return (
        l.mean +
        penEffects[p] +
        monthEffects[month] +
        penMonthEffects[p][month] +
        l.seasonAmplitude * Math.cos(calendar.yearAngle[d]) +
        l.perWetness * (wetness[d] - reference.wetness) +
        l.perProteinPct * (protein[d] - reference.crudeProtein) +
        l.perCopperMgPerKg * (copper[d] - reference.dietCopper) +
        l.slowConfounder * pen.hidden[d]
      );
    });
  });
  return {
    lineEffects,
    breedingValues: values,
    animalEffects,
    penEffects,
    monthEffects,
    penMonthEffects,
    penLogOdds,
  };
}

/** Mean over the `days` days before each day, that day itself left out; over fewer at the start. */
function meanOfDaysBefore(values: Float64Array, days: number): Float64Array {
  const sums = new Float64Array(values.length + 1);
  for (let d = 0; d < values.length; d++) sums[d + 1] = sums[d] + values[d];
  return Float64Array.from(values, (value, d) => {
    const from = Math.max(0, d - days);
    return d === 0 ? value : (sums[d] - sums[from]) / (d - from);
  });
}

/** The walks of a pen; in a farm's records every fourth pen is only counted every second time. */
function penWalks(random: Random, plan: FlockPlan, calendar: FlockCalendar, pen: number): Walk[] {
  const walks: Walk[] = [];
  const offset = random.integer(Math.min(7, plan.scoreEveryDays));
  let number = 0;
  for (let day = calendar.lead + offset; day < calendar.length; day += plan.scoreEveryDays) {
    const late = day > calendar.lead + plan.days * 0.75;
    const kind: WalkKind =
      plan.open && pen % 4 === 3 && number % 2 === 1
        ? "counted"
        : plan.open && pen % 4 === 1 && late
          ? "others sound"
          : "named";
    const second = plan.open && kind === "named" && random.bernoulli(0.12) ? scorers[1] : null;
    walks.push({ pen, day, kind, scorer: scorers[0], second });
    number++;
  }
  return walks;
}

interface Scoring {
  readonly plan: FlockPlan;
  readonly calendar: FlockCalendar;
  readonly truth: FlockLameness;
  readonly walks: readonly (readonly Walk[])[];
  readonly counts: Map<Walk, WalkCount>;
  readonly scores: GaitScore[];
}

interface WalkCount {
  lookedAt: number;
  lame: number;
  severe: number;
}

/** Adds an animal's scores and its part in the walks that only count. */
function scoreAnimal(random: Random, scoring: Scoring, animal: DemoAnimal, i: number, life: Life): void {
  const { plan, calendar, truth, walks, counts, scores } = scoring;
  const { lameFrom, severeFrom } = gaitScales[plan.gaitScale];
  const bout = boutLiability(random, plan.lameness.persistenceDays);
  let lastScored = Number.NEGATIVE_INFINITY;
  const logOddsOn = (day: number, segment: LifeSegment) =>
    truth.penLogOdds[segment.pen][day] + truth.animalEffects[i] + stageLogOdds(plan.lameness, segment);

  for (const segment of life.segments) {
    const first = Math.max(segment.from, calendar.lead, animal.born + FIRST_SCORE_AGE_DAYS);
    const days: (Walk | number)[] = walks[segment.pen].filter(
      (walk) => walk.day >= first && walk.day < segment.to,
    );
    if (plan.scoreForCause) {
      const firstLook = Math.ceil(first / LOOK_EVERY_DAYS) * LOOK_EVERY_DAYS + 3;
      for (let day = firstLook; day < segment.to; day += LOOK_EVERY_DAYS) days.push(day);
    }
    days.sort((a, b) => (typeof a === "number" ? a : a.day) - (typeof b === "number" ? b : b.day));
    for (const when of days) {
      const day = typeof when === "number" ? when : when.day;
      const logOdds = logOddsOn(day, segment);
      const liability = logOdds + bout(day);
      const score = gaitOfLiability(plan.gaitScale, liability);
      const lame = score >= lameFrom;
      const add = (shown: number, scorer: string, forCause: boolean): void => {
        const lameShown = shown >= lameFrom;
        scores.push({
          animal: i,
          day,
          pen: segment.pen,
          score: shown,
          lame: lameShown,
          scorer,
          forCause,
          logOdds,
        });
      };
      if (typeof when === "number") {
        const noticed = lame && liability > 1.3 && day - lastScored > 6 && random.bernoulli(0.6);
        if (noticed) add(score, scorers[0], true);
        if (noticed) lastScored = day;
        continue;
      }
      if (day === lastScored || random.uniform() < plan.missingShare) continue;
      if (when.kind !== "named") {
        const count = counts.get(when) ?? { lookedAt: 0, lame: 0, severe: 0 };
        counts.set(when, count);
        count.lookedAt++;
        if (lame) count.lame++;
        if (score >= severeFrom) count.severe++;
      }
      if (when.kind === "named" || (when.kind === "others sound" && lame)) {
        add(score, when.scorer, false);
        lastScored = day;
      }
      if (when.second !== null) {
        const seen = liability + SECOND_SCORER_SHIFT + SECOND_SCORER_SPREAD * random.normal();
        add(gaitOfLiability(plan.gaitScale, seen), when.second, false);
      }
    }
  }
}

function stageLogOdds(l: LamenessParameters, segment: LifeSegment): number {
  const byAge =
    segment.ageBand === "older"
      ? l.older
      : segment.ageBand === "kid" || segment.ageBand === "young"
        ? l.young
        : 0;
  return byAge + (segment.animalClass === "late pregnant" ? l.latePregnant : 0);
}

/**
 * A logistic part of the liability that keeps its marginal distribution and forgets itself over `days` (a normal
 * autoregression turned logistic by its quantiles); with 0 every look is drawn afresh.
 */
function boutLiability(random: Random, days: number): (day: number) => number {
  let z = 0;
  let last: number | null = null;
  return (day) => {
    if (days <= 0) {
      const u = random.openUniform();
      return Math.log(u / (1 - u));
    }
    const keep = last === null ? 0 : Math.exp(-(day - last) / days);
    z = keep * z + Math.sqrt(1 - keep * keep) * random.normal();
    last = day;
    return Math.log(normalCumulative(z) / normalCumulative(-z));
  };
}
