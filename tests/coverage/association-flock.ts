import { type ExposureId, exposureIds } from "../../src/findings/association/exposures.ts";
import { mapExposures, type OutcomeRows } from "../../src/findings/association/outcome-rows.ts";
import { dayNumber } from "../../src/records/days.ts";
import type { MultipleMembership } from "../../src/statistics/mixed-model-terms.ts";
import { Random } from "../../src/statistics/random.ts";

/** What a simulated flock is made of; shocks and effects of growth in mm per 30 days, of lameness in log odds. */
export interface AssociationFlockPlan {
  readonly goats: number;
  readonly pens: number;
  readonly days: number;
  readonly visitEvery: number;
  readonly scoreEvery: number;
  readonly growth: OutcomePlan & { readonly intervalSd: number; readonly readingSd: number };
  readonly lameness: OutcomePlan & { readonly mean: number };
  /** 0 to 1: how far wet pens also eat more protein. */
  readonly lushWetPens: number;
  /** Share of the ground's wetness that all pens have in common. */
  readonly sharedWeather: number;
}

export interface OutcomePlan {
  readonly animalSd: number;
  readonly penSd: number;
  readonly penMonthSd: number;
  /** Of one month's pen shock with the next month's. */
  readonly penMonthCorrelation: number;
  readonly monthSd: number;
  readonly perProtein: number;
  readonly perWetness: number;
  /** What a pen gains for each standard deviation of its mean wetness, by something nobody records. */
  readonly penConfounder: number;
}

export const usualFlock: AssociationFlockPlan = {
  goats: 120,
  pens: 6,
  days: 720,
  visitEvery: 60,
  scoreEvery: 28,
  growth: {
    animalSd: 0.6,
    penSd: 0.25,
    penMonthSd: 0.3,
    penMonthCorrelation: 0,
    monthSd: 0.25,
    perProtein: 0.15,
    perWetness: -0.25,
    penConfounder: 0,
    intervalSd: 0.4,
    readingSd: 0.5,
  },
  lameness: {
    mean: -2.9,
    animalSd: 0.8,
    penSd: 0.3,
    penMonthSd: 0.35,
    penMonthCorrelation: 0,
    monthSd: 0.25,
    perProtein: 0,
    perWetness: 0.6,
    penConfounder: 0,
  },
  lushWetPens: 0.5,
  sharedWeather: 0.4,
};

export interface SimulatedOutcomes {
  readonly growth: OutcomeRows;
  readonly lame: OutcomeRows;
  readonly newLameness: OutcomeRows;
}

const LEAD_DAYS = 90;
const MONTH_DAYS = 30;
const LAG = 28;

/** Draws a flock and lays its rows out as the book's readers would. Months are 30 days long and named after those of the calendar. */
export function simulatedOutcomes(plan: AssociationFlockPlan, seed: number): SimulatedOutcomes {
  const random = new Random(seed);
  const length = plan.days + LEAD_DAYS + LAG + 1;
  const pens = drawPens(random.substream(0), plan, length);
  const homes = drawHomes(random.substream(1), plan, length);
  return {
    growth: growthRows(random.substream(2), plan, pens, homes, length),
    ...gaitRows(random.substream(3), plan, pens, homes, length),
  };
}

type Simulated = Exclude<ExposureId, "mineral_copper">;
const simulated: readonly Simulated[] = ["crude_protein", "copper_diet", "zinc", "wetness"];

interface Pen {
  /** Running sums: value d is the sum of days before d. */
  readonly sum: Readonly<Record<Simulated, Float64Array>>;
  readonly usual: Readonly<Record<Simulated, number>>;
}

function drawPens(random: Random, plan: AssociationFlockPlan, length: number): Pen[] {
  const weather = persistent(random, length, 0.75);
  const drafts = Array.from({ length: plan.pens }, () => {
    const own = persistent(random, length, 0.75);
    const level = 1.4 + 0.5 * random.normal();
    const mixed = Math.sqrt(plan.sharedWeather);
    const wetness = Float64Array.from(own, (z, d) =>
      Math.min(
        3,
        Math.max(0, Math.round(level + 0.9 * (mixed * weather[d]! + Math.sqrt(1 - plan.sharedWeather) * z))),
      ),
    );
    return { wetness, mean: wetness.reduce((a, b) => a + b, 0) / length };
  });
  const scores = standardised(drafts.map(({ mean }) => mean));
  return drafts.map(({ wetness }, p) => {
    const rich = plan.lushWetPens * scores[p]! + Math.sqrt(1 - plan.lushWetPens ** 2) * random.normal();
    const daily: Record<Simulated, Float64Array> = {
      wetness,
      crude_protein: rations(random, length, 13 + 1.1 * rich, 1.8),
      copper_diet: rations(random, length, 14, 4),
      zinc: rations(random, length, 45, 9),
    };
    const sum = Object.fromEntries(simulated.map((id) => [id, runningSum(daily[id])])) as Pen["sum"];
    const usual = Object.fromEntries(simulated.map((id) => [id, sum[id][length]! / length])) as Pen["usual"];
    return { sum, usual };
  });
}

/** A weekly autoregression of unit variance that stands for seven days. */
function persistent(random: Random, length: number, keep: number): Float64Array {
  const values = new Float64Array(length);
  let z = random.normal();
  for (let d = 0; d < length; d += 7) {
    values.fill(z, d, Math.min(length, d + 7));
    z = keep * z + Math.sqrt(1 - keep * keep) * random.normal();
  }
  return values;
}

function rations(random: Random, length: number, mean: number, sd: number): Float64Array {
  const values = new Float64Array(length);
  for (let d = 0; d < length; ) {
    const end = Math.min(length, d + 50 + random.integer(61));
    values.fill(mean + sd * random.normal(), d, end);
    d = end;
  }
  return values;
}

/** Pen of every goat on every day; a third of them move once. */
function drawHomes(random: Random, plan: AssociationFlockPlan, length: number): Int32Array[] {
  return Array.from({ length: plan.goats }, (_, i) => {
    const home = new Int32Array(length).fill(i % plan.pens);
    if (random.bernoulli(1 / 3)) home.fill(random.integer(plan.pens), LEAD_DAYS + random.integer(plan.days));
    return home;
  });
}

interface Shocks {
  readonly pen: Float64Array;
  readonly month: Float64Array;
  readonly penMonth: readonly Float64Array[];
  readonly animal: Float64Array;
}

function drawShocks(
  random: Random,
  of: OutcomePlan,
  plan: AssociationFlockPlan,
  pens: readonly Pen[],
  months: number,
): Shocks {
  const normals = (count: number, sd: number): Float64Array =>
    Float64Array.from({ length: count }, () => sd * random.normal());
  const wet = standardised(pens.map((pen) => pen.usual.wetness));
  const keep = of.penMonthCorrelation;
  return {
    pen: normals(plan.pens, of.penSd).map((shock, p) => shock + of.penConfounder * wet[p]!),
    month: normals(months, of.monthSd),
    penMonth: pens.map(() => {
      const fresh = normals(months, of.penMonthSd);
      for (let m = 1; m < months; m++)
        fresh[m] = keep * fresh[m - 1]! + Math.sqrt(1 - keep * keep) * fresh[m]!;
      return fresh;
    }),
    animal: normals(plan.goats, of.animalSd),
  };
}

interface Piece {
  readonly pen: number;
  readonly from: number;
  readonly to: number;
}

/** Days from `from` to before `to`, cut where the goat's pen or the month changes. */
function piecesOf(home: Int32Array, from: number, to: number): Piece[] {
  const pieces: Piece[] = [];
  for (let d = from; d < to; ) {
    let end = d + 1;
    while (end < to && home[end] === home[d] && end % MONTH_DAYS !== 0) end++;
    pieces.push({ pen: home[d]!, from: d, to: end });
    d = end;
  }
  return pieces;
}

function windowOf(
  pens: readonly Pen[],
  pieces: readonly Piece[],
  id: Simulated,
): { mean: number; within: number } {
  let mean = 0;
  let usual = 0;
  let days = 0;
  for (const { pen, from, to } of pieces) {
    mean += pens[pen]!.sum[id][to]! - pens[pen]!.sum[id][from]!;
    usual += (to - from) * pens[pen]!.usual[id];
    days += to - from;
  }
  return { mean: mean / days, within: (mean - usual) / days };
}

interface DraftRow {
  readonly animal: number;
  readonly outcome: number;
  readonly offset: number;
  readonly pieces: readonly Piece[];
  readonly window: readonly Piece[];
  readonly lags: ReadonlyMap<number, readonly Piece[]>;
  readonly day: number;
  readonly pen: number;
}

function growthRows(
  random: Random,
  plan: AssociationFlockPlan,
  pens: readonly Pen[],
  homes: readonly Int32Array[],
  length: number,
): OutcomeRows {
  const months = Math.ceil(length / MONTH_DAYS);
  const of = plan.growth;
  const shocks = drawShocks(random, of, plan, pens, months);
  const drafts: DraftRow[] = [];
  const readingVariance: number[] = [];
  const end = LEAD_DAYS + plan.days;
  homes.forEach((home, animal) => {
    const first =
      LEAD_DAYS + Math.floor((plan.visitEvery * (home[LEAD_DAYS]! + random.uniform())) / plan.pens);
    for (let day = first; day + plan.visitEvery < end; day += plan.visitEvery) {
      const to = day + plan.visitEvery;
      const pieces = piecesOf(home, day, to);
      const grown = pieces.reduce((sum, piece) => {
        const { mean } = { mean: (id: Simulated) => windowOf(pens, [piece], id).mean };
        const month = Math.floor(piece.from / MONTH_DAYS);
        const rate =
          3.5 +
          shocks.pen[piece.pen]! +
          shocks.month[month]! +
          shocks.penMonth[piece.pen]![month]! +
          of.perProtein * (mean("crude_protein") - 13) +
          of.perWetness * (mean("wetness") - 1);
        return sum + (rate * (piece.to - piece.from)) / 30;
      }, 0);
      const inMonths = plan.visitEvery / 30;
      const variance = (2 * of.readingSd ** 2) / 8 / inMonths ** 2;
      const outcome =
        grown / inMonths +
        shocks.animal[animal]! +
        of.intervalSd * random.normal() +
        Math.sqrt(variance) * random.normal();
      readingVariance.push(variance);
      drafts.push({
        animal,
        outcome,
        offset: 0,
        pieces,
        window: pieces,
        lags: new Map(),
        day: to,
        pen: home[to - 1]!,
      });
    }
  });
  return layOut(plan, pens, drafts, { offset: false, readingVariance: Float64Array.from(readingVariance) });
}

function gaitRows(
  random: Random,
  plan: AssociationFlockPlan,
  pens: readonly Pen[],
  homes: readonly Int32Array[],
  length: number,
): { lame: OutcomeRows; newLameness: OutcomeRows } {
  const of = plan.lameness;
  const shocks = drawShocks(random, of, plan, pens, Math.ceil(length / MONTH_DAYS));
  const lame: DraftRow[] = [];
  const fresh: DraftRow[] = [];
  const end = LEAD_DAYS + plan.days;
  homes.forEach((home, animal) => {
    let wasLame: boolean | null = null;
    for (let day = LEAD_DAYS + (home[LEAD_DAYS]! % 7); day < end; day += plan.scoreEvery) {
      const pen = home[day]!;
      const month = Math.floor(day / MONTH_DAYS);
      const window = piecesOf(home, day - LAG, day);
      const eta =
        of.mean +
        shocks.animal[animal]! +
        shocks.pen[pen]! +
        shocks.month[month]! +
        shocks.penMonth[pen]![month]! +
        of.perWetness * (windowOf(pens, window, "wetness").mean - 1) +
        of.perProtein * (windowOf(pens, window, "crude_protein").mean - 13);
      const isLame = random.bernoulli(1 / (1 + Math.exp(-eta)));
      const row: DraftRow = {
        animal,
        outcome: isLame ? 1 : 0,
        offset: Math.log(plan.scoreEvery / 30),
        pieces: [{ pen, from: day, to: day + 1 }],
        window,
        lags: new Map([14, 56].map((lag) => [lag, piecesOf(home, day - lag, day)])),
        day,
        pen,
      };
      lame.push(row);
      if (wasLame === false) fresh.push(row);
      wasLame = isLame;
    }
  });
  return {
    lame: layOut(plan, pens, lame, { offset: false, readingVariance: null }),
    newLameness: layOut(plan, pens, fresh, { offset: true, readingVariance: null }),
  };
}

function layOut(
  plan: AssociationFlockPlan,
  pens: readonly Pen[],
  drafts: readonly DraftRow[],
  of: { readonly offset: boolean; readonly readingVariance: Float64Array | null },
): OutcomeRows {
  const count = drafts.length;
  const monthPlace = new Map<number, number>();
  const penMonthPlace = new Map<string, number>();
  const place = <K>(map: Map<K, number>, key: K): number => {
    const known = map.get(key) ?? map.size;
    map.set(key, known);
    return known;
  };
  const monthOf = (piece: Piece): number => place(monthPlace, Math.floor(piece.from / MONTH_DAYS));
  const month = memberships(drafts, monthOf);
  const penMonth = memberships(drafts, (piece) => place(penMonthPlace, `${piece.pen}|${monthOf(piece)}`));
  const missing = (): Float64Array => new Float64Array(count).fill(Number.NaN);
  const exposed = (windowsOf: (row: DraftRow) => readonly Piece[]): OutcomeRows["exposed"] =>
    Object.fromEntries(
      exposureIds.map((id) => {
        if (id === "mineral_copper") return [id, { mean: missing(), within: missing() }];
        const parts = drafts.map((row) => windowOf(pens, windowsOf(row), id));
        return [
          id,
          {
            mean: Float64Array.from(parts, (p) => p.mean),
            within: Float64Array.from(parts, (p) => p.within),
          },
        ];
      }),
    ) as OutcomeRows["exposed"];
  const main = exposed((row) => row.window);
  const before =
    of.readingVariance === null
      ? exposed((row) => [{ pen: row.pen, from: row.day - LAG, to: row.day }])
      : main;
  const after = exposed((row) => [{ pen: row.pen, from: row.day + 1, to: row.day + LAG + 1 }]);
  const turn = (2 * Math.PI) / 365.25;
  const wave = (of_: (angle: number) => number): Float64Array =>
    Float64Array.from(drafts, (row) => of_((row.day - (row.window.length > 0 ? 15 : 0)) * turn));
  return {
    count,
    outcome: Float64Array.from(drafts, (row) => row.outcome),
    offset: of.offset ? Float64Array.from(drafts, (row) => row.offset) : null,
    readingVariance: of.readingVariance,
    flock: new Int32Array(count),
    flocks: ["flock"],
    animal: Int32Array.from(drafts, (row) => row.animal),
    animals: plan.goats,
    pen: Int32Array.from(drafts, (row) => row.pen),
    pens: pens.map((pen, p) => ({
      flock: 0,
      pen: `pen ${p}`,
      usual: { ...pen.usual, mineral_copper: Number.NaN },
    })),
    penShare: memberships(drafts, (piece) => piece.pen),
    penMonth,
    penMonths: [...penMonthPlace.keys()].map((key) => {
      const [pen, at] = key.split("|").map(Number);
      return { pen: pen!, month: at! };
    }),
    month,
    months: [...monthPlace.keys()].map((m) => ({
      flock: 0,
      day: dayNumber(2024 + Math.floor(m / 12), (m % 12) + 1, 1)!,
    })),
    covariates:
      plan.days >= 270
        ? { names: ["season:cosine", "season:sine"], columns: [wave(Math.cos), wave(Math.sin)] }
        : { names: [], columns: [] },
    exposed: main,
    control: mapExposures(before, ({ within }, id) => ({ before: within, after: after[id].within })),
    otherLags:
      of.readingVariance === null
        ? new Map([14, 56].map((lag) => [lag, exposed((row) => row.lags.get(lag)!)]))
        : new Map(),
  };
}

function memberships(drafts: readonly DraftRow[], levelOf: (piece: Piece) => number): MultipleMembership {
  const rowStart = [0];
  const level: number[] = [];
  const weight: number[] = [];
  for (const { pieces } of drafts) {
    const all = pieces.reduce((sum, { from, to }) => sum + to - from, 0);
    const start = level.length;
    for (const piece of pieces) {
      const at = levelOf(piece);
      const known = level.indexOf(at, start);
      const share = (piece.to - piece.from) / all;
      if (known >= 0) weight[known]! += share;
      else {
        level.push(at);
        weight.push(share);
      }
    }
    rowStart.push(level.length);
  }
  return {
    rowStart: Int32Array.from(rowStart),
    level: Int32Array.from(level),
    weight: Float64Array.from(weight),
  };
}

function runningSum(values: Float64Array): Float64Array {
  const sums = new Float64Array(values.length + 1);
  values.forEach((value, d) => {
    sums[d + 1] = sums[d]! + value;
  });
  return sums;
}

function standardised(values: readonly number[]): number[] {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
  return values.map((value) => (sd > 0 ? (value - mean) / sd : 0));
}
