import type { Random } from "../statistics/random.ts";
import { ClawLog, type ClawLook, type TrueVisit } from "./claw-log.ts";
import type { FlockCalendar } from "./flock-calendar.ts";
import type { FlockPlan } from "./flock-options.ts";
import type { DemoAnimal } from "./invent-animals.ts";
import type { FlockGrowth } from "./invent-growth.ts";
import type { Life } from "./invent-lives.ts";
import type { DemoPen } from "./invent-pens.ts";
import { penRounds, visitDays } from "./plan-visits.ts";

export interface Trims {
  readonly looks: readonly ClawLook[];
  /** For each animal. */
  readonly visits: readonly (readonly TrueVisit[])[];
}

const SCRATCHED_ANIMALS = 10;

/** Draws the visits: every pen in turn every few weeks, each claw read, and trimmed where it wants it. */
export function inventTrims(
  random: Random,
  plan: FlockPlan,
  calendar: FlockCalendar,
  pens: readonly DemoPen[],
  animals: readonly DemoAnimal[],
  lives: readonly Life[],
  growth: FlockGrowth,
): Trims {
  const looks: ClawLook[] = [];
  const rounds = pens.map((_, p) => penRounds(random.substream(p), plan, calendar, p));
  const visits = animals.map((animal, i) => {
    const life = lives[i];
    if (life.stays.length === 0) return [];
    const scratched = plan.open && i % Math.ceil(animals.length / SCRATCHED_ANIMALS) === 0;
    const bought = animal.entered !== null && animal.entered > calendar.lead;
    const log = new ClawLog(
      random.substream(1000 + i),
      plan,
      pens,
      i,
      life,
      growth,
      scratched,
      bought,
      looks,
    );
    return log.run(visitDays(log.random, plan, calendar, animal, life, rounds));
  });
  looks.sort((a, b) => a.day - b.day || a.animal - b.animal || a.claw - b.claw);
  return { looks, visits };
}
