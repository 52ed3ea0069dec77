import { isoDay } from "../records/days.ts";
import type { TrueVisit } from "./claw-log.ts";
import type { FlockCalendar } from "./flock-calendar.ts";
import type { FlockPlan } from "./flock-options.ts";
import type { DemoAnimal } from "./invent-animals.ts";
import { claws, type FlockGrowth, hornGained } from "./invent-growth.ts";
import type { FlockLameness, GaitScore } from "./invent-lameness.ts";
import type { Life } from "./invent-lives.ts";
import type { DemoPen } from "./invent-pens.ts";

/**
 * What really made an invented flock's records. Days are positions on `calendar` (day number − `calendar.first`);
 * rates in mm per 30 days net of wear; lameness on the log odds. Arrays by animal follow `animals`, ancestors
 * without a row included.
 */
export interface FlockTruth {
  readonly plan: FlockPlan;
  readonly calendar: FlockCalendar;
  readonly pens: readonly DemoPen[];
  readonly animals: readonly DemoAnimal[];
  readonly lives: readonly Life[];
  readonly growth: FlockGrowth;
  readonly lameness: FlockLameness;
  readonly visits: readonly (readonly TrueVisit[])[];
  readonly scores: readonly GaitScore[];
  /** Mean growth over all days that all listed animals were there, their eight claws alike. */
  readonly meanRate: number;
  /** Each animal's own mean growth over the days it was there, NaN for those never there. */
  readonly ownRates: Float64Array;
  /** Each animal's growth at the flock's own mix of pens, feet and dates. */
  readonly flockMixRates: Float64Array;
  /** Mean departure of each line's animals from the flock's mean, growth; NaN for a line without animals. */
  readonly lineMeans: Float64Array;
}

/** Sums the truth up over the days that count: from the first record to the last. */
export function flockTruth(
  parts: Omit<FlockTruth, "meanRate" | "ownRates" | "flockMixRates" | "lineMeans">,
): FlockTruth {
  const { plan, calendar, animals, lives, growth } = parts;
  const n = animals.length;
  const ownRates = new Float64Array(n).fill(Number.NaN);
  const days = new Float64Array(n);
  let horn = 0;
  let allDays = 0;
  let effects = 0;
  for (let i = 0; i < n; i++) {
    days[i] = daysThere(lives[i], calendar.lead, calendar.length);
    if (days[i] === 0) continue;
    const gained =
      hornGained(plan, growth, i, lives[i], calendar.lead, calendar.length) +
      (meanClawEffect(growth, i) * days[i]) / 30;
    ownRates[i] = (30 * gained) / days[i];
    horn += gained;
    allDays += days[i];
    effects += growth.animalEffects[i] * days[i];
  }
  const meanRate = (30 * horn) / allDays;
  const meanEffect = effects / allDays;
  const flockMixRates = growth.animalEffects.map((effect, i) =>
    days[i] > 0 ? meanRate + effect - meanEffect : Number.NaN,
  );
  const lineMeans = Float64Array.from({ length: plan.lines }, (_, line) => {
    const own = animals.flatMap((animal, i) => (animal.line === line && days[i] > 0 ? [i] : []));
    return own.reduce((sum, i) => sum + growth.animalEffects[i] - meanEffect, 0) / own.length;
  });
  return { ...parts, meanRate, ownRates, flockMixRates, lineMeans };
}

/**
 * How far a claw stands past its pad at the start of a day, mm, from the truth: from the animal's last visit at
 * or before that day on which the claw was looked at, NaN before the first. Past the last visit no interval
 * effect is known and none is added.
 */
export function trueOverhang(truth: FlockTruth, animal: number, claw: number, day: number): number {
  const visits = truth.visits[animal];
  let overhang = Number.NaN;
  for (let k = 0; k < visits.length && visits[k].day <= day; k++) {
    const visit = visits[k];
    if (visit.day === day) return Number.isNaN(visit.before[claw]) ? overhang : visit.before[claw];
    if (!Number.isNaN(visit.after[claw])) overhang = visit.after[claw];
    const next = visits[k + 1];
    const until = Math.min(day, next?.day ?? day);
    const shared = hornGained(truth.plan, truth.growth, animal, truth.lives[animal], visit.day, until);
    const own = truth.growth.clawEffects[animal * 8 + claw] + (next === undefined ? 0 : visit.intervalEffect);
    overhang += shared + (own * (until - visit.day)) / 30;
  }
  return overhang;
}

/** The truth as plain JSON-ready data: parameters, animals, pens and month effects under readable names. */
export function truthAsPlainData(truth: FlockTruth): Readonly<Record<string, unknown>> {
  const { plan, calendar, animals, growth, lameness } = truth;
  const iso = (day: number) => isoDay(calendar.first + day);
  return {
    plan: { ...plan, start: isoDay(plan.start) },
    units: "mm per 30 days net of wear; lameness on the log odds of being lame",
    mean_rate_mm_30d: truth.meanRate,
    months: calendar.monthNames,
    growth_months: plain(growth.monthEffects),
    lameness_months: plain(lameness.monthEffects),
    growth_lines: plain(growth.lineEffects),
    lameness_lines: plain(lameness.lineEffects),
    first_exposure_day: iso(0),
    claws,
    pens: truth.pens.map((pen, p) => ({
      pen: pen.name,
      ground: pen.ground,
      wear_mm_30d: pen.wear,
      growth: growth.penEffects[p],
      growth_months: plain(growth.penMonthEffects[p]),
      lameness: lameness.penEffects[p],
      lameness_months: plain(lameness.penMonthEffects[p]),
      crude_protein_pct_dm: plain(pen.crudeProtein),
      copper_mg_per_kg_dm: plain(pen.dietCopper),
      mineral_copper_mg_per_day: plain(pen.mineralCopper),
      wetness: plain(pen.wetness),
    })),
    animals: animals.map((animal, i) => ({
      animal: animal.tag,
      listed: animal.listed,
      sire: animal.sire < 0 ? null : animals[animal.sire].tag,
      dam: animal.dam < 0 ? null : animals[animal.dam].tag,
      born: iso(animal.born),
      growth_breeding_value: growth.breedingValues[i],
      growth: growth.animalEffects[i],
      claws: plain(growth.clawEffects.subarray(8 * i, 8 * i + 8)),
      own_rate_mm_30d: finite(truth.ownRates[i]),
      flock_mix_rate_mm_30d: finite(truth.flockMixRates[i]),
      lameness_breeding_value: lameness.breedingValues[i],
      lameness: lameness.animalEffects[i],
      visits: truth.visits[i].map((visit) => ({
        date: iso(visit.day),
        overhang_before_mm: plain(visit.before),
        overhang_after_mm: plain(visit.after),
        interval_mm_30d: visit.intervalEffect,
      })),
    })),
  };
}

function daysThere(life: Life, from: number, to: number): number {
  return life.segments.reduce(
    (sum, segment) => sum + Math.max(0, Math.min(to, segment.to) - Math.max(from, segment.from)),
    0,
  );
}

function meanClawEffect(growth: FlockGrowth, animal: number): number {
  let sum = 0;
  for (let k = 0; k < 8; k++) sum += growth.clawEffects[animal * 8 + k];
  return sum / 8;
}

function plain(values: Float64Array): (number | null)[] {
  return Array.from(values, finite);
}

function finite(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}
