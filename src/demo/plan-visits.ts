import type { Random } from "../statistics/random.ts";
import type { FlockCalendar } from "./flock-calendar.ts";
import type { FlockPlan } from "./flock-options.ts";
import type { DemoAnimal } from "./invent-animals.ts";
import { type Life, penOn } from "./invent-lives.ts";

export interface Trimmer {
  readonly name: string;
  readonly leavesMm: number;
  readonly spreadMm: number;
  readonly drawsBlood: number;
}

const trimmers: readonly Trimmer[] = [
  { name: "Wren", leavesMm: 3.2, spreadMm: 0.6, drawsBlood: 0.006 },
  { name: "Tobin", leavesMm: 2.4, spreadMm: 0.9, drawsBlood: 0.03 },
  { name: "Ilsa", leavesMm: 4.2, spreadMm: 1.1, drawsBlood: 0.008 },
];

export interface PlannedVisit {
  readonly day: number;
  readonly trimmer: Trimmer;
  /** Looked at only; trimmed where the limit is passed. */
  readonly checkOnly: boolean;
}

const FIRST_LOOK_AGE_DAYS = 120;

/** The days on which a pen's goats are gone through; a farm is seldom punctual and sometimes only looks. */
export function penRounds(
  random: Random,
  plan: FlockPlan,
  calendar: FlockCalendar,
  pen: number,
): PlannedVisit[] {
  const rounds: PlannedVisit[] = [];
  const offset = Math.round((plan.visitEveryDays * (pen + random.uniform())) / plan.pens);
  for (let day = calendar.lead + offset; day < calendar.length; day += plan.visitEveryDays) {
    const moved = plan.open ? Math.round(5 * random.normal()) : 0;
    const on = Math.min(calendar.length - 1, Math.max(calendar.lead, day + moved));
    const trimmer = trimmers[random.bernoulli(0.5) ? 0 : random.integer(trimmers.length)];
    rounds.push({ day: on, trimmer, checkOnly: plan.open && random.bernoulli(0.18) });
  }
  return rounds;
}

/** An animal's own visits: those of its pens, and more for show goats and for goats just bought. */
export function visitDays(
  random: Random,
  plan: FlockPlan,
  calendar: FlockCalendar,
  animal: DemoAnimal,
  life: Life,
  rounds: readonly (readonly PlannedVisit[])[],
): PlannedVisit[] {
  const planned: PlannedVisit[] = [];
  for (const stay of life.stays) {
    for (const visit of rounds[stay.pen]) {
      const here = visit.day >= stay.from && visit.day < (stay.to ?? Number.POSITIVE_INFINITY);
      if (!here || visit.day - animal.born < FIRST_LOOK_AGE_DAYS) continue;
      if (!random.bernoulli(0.08)) planned.push(visit);
      const groomed = visit.day + Math.round(plan.visitEveryDays / 2);
      if (animal.purpose === "show" && penOn(life.stays, groomed) === stay.pen) {
        planned.push({ day: groomed, trimmer: trimmers[0], checkOnly: false });
      }
    }
  }
  if (animal.entered !== null && animal.entered > calendar.lead) {
    planned.push({ day: animal.entered + 8, trimmer: trimmers[0], checkOnly: false });
  }
  return planned.sort((a, b) => a.day - b.day);
}
