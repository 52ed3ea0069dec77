import { Random } from "../statistics/random.ts";
import { flockCalendar } from "./flock-calendar.ts";
import { type FlockOptions, flockPlan } from "./flock-options.ts";
import { flockSheets } from "./flock-sheets.ts";
import { type FlockTruth, flockTruth } from "./flock-truth.ts";
import { inventAnimals } from "./invent-animals.ts";
import { inventFootTroubles } from "./invent-foot-troubles.ts";
import { inventGrowth } from "./invent-growth.ts";
import { inventLameness } from "./invent-lameness.ts";
import { inventLives } from "./invent-lives.ts";
import { inventPens } from "./invent-pens.ts";
import { inventTrims } from "./invent-trims.ts";
import { inventWeather } from "./invent-weather.ts";
import type { Sheets } from "./sheet-row.ts";

export interface InventedFlock {
  readonly sheets: Sheets;
  readonly truth: FlockTruth;
}

/**
 * Invents a flock's records from a known truth: horn growth (mm per 30 days) adds up animal, claw, interval, pen,
 * pen-by-month and flock-month effects, diet and ground, less the ground's wear, and is read with a ruler's error;
 * gait scores come from a liability with animal, line, pen and month effects and the wetness of the 28 days
 * before. The same options give the same flock. All of it is invented: nothing here is a published effect.
 * Throws a RangeError that names an option out of range.
 */
export function inventFlock(options: FlockOptions): InventedFlock {
  const plan = flockPlan(options);
  const calendar = flockCalendar(plan.start, plan.days);
  const random = new Random(plan.seed);
  const weather = inventWeather(random.substream(0), calendar);
  const pens = inventPens(random.substream(1), plan, calendar, weather);
  const animals = inventAnimals(random.substream(2), plan, calendar);
  const lives = inventLives(random.substream(3), plan, calendar, animals);
  const growth = inventGrowth(random.substream(4), plan, calendar, pens, animals);
  const trims = inventTrims(random.substream(5), plan, calendar, pens, animals, lives, growth);
  const lameness = inventLameness(random.substream(6), plan, calendar, pens, animals, lives);
  const troubles = inventFootTroubles(
    random.substream(7),
    plan,
    calendar,
    pens,
    animals,
    lameness.scores,
    trims.visits,
  );
  const sheets = flockSheets({ plan, calendar, weather, pens, animals, lives, trims, lameness, troubles });
  const truth = flockTruth({
    plan,
    calendar,
    pens,
    animals,
    lives,
    growth,
    lameness: lameness.truth,
    visits: trims.visits,
    scores: lameness.scores,
  });
  return { sheets, truth };
}
