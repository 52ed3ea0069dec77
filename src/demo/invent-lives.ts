import type { Random } from "../statistics/random.ts";
import type { FlockCalendar } from "./flock-calendar.ts";
import type { FlockPlan } from "./flock-options.ts";
import type { DemoAnimal } from "./invent-animals.ts";

export type AgeBand = "kid" | "young" | "yearling" | "adult" | "older";
export type AnimalClass = "kid" | "growing" | "late pregnant" | "milking" | "dry" | "buck" | "wether";

/** Days, as positions on the calendar, over which an animal's pen, age band and class stay the same. */
export interface LifeSegment {
  readonly from: number;
  readonly to: number;
  readonly pen: number;
  readonly ageBand: AgeBand;
  readonly animalClass: AnimalClass;
}

export interface Stay {
  readonly pen: number;
  readonly from: number;
  /** First day that no longer counts, null when still there. */
  readonly to: number | null;
}

/** Where an animal lived and what it was, day by day; both empty for an ancestor that was never there. */
export interface Life {
  readonly stays: readonly Stay[];
  readonly segments: readonly LifeSegment[];
}

const YEAR = 365;
const WEANING_DAYS = 90;
const LATE_PREGNANT_DAYS = 50;

const ageBands: readonly { readonly band: AgeBand; readonly until: number }[] = [
  { band: "kid", until: 183 },
  { band: "young", until: YEAR },
  { band: "yearling", until: 2 * YEAR },
  { band: "adult", until: 6 * YEAR },
  { band: "older", until: Number.POSITIVE_INFINITY },
];

/** Draws each animal's pens (kids with their dam until weaned) and cuts its life where anything changes. */
export function inventLives(
  random: Random,
  plan: FlockPlan,
  calendar: FlockCalendar,
  animals: readonly DemoAnimal[],
): readonly Life[] {
  const lives: Life[] = [];
  animals.forEach((animal, i) => {
    const from = Math.max(0, animal.born, animal.entered ?? 0);
    const to = Math.min(calendar.length, animal.left ?? calendar.length);
    if (!animal.listed || from >= to) {
      lives.push({ stays: [], segments: [] });
      return;
    }
    // Goats are dealt out to the pens in turn, so that every pen holds some.
    const usual = i % plan.pens;
    const nursing = animal.born >= 0 && animal.dam >= 0 ? penOn(lives[animal.dam].stays, animal.born) : null;
    const starts: { day: number; pen: number }[] = [{ day: from, pen: nursing ?? usual }];
    if (nursing !== null && from + WEANING_DAYS < to) starts.push({ day: from + WEANING_DAYS, pen: usual });
    for (
      let day = starts[starts.length - 1].day + nextMove(random, plan);
      day < to - 20;
      day += 30 + nextMove(random, plan)
    ) {
      starts.push({ day, pen: random.integer(plan.pens) });
    }
    const stays = toStays(starts, animal.left);
    lives.push({ stays, segments: cutLife(animal, stays, to) });
  });
  return lives;
}

/** The pen of a day, null when the stays do not cover it. */
export function penOn(stays: readonly Stay[], day: number): number | null {
  return stays.find((stay) => day >= stay.from && (stay.to === null || day < stay.to))?.pen ?? null;
}

function nextMove(random: Random, plan: FlockPlan): number {
  if (plan.movesPerYear <= 0 || plan.pens < 2) return Number.POSITIVE_INFINITY;
  return Math.round((random.exponential() / plan.movesPerYear) * YEAR);
}

function toStays(starts: readonly { day: number; pen: number }[], left: number | null): Stay[] {
  const moves = starts.filter((start, k) => k === 0 || start.pen !== starts[k - 1].pen);
  return moves.map((move, k) => ({ pen: move.pen, from: move.day, to: moves[k + 1]?.day ?? left }));
}

function cutLife(animal: DemoAnimal, stays: readonly Stay[], end: number): LifeSegment[] {
  const cuts = new Set<number>();
  for (const { until } of ageBands) cuts.add(animal.born + until);
  for (const kidding of animal.kiddings) {
    cuts.add(kidding.day - LATE_PREGNANT_DAYS);
    cuts.add(kidding.day);
    if (kidding.driedOff !== null) cuts.add(kidding.driedOff);
  }
  const sorted = [...cuts].sort((a, b) => a - b);
  const segments: LifeSegment[] = [];
  for (const stay of stays) {
    const stayEnd = Math.min(end, stay.to ?? end);
    let from = stay.from;
    for (const cut of [...sorted.filter((day) => day > stay.from && day < stayEnd), stayEnd]) {
      segments.push({
        from,
        to: cut,
        pen: stay.pen,
        ageBand: ageBandOn(animal, from),
        animalClass: classOn(animal, from),
      });
      from = cut;
    }
  }
  return segments;
}

function ageBandOn(animal: DemoAnimal, day: number): AgeBand {
  return ageBands.find(({ until }) => day - animal.born < until)?.band ?? "older";
}

function classOn(animal: DemoAnimal, day: number): AnimalClass {
  const age = day - animal.born;
  if (age < ageBands[0].until) return "kid";
  if (animal.sex === "wether") return "wether";
  if (animal.kiddings.some((k) => day >= k.day && day < (k.driedOff ?? Number.POSITIVE_INFINITY)))
    return "milking";
  if (animal.kiddings.some((k) => day >= k.day - LATE_PREGNANT_DAYS && day < k.day)) return "late pregnant";
  if (age < YEAR) return "growing";
  return animal.sex === "male" ? "buck" : "dry";
}
