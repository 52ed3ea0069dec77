import type { Random } from "../statistics/random.ts";
import type { FlockCalendar } from "./flock-calendar.ts";
import type { FlockPlan } from "./flock-options.ts";
import { inventRations, type RationPeriod } from "./invent-rations.ts";
import type { DemoWeather } from "./invent-weather.ts";
import { mean, standardised } from "./standardised.ts";

/** A pen of the invented flock and, for each day of the calendar, what its goats stand on and eat. */
export interface DemoPen {
  readonly name: string;
  readonly ground: string;
  readonly areaM2: number;
  readonly sheepToo: boolean;
  /** Horn that the ground wears off, mm per 30 days. */
  readonly wear: number;
  readonly rations: readonly RationPeriod[];
  /** Class of wetness, 0 to 3, as scored each week and standing until the next score. */
  readonly wetness: Float64Array;
  readonly crudeProtein: Float64Array;
  /** Of the whole diet, minerals eaten included, mg per kg of dry matter. */
  readonly dietCopper: Float64Array;
  /** Eaten from minerals, mg per head and day. */
  readonly mineralCopper: Float64Array;
  /** A hidden cause in standard deviations that no sheet records; it wets the ground only when an option asks. */
  readonly hidden: Float64Array;
}

interface Ground {
  readonly name: string;
  readonly ground: string;
  readonly wear: number;
  /** Class of wetness on drenched topsoil. */
  readonly drenched: number;
  readonly areaM2: number;
  readonly sheepToo: boolean;
}

const place = (
  name: string,
  ground: string,
  wear: number,
  drenched: number,
  areaM2: number,
  sheepToo = false,
): Ground => ({ name, ground, wear, drenched, areaM2, sheepToo });

// Rocky ground wears horn, soft and bedded ground hardly does: common practice; the amounts are invented.
const grounds: readonly Ground[] = [
  place("North barn", "bedded barn", 0.4, 1.5, 420),
  place("Creek paddock", "pasture", 0.8, 3.2, 16_000),
  place("Hill range", "rocky range", 1.7, 1.6, 60_000),
  place("Back lot", "dry lot", 1.1, 2.4, 2_600),
  place("Orchard", "pasture", 0.7, 2.6, 9_000, true),
  place("Old dairy", "concrete", 1.3, 1.9, 380),
  place("Loft", "wood", 0.5, 1.0, 150),
  place("Far field", "pasture", 0.8, 2.8, 24_000),
];

/** The ground is scored on the calendar's first day and every week after. */
export const DAYS_BETWEEN_SCORES = 7;
const HIDDEN_CAUSE_DAYS = 60;

/** Draws the pens, their weekly wetness (weather, drainage and the pen's own luck) and their rations. */
export function inventPens(
  random: Random,
  plan: FlockPlan,
  calendar: FlockCalendar,
  weather: DemoWeather,
): readonly DemoPen[] {
  const hiddenWets = plan.growth.slowConfounder !== 0 || plan.lameness.slowConfounder !== 0;
  const drafts = Array.from({ length: plan.pens }, (_, p) => {
    const own = random.substream(p);
    const kind = grounds[p % grounds.length];
    const ground = p < grounds.length ? kind : { ...kind, name: `Pen ${p + 1}` };
    const hidden = hiddenCause(own, calendar.length);
    const wetness = weeklyWetness(own, ground.drenched, weather, hiddenWets ? hidden : null);
    return { own, ground, hidden, wetness, meanWetness: mean(wetness) };
  });
  const wetnessScores = standardised(drafts.map((draft) => draft.meanWetness));
  return drafts.map(({ own, ground, hidden, wetness }, p) => {
    const luck = Math.sqrt(1 - plan.lushWetPens ** 2) * own.normal();
    const richness = plan.lushWetPens * wetnessScores[p] + luck;
    const diet = inventRations(own, plan, calendar, richness, plan.open && p === 3);
    return {
      name: ground.name,
      ground: ground.ground,
      areaM2: ground.areaM2,
      sheepToo: ground.sheepToo,
      wear: ground.wear,
      wetness,
      hidden,
      ...diet,
    };
  });
}

function weeklyWetness(
  random: Random,
  drenched: number,
  weather: DemoWeather,
  hidden: Float64Array | null,
): Float64Array {
  const days = weather.soil.length;
  const wetness = new Float64Array(days);
  let luck = 0.6 * random.normal();
  for (let d = 0; d < days; d += DAYS_BETWEEN_SCORES) {
    luck = 0.75 * luck + 0.45 * random.normal();
    const level = drenched * weather.soil[d] + luck + (hidden === null ? 0 : 0.7 * hidden[d]);
    wetness.fill(Math.min(3, Math.max(0, Math.round(level))), d, Math.min(days, d + DAYS_BETWEEN_SCORES));
  }
  return wetness;
}

function hiddenCause(random: Random, days: number): Float64Array {
  const series = new Float64Array(days);
  const keep = Math.exp(-DAYS_BETWEEN_SCORES / HIDDEN_CAUSE_DAYS);
  const fresh = Math.sqrt(1 - keep * keep);
  let z = random.normal();
  for (let d = 0; d < days; d += DAYS_BETWEEN_SCORES) {
    series.fill(z, d, Math.min(days, d + DAYS_BETWEEN_SCORES));
    z = keep * z + fresh * random.normal();
  }
  return series;
}
