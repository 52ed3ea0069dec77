import type { Random } from "../statistics/random.ts";
import type { FlockCalendar } from "./flock-calendar.ts";
import type { FlockPlan, GrowthParameters } from "./flock-options.ts";
import type { DemoAnimal } from "./invent-animals.ts";
import { inventBreeding } from "./invent-breeding.ts";
import type { Life, LifeSegment } from "./invent-lives.ts";
import type { DemoPen } from "./invent-pens.ts";
import { monthShocks } from "./month-shocks.ts";
import { mean, standardised } from "./standardised.ts";

/** The eight claws in the order of every array of claws here. */
export const claws = ["LF", "RF", "LH", "RH"].flatMap((foot) =>
  ["inner", "outer"].map((claw) => ({ foot, claw })),
);

/** What the growth of an invented flock is made of; rates in mm per 30 days, days as calendar positions. */
export interface FlockGrowth {
  readonly lineEffects: Float64Array;
  readonly breedingValues: Float64Array;
  /** Breeding value plus what the animal has beyond breeding: its departure from the flock. */
  readonly animalEffects: Float64Array;
  /** Eight for each animal: foot and claw means and the claw's own departure. */
  readonly clawEffects: Float64Array;
  readonly penEffects: Float64Array;
  readonly monthEffects: Float64Array;
  readonly penMonthEffects: readonly Float64Array[];
  /** Horn gained in each pen from the calendar's first day to the start of each day, mm, beside the animal's own. */
  readonly penHorn: readonly Float64Array[];
}

/** Reference diet and ground: effects are counted from here. */
export const reference = { crudeProtein: 13, wetness: 1, dietCopper: 18 } as const;

export function inventGrowth(
  random: Random,
  plan: FlockPlan,
  calendar: FlockCalendar,
  pens: readonly DemoPen[],
  animals: readonly DemoAnimal[],
): FlockGrowth {
  const g = plan.growth;
  const { lineEffects, values } = inventBreeding(
    random.substream(0),
    animals,
    plan.lines,
    g.additiveVariance,
    g.lineSd,
  );
  const own = random.substream(1);
  const animalEffects = values.map((value) => value + g.permanentSd * own.normal());
  const clawEffects = Float64Array.from({ length: animals.length * 8 }, (_, k) => {
    const { foot, claw } = claws[k % 8];
    return (foot.endsWith("H") ? g.hind : 0) + (claw === "outer" ? g.outer : 0) + g.clawSd * own.normal();
  });
  const shocks = random.substream(2);
  const monthEffects = monthShocks(shocks, calendar.months, g.monthSd, g.monthCorrelation);
  const wetnessScores = standardised(pens.map((pen) => mean(pen.wetness)));
  const penEffects = Float64Array.from(
    pens,
    (_, p) => g.penSd * shocks.normal() + g.penConfounder * wetnessScores[p],
  );
  const penMonthEffects = pens.map(() =>
    monthShocks(shocks, calendar.months, g.penMonthSd, g.penMonthCorrelation),
  );
  const penHorn = pens.map((pen, p) => {
    const horn = new Float64Array(calendar.length + 1);
    for (let d = 0; d < calendar.length; d++) {
      const month = calendar.month[d];
      const rate =
        g.mean -
        pen.wear +
        penEffects[p] +
        monthEffects[month] +
        penMonthEffects[p][month] +
        g.seasonAmplitude * Math.cos(calendar.yearAngle[d]) +
        g.perProteinPct * (pen.crudeProtein[d] - reference.crudeProtein) +
        g.perWetness * (pen.wetness[d] - reference.wetness) +
        g.perCopperMgPerKg * (pen.dietCopper[d] - reference.dietCopper) +
        g.slowConfounder * pen.hidden[d];
      horn[d + 1] = horn[d] + rate / 30;
    }
    return horn;
  });
  return {
    lineEffects,
    breedingValues: values,
    animalEffects,
    clawEffects,
    penEffects,
    monthEffects,
    penMonthEffects,
    penHorn,
  };
}

/**
 * Horn that a claw without an effect of its own gains net of wear from day `from` to the start of day `to`, mm,
 * the animal's own interval effect not included.
 */
export function hornGained(
  plan: FlockPlan,
  growth: FlockGrowth,
  animal: number,
  life: Life,
  from: number,
  to: number,
): number {
  let gained = 0;
  for (const segment of life.segments) {
    const start = Math.max(from, segment.from);
    const end = Math.min(to, segment.to);
    if (end <= start) continue;
    const horn = growth.penHorn[segment.pen];
    const rate = growth.animalEffects[animal] + stageEffect(plan.growth, segment);
    gained += horn[end] - horn[start] + (rate * (end - start)) / 30;
  }
  return gained;
}

/** What age and class add to an animal's growth, mm per 30 days. */
function stageEffect(g: GrowthParameters, segment: LifeSegment): number {
  const byAge = { kid: g.kid, young: g.young, yearling: g.yearling, adult: 0, older: g.older };
  const byClass =
    segment.animalClass === "late pregnant"
      ? g.latePregnant
      : segment.animalClass === "milking"
        ? g.milking
        : 0;
  return byAge[segment.ageBand] + byClass;
}
