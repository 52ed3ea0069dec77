import { exposureIds } from "../../src/findings/association/exposures.ts";
import {
  mapExposures,
  type OutcomeRows,
  type PenLevel,
} from "../../src/findings/association/outcome-rows.ts";
import { dayNumber } from "../../src/records/days.ts";
import type { MultipleMembership } from "../../src/statistics/mixed-model-terms.ts";
import { Random } from "../../src/statistics/random.ts";
import {
  type DailySums,
  dailySums,
  drawPens,
  drawShock,
  MONTH_DAYS,
  type PenPlan,
  type ShockCourse,
  type SimulatedExposure,
  type SimulatedPen,
  standardised,
} from "./association-pens.ts";

/** What a simulated flock is made of; shocks and effects of growth in mm per 30 days, of lameness in log odds or log hazard. */
export interface AssociationFlockPlan extends PenPlan {
  readonly goats: number;
  readonly days: number;
  readonly visitEvery: number;
  readonly scoreEvery: number;
  /** Days by which a visit falls early or late. */
  readonly visitSlack: number;
  /** Share of looks that miss a goat. */
  readonly missed: number;
  /** Share of goats that come late or leave early. */
  readonly comeAndGo: number;
  /** The largest pen holds so many times the goats of the smallest. */
  readonly largestPen: number;
  readonly growth: OutcomePlan & { readonly intervalSd: number; readonly readingSd: number };
  readonly lameness: OutcomePlan & {
    /** Log odds of a lame score, or log hazard a month of going lame. */
    readonly mean: number;
    /** Share of lame goats still lame a month on, where lameness lasts; null: every score is drawn anew. */
    readonly lasting: number | null;
  };
}

export interface OutcomePlan {
  readonly animalSd: number;
  readonly penSd: number;
  readonly penShockSd: number;
  readonly penShock: ShockCourse;
  readonly flockShockSd: number;
  readonly flockShock: ShockCourse;
  readonly perProtein: number;
  readonly perWetness: number;
  /** What a pen gains for each standard deviation of its mean wetness, by something nobody records. */
  readonly penConfounder: number;
}

const anew: ShockCourse = { by: "month", correlation: 0 };

export const usualFlock: AssociationFlockPlan = {
  goats: 90,
  pens: 6,
  days: 540,
  visitEvery: 60,
  scoreEvery: 28,
  visitSlack: 0,
  missed: 0,
  comeAndGo: 0,
  largestPen: 1,
  wetLevel: 1.4,
  wetLevelSd: 0.5,
  wetSwing: 0.9,
  lushWetPens: 0.5,
  sharedWeather: 0.4,
  rationDays: [50, 110],
  rationsTogether: false,
  copperWithProtein: 0,
  groundLooks: null,
  growth: {
    animalSd: 0.6,
    penSd: 0.25,
    penShockSd: 0.3,
    penShock: anew,
    flockShockSd: 0.25,
    flockShock: anew,
    perProtein: 0.15,
    perWetness: -0.25,
    penConfounder: 0,
    intervalSd: 0.4,
    readingSd: 0.5,
  },
  lameness: {
    mean: -2.9,
    lasting: null,
    animalSd: 0.8,
    penSd: 0.3,
    penShockSd: 0.35,
    penShock: anew,
    flockShockSd: 0.25,
    flockShock: anew,
    perProtein: 0,
    perWetness: 0.6,
    penConfounder: 0,
  },
};

export interface SimulatedOutcomes {
  readonly growth: OutcomeRows;
  readonly lame: OutcomeRows;
  readonly newLameness: OutcomeRows;
}

const LEAD_DAYS = 90;
const LAG = 28;

/** Draws a flock and lays its rows out as the book's readers would, from what was written down. */
export function simulatedOutcomes(plan: AssociationFlockPlan, seed: number): SimulatedOutcomes {
  const random = new Random(seed);
  const length = plan.days + LEAD_DAYS + LAG + 1;
  const pens = drawPens(random.substream(0), plan, length);
  const goats = drawGoats(random.substream(1), plan, length);
  return {
    growth: growthRows(random.substream(2), plan, pens, goats, length),
    ...gaitRows(random.substream(3), plan, pens, goats, length),
  };
}

interface Goat {
  /** Its pen on every day. */
  readonly home: Int32Array;
  readonly from: number;
  readonly to: number;
}

/** A third of the goats change pens once. */
function drawGoats(random: Random, plan: AssociationFlockPlan, length: number): Goat[] {
  const sizes = Array.from(
    { length: plan.pens },
    (_, p) => 1 + ((plan.largestPen - 1) * p) / Math.max(1, plan.pens - 1),
  );
  const places = sizes.map((_, p) => sizes.slice(0, p + 1).reduce((a, b) => a + b, 0));
  const end = LEAD_DAYS + plan.days;
  return Array.from({ length: plan.goats }, (_, i) => {
    const place = ((i + 0.5) / plan.goats) * places.at(-1)!;
    const home = new Int32Array(length).fill(places.findIndex((upTo) => place < upTo));
    if (random.bernoulli(1 / 3)) home.fill(random.integer(plan.pens), LEAD_DAYS + random.integer(plan.days));
    if (!random.bernoulli(plan.comeAndGo)) return { home, from: LEAD_DAYS, to: end };
    const turn = LEAD_DAYS + random.integer(plan.days);
    return random.bernoulli(0.5) ? { home, from: turn, to: end } : { home, from: LEAD_DAYS, to: turn };
  });
}

/** Running sums of what pens add to an outcome each day, exposures apart. */
function drawPenShocks(
  random: Random,
  of: OutcomePlan,
  pens: readonly SimulatedPen[],
  length: number,
): DailySums[] {
  const wet = standardised(pens.map((pen) => pen.truth.wetness.usual));
  const flock = drawShock(random, of.flockShockSd, of.flockShock, length);
  return pens.map((_, p) => {
    const standing = of.penSd * random.normal() + of.penConfounder * wet[p]!;
    const own = drawShock(random, of.penShockSd, of.penShock, length);
    return dailySums(own.map((shock, d) => standing + shock + flock[d]!));
  });
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

/** Mean over a window's known days and its departure from the pens' usual; NaN where less than half of the days are known. */
function windowOf(
  pens: readonly SimulatedPen[],
  of: keyof SimulatedPen,
  pieces: readonly Piece[],
  id: SimulatedExposure,
): { mean: number; within: number } {
  let sum = 0;
  let usual = 0;
  let known = 0;
  let days = 0;
  for (const { pen, from, to } of pieces) {
    const daily = pens[pen]![of][id];
    const own = daily.known[to]! - daily.known[from]!;
    sum += daily.sum[to]! - daily.sum[from]!;
    known += own;
    usual += own * daily.usual;
    days += to - from;
  }
  return known * 2 < days
    ? { mean: Number.NaN, within: Number.NaN }
    : { mean: sum / known, within: (sum - usual) / known };
}

/** What the pieces' exposures and shocks come to, by the mean day. */
function addedBy(
  of: OutcomePlan,
  pens: readonly SimulatedPen[],
  shocks: readonly DailySums[],
  exposed: readonly Piece[],
  shocked: readonly Piece[],
): number {
  let sum = 0;
  let days = 0;
  for (const { pen, from, to } of shocked) {
    sum += shocks[pen]!.sum[to]! - shocks[pen]!.sum[from]!;
    days += to - from;
  }
  return (
    sum / days +
    of.perProtein * (windowOf(pens, "truth", exposed, "crude_protein").mean - 13) +
    of.perWetness * (windowOf(pens, "truth", exposed, "wetness").mean - 1)
  );
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

/** Days on which a goat is looked at, `every` apart give or take `slack`, some of them missed. */
function lookDays(
  random: Random,
  plan: AssociationFlockPlan,
  goat: Goat,
  first: number,
  every: number,
): number[] {
  const days: number[] = [];
  const last = LEAD_DAYS + plan.days;
  for (let planned = first; planned < last; planned += every) {
    const day = planned + (plan.visitSlack === 0 ? 0 : random.integer(2 * plan.visitSlack + 1));
    if (plan.missed > 0 && random.bernoulli(plan.missed)) continue;
    if (day >= goat.from && day < goat.to && day < last) days.push(day);
  }
  return days;
}

function growthRows(
  random: Random,
  plan: AssociationFlockPlan,
  pens: readonly SimulatedPen[],
  goats: readonly Goat[],
  length: number,
): OutcomeRows {
  const of = plan.growth;
  const shocks = drawPenShocks(random, of, pens, length);
  const drafts: DraftRow[] = [];
  const readingVariance: number[] = [];
  goats.forEach((goat, animal) => {
    const { home } = goat;
    const own = of.animalSd * random.normal();
    const first =
      LEAD_DAYS + Math.floor((plan.visitEvery * (home[LEAD_DAYS]! + random.uniform())) / plan.pens);
    const visits = lookDays(random, plan, goat, first, plan.visitEvery);
    visits.slice(1).forEach((to, k) => {
      const pieces = piecesOf(home, visits[k]!, to);
      const variance = (2 * of.readingSd ** 2) / 8 / ((to - visits[k]!) / 30) ** 2;
      readingVariance.push(variance);
      const outcome =
        3.5 +
        own +
        addedBy(of, pens, shocks, pieces, pieces) +
        of.intervalSd * random.normal() +
        Math.sqrt(variance) * random.normal();
      const pen = home[to - 1]!;
      drafts.push({ animal, outcome, offset: 0, pieces, window: pieces, lags: new Map(), day: to, pen });
    });
  });
  return layOut(plan, pens, drafts, { offset: false, readingVariance: Float64Array.from(readingVariance) });
}

function gaitRows(
  random: Random,
  plan: AssociationFlockPlan,
  pens: readonly SimulatedPen[],
  goats: readonly Goat[],
  length: number,
): { lame: OutcomeRows; newLameness: OutcomeRows } {
  const of = plan.lameness;
  const shocks = drawPenShocks(random, of, pens, length);
  const lame: DraftRow[] = [];
  const fresh: DraftRow[] = [];
  goats.forEach((goat, animal) => {
    const { home } = goat;
    const own = of.animalSd * random.normal();
    let last: { readonly lame: boolean; readonly day: number } | null = null;
    for (const day of lookDays(random, plan, goat, LEAD_DAYS + (home[LEAD_DAYS]! % 7), plan.scoreEvery)) {
      const pen = home[day]!;
      const window = piecesOf(home, day - LAG, day);
      const pieces = [{ pen, from: day, to: day + 1 }];
      const eta = of.mean + own + addedBy(of, pens, shocks, window, pieces);
      const months = (last === null ? plan.scoreEvery : day - last.day) / 30;
      const chance =
        of.lasting === null
          ? 1 / (1 + Math.exp(-eta))
          : last?.lame === true
            ? of.lasting ** months
            : -Math.expm1(-months * Math.exp(eta));
      const isLame = random.bernoulli(chance);
      const row: DraftRow = {
        animal,
        outcome: isLame ? 1 : 0,
        offset: Math.log(months),
        pieces,
        window,
        lags: new Map([14, 56].map((lag) => [lag, piecesOf(home, day - lag, day)])),
        day,
        pen,
      };
      lame.push(row);
      if (last !== null && !last.lame) fresh.push(row);
      last = { lame: isLame, day };
    }
  });
  return {
    lame: layOut(plan, pens, lame, { offset: false, readingVariance: null }),
    newLameness: layOut(plan, pens, fresh, { offset: true, readingVariance: null }),
  };
}

const noUsual: PenLevel["usual"] = {
  crude_protein: Number.NaN,
  copper_diet: Number.NaN,
  mineral_copper: Number.NaN,
  zinc: Number.NaN,
  wetness: Number.NaN,
};

function layOut(
  plan: AssociationFlockPlan,
  pens: readonly SimulatedPen[],
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
        const parts = drafts.map((row) => windowOf(pens, "written", windowsOf(row), id));
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
      usual: mapExposures(noUsual, (none, id) => (id === "mineral_copper" ? none : pen.written[id].usual)),
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
