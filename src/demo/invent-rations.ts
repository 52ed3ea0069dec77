import type { Random } from "../statistics/random.ts";
import type { FlockCalendar } from "./flock-calendar.ts";
import type { FlockPlan } from "./flock-options.ts";

/** What a pen was fed from one day to another, as positions on the calendar. */
export interface RationPeriod {
  readonly from: number;
  readonly to: number;
  /** Given when the pen's sheet names feeds instead of the whole ration. */
  readonly feeds: readonly FeedGiven[] | null;
  readonly crudeProtein: number;
  /** Of the ration without loose minerals, mg per kg of dry matter. */
  readonly copper: number;
  readonly zinc: number;
  readonly molybdenum: number;
  readonly sulphur: number;
  readonly intakeKgDm: number;
  readonly mineral: MineralOffered | null;
}

export interface FeedGiven {
  readonly feed: string;
  readonly kg: number;
  readonly dryMatterPct: number;
  readonly crudeProteinPct: number;
  readonly copper: number;
  readonly zinc: number;
}

export interface MineralOffered {
  readonly product: string;
  readonly copperMgPerKg: number;
  readonly zincMgPerKg: number;
  readonly offeredG: number;
  readonly refusedG: number;
}

export interface Diet {
  readonly rations: readonly RationPeriod[];
  readonly crudeProtein: Float64Array;
  readonly dietCopper: Float64Array;
  readonly mineralCopper: Float64Array;
}

/**
 * Draws a pen's rations: each stands 50 to 110 days, so that a pen differs from itself over time. `richness` is
 * how far the pen's usual protein lies from the flock's, in standard deviations. `byFeeds`: stated feed by feed.
 */
export function inventRations(
  random: Random,
  plan: FlockPlan,
  calendar: FlockCalendar,
  richness: number,
  byFeeds: boolean,
): Diet {
  const usualProtein = 13 + 1.1 * richness;
  const usualCopper = 13 + 2 * random.normal();
  const rations: RationPeriod[] = [];
  const days = calendar.length;
  for (let from = 0; from < days; ) {
    const to = days - from < 80 ? days : Math.min(days, from + 50 + random.integer(61));
    const protein = clamp(usualProtein + 1.8 * random.normal(), 8, 20);
    const copper = clamp(usualCopper + 4 * random.normal(), 5, 34);
    const ration = byFeeds ? fromFeeds(protein) : { feeds: null, ...stated(random, protein, copper) };
    rations.push({ from, to, ...ration, mineral: plan.open ? inventMineral(random) : null });
    from = to;
  }
  return { rations, ...dailyDiet(rations, days) };
}

const round = (value: number, step: number): number => Number((Math.round(value / step) * step).toFixed(6));
const clamp = (value: number, least: number, most: number): number => Math.min(most, Math.max(least, value));

function stated(random: Random, protein: number, copper: number) {
  return {
    crudeProtein: round(protein, 0.1),
    copper: round(copper, 0.1),
    zinc: round(45 + 9 * random.normal(), 1),
    molybdenum: round(clamp(1.6 + 0.5 * random.normal(), 0.4, 4), 0.1),
    sulphur: round(clamp(0.21 + 0.03 * random.normal(), 0.12, 0.35), 0.01),
    intakeKgDm: round(clamp(1.8 + 0.2 * random.normal(), 1.2, 2.6), 0.05),
  };
}

// Dry matter and protein as in ordinary feed tables (from memory); copper and zinc: Univ. of Minnesota ext. WW-00469, table A-13.
const grassHay = { feed: "grass hay", dryMatterPct: 89, crudeProteinPct: 10, copper: 5, zinc: 43 };
const corn = { feed: "shelled corn", dryMatterPct: 88, crudeProteinPct: 9, copper: 3, zinc: 25 };
const soybeanMeal = { feed: "soybean meal", dryMatterPct: 89, crudeProteinPct: 49, copper: 18, zinc: 70 };

/** Hay, corn and as much soybean meal as brings the mix near the wanted protein. */
function fromFeeds(protein: number) {
  const meal = round(clamp((1.8 * (protein - 9.7)) / 35, 0, 0.6), 0.05);
  const feeds: FeedGiven[] = [
    { ...grassHay, kg: 1.5 },
    { ...corn, kg: 0.3 },
  ];
  if (meal > 0) feeds.push({ ...soybeanMeal, kg: meal });
  const dryMatter = sum(feeds, (feed) => (feed.kg * feed.dryMatterPct) / 100);
  const meanOf = (value: (feed: FeedGiven) => number) =>
    sum(feeds, (feed) => (feed.kg * feed.dryMatterPct * value(feed)) / 100) / dryMatter;
  return {
    feeds,
    crudeProtein: meanOf((feed) => feed.crudeProteinPct),
    copper: meanOf((feed) => feed.copper),
    zinc: meanOf((feed) => feed.zinc),
    molybdenum: 1.5,
    sulphur: 0.2,
    intakeKgDm: dryMatter,
  };
}

function sum<T>(items: readonly T[], value: (item: T) => number): number {
  return items.reduce((total, item) => total + value(item), 0);
}

const mineralProducts = [
  { product: "goat mineral, plain", copperMgPerKg: 800, zincMgPerKg: 4000 },
  { product: "goat mineral, high copper", copperMgPerKg: 1800, zincMgPerKg: 6000 },
  { product: "sheep-safe mineral", copperMgPerKg: 0, zincMgPerKg: 4000 },
];

function inventMineral(random: Random): MineralOffered {
  const offeredG = 8 + random.integer(7);
  return {
    ...mineralProducts[random.integer(mineralProducts.length)],
    offeredG,
    refusedG: random.integer(4),
  };
}

function dailyDiet(rations: readonly RationPeriod[], days: number) {
  const crudeProtein = new Float64Array(days);
  const dietCopper = new Float64Array(days);
  const mineralCopper = new Float64Array(days);
  for (const ration of rations) {
    const { mineral } = ration;
    const eaten =
      mineral === null ? 0 : ((mineral.offeredG - mineral.refusedG) / 1000) * mineral.copperMgPerKg;
    crudeProtein.fill(ration.crudeProtein, ration.from, ration.to);
    mineralCopper.fill(eaten, ration.from, ration.to);
    dietCopper.fill(ration.copper + eaten / ration.intakeKgDm, ration.from, ration.to);
  }
  return { crudeProtein, dietCopper, mineralCopper };
}
