import { calendarDay, dayNumber } from "../records/days.ts";
import { normalCumulative } from "../statistics/distributions/normal.ts";
import { solveMixedModel } from "../statistics/linear-mixed-model/criterion.ts";
import { termCovariances } from "../statistics/linear-mixed-model/fit-linear-mixed-model.ts";
import {
  type CombinationHalf,
  combinationEstimates,
  combinationHalves,
  parseCombination,
} from "../statistics/linear-mixed-model/linear-combinations.ts";
import { gaussNormal } from "../statistics/quadrature.ts";
import type { ClawStart } from "./claw-starts.ts";
import { type GrowthTermId, seasonWave } from "./growth-design.ts";
import { type GrowthFrame, growthParts } from "./growth-model.ts";

/** Where an animal stands and what it is while its claws grow. */
export interface GrowthState {
  readonly pen: string | null;
  readonly ground: string | null;
  readonly age_band: string | null;
  readonly class: string | null;
}

/** An animal whose claws are forecast from what they were left with. */
export interface ForecastSubject {
  readonly animal: string;
  readonly state: GrowthState;
  readonly claws: readonly ClawStart[];
  /** What the animal's own later records say of its effect beyond the fit; none where the fit knows them all. */
  readonly update?: EffectUpdate;
}

/** A shift of an animal's effect and the change of its variance, per 30 days. */
export interface EffectUpdate {
  readonly shift: number;
  readonly variance: number;
}

/** Overhangs of an animal's claws on a day: each claw's mean and own variance, and the variance that all share. */
export interface ClawOutlook {
  readonly means: readonly number[];
  readonly variances: readonly number[];
  readonly shared: number;
}

/** What is known of single claws and single intervals, mm per 30 days. */
export interface ClawKnowledge {
  /** A claw's own departure from its animal's mean, and the variance of that. */
  claw(
    point: ForecastPoint,
    animal: string,
    claw: ClawStart,
  ): { readonly effect: number; readonly variance: number };
  /** Variance of an animal's next interval, shared by its claws. */
  interval(point: ForecastPoint): number;
}

/** The growth model at one point of its variances, solved and ready to forecast from. */
export interface ForecastPoint {
  readonly weight: number;
  readonly estimates: Float64Array;
  readonly halves: readonly CombinationHalf[];
  readonly clawEffects: Float64Array;
  readonly variances: Readonly<Record<GrowthTermId, number>>;
  readonly sigmaSquared: number;
}

/** Everything that forecasts of one flock share. */
export interface Forecaster {
  readonly frame: GrowthFrame;
  /** Storage for sums of half solutions. */
  readonly work: Float64Array;
  readonly points: readonly ForecastPoint[];
  readonly animalPlace: ReadonlyMap<string, number>;
  readonly clawKnowledge: ClawKnowledge;
  /** First part of each term. */
  readonly firstPart: Readonly<Partial<Record<GrowthTermId, number>>>;
  readonly penMonthPlace: ReadonlyMap<string, number>;
  readonly monthPlace: ReadonlyMap<number, number>;
  readonly penPlace: ReadonlyMap<string, number>;
}

const NODES = gaussNormal(32);

/**
 * Solves the growth model at some points of its variances (θ with weights that add up to one). `clawKnowledge`: where
 * the model's rows are not single claws, what is known of them beside it.
 */
export function growthForecaster(
  frame: GrowthFrame,
  points: readonly { readonly theta: ArrayLike<number>; readonly weight: number }[],
  clawKnowledge: ClawKnowledge = knowledgeOfRows(frame),
): Forecaster {
  const { design, prepared, fixed, terms } = frame;
  const { parts } = growthParts(frame);
  const parsed = parts.map((part) => parseCombination(prepared, part));
  const clawTerm = terms.indexOf("claw");
  const claws = Array.from({ length: clawTerm < 0 ? 0 : design.rows.claws.length }, (_, level) =>
    parseCombination(prepared, { random: [{ term: clawTerm, level, weight: 1 }] }),
  );
  const solved = points.flatMap(({ theta, weight }): ForecastPoint[] => {
    const solution = solveMixedModel(prepared, "REML", theta);
    if (solution === undefined) return [];
    const covariances = termCovariances(prepared, theta, solution.sigmaSquared);
    const variance = (id: GrowthTermId): number => covariances[terms.indexOf(id)]?.values[0] ?? 0;
    return [
      {
        weight,
        estimates: combinationEstimates(prepared, solution, parsed),
        halves: combinationHalves(prepared, solution, parsed),
        clawEffects: combinationEstimates(prepared, solution, claws),
        variances: {
          animal: variance("animal"),
          claw: variance("claw"),
          interval: variance("interval"),
          pen: variance("pen"),
          pen_month: variance("pen_month"),
          month: variance("month"),
          visit: variance("visit"),
          reading: variance("reading"),
        },
        sigmaSquared: solution.sigmaSquared,
      },
    ];
  });
  const { rows } = design;
  const firstPart: Partial<Record<GrowthTermId, number>> = {};
  let next = fixed.length;
  for (const id of ["animal", "pen", "pen_month", "month"] as const) {
    if (!terms.includes(id)) continue;
    firstPart[id] = next;
    next += design.random[id]!.levels;
  }
  return {
    frame,
    work: new Float64Array(prepared.symbolic.order),
    points: solved,
    animalPlace: new Map(rows.animals.map((animal, i) => [animal, i])),
    clawKnowledge,
    firstPart,
    penMonthPlace: new Map(design.penMonths.map(({ pen, month }, i) => [`${pen}|${month}`, i])),
    monthPlace: new Map(rows.spans.calendarMonths.map((day, i) => [day, i])),
    penPlace: new Map(rows.spans.pens.map((pen, i) => [pen, i])),
  };
}

/** Overhangs of an animal's claws on a day, one outlook a point of the variances. */
export function outlooks(forecaster: Forecaster, subject: ForecastSubject, day: number): ClawOutlook[] {
  const { frame, points, work, clawKnowledge } = forecaster;
  const { claws, state } = subject;
  if (claws.length === 0) return [];
  // Claws looked at on the animal's last visit share its interval; the others are told from their own day on.
  const from = claws.reduce((last, claw) => Math.max(last, claw.day), -Infinity);
  const window = windowOf(forecaster, subject, from, day);
  const months = (day - from) / 30;
  const fixedOf = (claw: ClawStart): Float64Array => fixedLoadings(frame, state, claw, claw.day, day);
  const loadings = claws.map(fixedOf);
  return points.map((point): ClawOutlook => {
    const { variances, estimates } = point;
    const fixedCount = frame.fixed.length;
    const added = new Map<number, number>(window.known);
    for (let k = 0; k < fixedCount; k++) {
      const mean = loadings.reduce((sum, one) => sum + one[k]!, 0) / loadings.length;
      if (mean !== 0) added.set(k, mean);
    }
    let shared =
      point.sigmaSquared * squareOf(point.halves, added, work) +
      months * months * clawKnowledge.interval(point);
    for (const { term, months: unseen } of window.unseen) shared += unseen * unseen * variances[term];
    const { shift, variance } = subject.update ?? { shift: 0, variance: 0 };
    shared = Math.max(0, shared + months * months * variance);
    let randomRate = shift * months;
    for (const [part, weight] of window.known) randomRate += weight * estimates[part]!;
    const means: number[] = [];
    const own: number[] = [];
    claws.forEach((claw, c) => {
      const span = (day - claw.day) / 30;
      const { effect, variance: ofClaw } = clawKnowledge.claw(point, subject.animal, claw);
      let mean = claw.mean + (months > 0 ? (randomRate * span) / months : 0);
      for (let k = 0; k < fixedCount; k++) mean += loadings[c]![k]! * estimates[k]!;
      means.push(mean + span * effect);
      own.push(claw.variance + span * span * ofClaw);
    });
    return { means, variances: own, shared };
  });
}

/**
 * Probability that any claw stands past a limit: 1 − E[Π Φ((limit − mean − u)/sd)] over what all claws share, u, by
 * Gauss-Hermite quadrature, averaged over the points of the variances. `reading`: variance of a reading's error, for
 * what would be read on the day rather than what would be there.
 */
export function chanceOver(
  forecaster: Forecaster,
  outlook: readonly ClawOutlook[],
  limit: number,
  reading = 0,
): number {
  let chance = 0;
  let total = 0;
  outlook.forEach(({ means, variances, shared }, i) => {
    const { weight } = forecaster.points[i]!;
    const deviations = variances.map((variance) => Math.sqrt(Math.max(1e-9, variance + reading)));
    const spread = Math.sqrt(shared);
    let within = 0;
    for (let q = 0; q < NODES.nodes.length; q++) {
      const u = spread * NODES.nodes[q]!;
      let product = NODES.weights[q]!;
      for (let c = 0; c < means.length && product > 1e-14; c++) {
        product *= normalCumulative((limit - means[c]! - u) / deviations[c]!);
      }
      within += product;
    }
    chance += weight * (1 - within);
    total += weight;
  });
  return Math.min(1, Math.max(0, chance / total));
}

/** Variance of an animal's effect given the records, averaged over the points of the variances. */
export function effectVariance({ points, animalPlace, firstPart }: Forecaster, animal: string): number {
  const place = animalPlace.get(animal);
  let sum = 0;
  let total = 0;
  for (const { weight, variances, halves, sigmaSquared } of points) {
    const known =
      place === undefined || firstPart.animal === undefined ? undefined : halves[firstPart.animal + place];
    const square = known?.value.reduce((squares, value) => squares + value * value, 0);
    sum += weight * (square === undefined ? variances.animal : sigmaSquared * square);
    total += weight;
  }
  return sum / total;
}

interface Window {
  /** Parts that the fit knows, with the months spent in them. */
  readonly known: ReadonlyMap<number, number>;
  /** What no record has shown yet: an effect with the whole variance of its term. */
  readonly unseen: readonly { readonly term: GrowthTermId; readonly months: number }[];
}

function windowOf(
  forecaster: Forecaster,
  { animal, state }: ForecastSubject,
  from: number,
  day: number,
): Window {
  const { firstPart } = forecaster;
  const known = new Map<number, number>();
  const unseen: { term: GrowthTermId; months: number }[] = [];
  const put = (term: GrowthTermId, place: number | undefined, months: number): void => {
    const first = firstPart[term];
    if (first === undefined) return;
    if (place === undefined) unseen.push({ term, months });
    else known.set(first + place, (known.get(first + place) ?? 0) + months);
  };
  const months = (day - from) / 30;
  const pen = state.pen === null ? undefined : forecaster.penPlace.get(state.pen);
  put("animal", forecaster.animalPlace.get(animal), months);
  put("pen", pen, months);
  for (const piece of monthsBetween(from, day)) {
    const month = forecaster.monthPlace.get(piece.first);
    put("month", month, piece.months);
    const both = pen === undefined || month === undefined ? undefined : `${pen}|${month}`;
    put("pen_month", both === undefined ? undefined : forecaster.penMonthPlace.get(both), piece.months);
  }
  return { known, unseen };
}

/** The calendar months that some days fall in, with the months of 30 days spent in each. */
function monthsBetween(from: number, to: number): { first: number; months: number }[] {
  const pieces: { first: number; months: number }[] = [];
  for (let day = from; day < to; ) {
    const { year, month } = calendarDay(day);
    const next = month === 12 ? dayNumber(year + 1, 1, 1)! : dayNumber(year, month + 1, 1)!;
    const end = Math.min(next, to);
    pieces.push({ first: dayNumber(year, month, 1)!, months: (end - day) / 30 });
    day = end;
  }
  return pieces;
}

/** What the fixed columns of the fit load on over some days of one claw. */
function fixedLoadings(
  { design, fixed }: GrowthFrame,
  state: GrowthState,
  claw: ClawStart,
  from: number,
  to: number,
): Float64Array {
  const months = (to - from) / 30;
  const wave = seasonWave(from, to);
  return Float64Array.from(fixed, (k) => {
    const name = design.fixed.names[k]!;
    if (name === "mean") return months;
    if (name === "hind") return claw.foot.endsWith("H") ? months : 0;
    if (name === "outer") return claw.claw === "outer" ? months : 0;
    if (name === "season_cosine") return wave.cosine;
    if (name === "season_sine") return wave.sine;
    const [factor, level] = splitAtColon(name);
    if (factor === "basis") return 0;
    const own = factor === "pen" ? state.pen : state[factor as "ground" | "age_band" | "class"];
    return own === level ? months : 0;
  });
}

function splitAtColon(name: string): [string, string] {
  const at = name.indexOf(":");
  return [name.slice(0, at), name.slice(at + 1)];
}

/** What the model itself says of claws and intervals, where its rows are single claws. */
function knowledgeOfRows({ design }: GrowthFrame): ClawKnowledge {
  const { rows } = design;
  const places = new Map(
    rows.claws.map((one, i) => [`${rows.animals[one.animal]}|${one.foot}|${one.claw}`, i]),
  );
  // A claw's contrasts with the animal's other claws alone tell of it: seven in eight of its rows' information.
  const information = new Float64Array(rows.claws.length);
  rows.claw.forEach((claw, i) => {
    information[claw]! += 0.875 * design.months[i]! ** 2 * design.weights[i]!;
  });
  return {
    claw({ variances, clawEffects, sigmaSquared }, animal, { foot, claw }) {
      const place = places.get(`${animal}|${foot}|${claw}`);
      const prior = variances.claw;
      if (prior === 0 || place === undefined) return { effect: 0, variance: prior };
      return { effect: clawEffects[place]!, variance: 1 / (1 / prior + information[place]! / sigmaSquared) };
    },
    interval: ({ variances }) => variances.interval,
  };
}

/** |Σ weight·half|² of some parts. */
function squareOf(
  halves: readonly CombinationHalf[],
  weights: ReadonlyMap<number, number>,
  work: Float64Array,
): number {
  work.fill(0);
  for (const [part, weight] of weights) {
    const { place, value } = halves[part]!;
    for (let k = 0; k < place.length; k++) work[place[k]!]! += weight * value[k]!;
  }
  let square = 0;
  for (let k = 0; k < work.length; k++) square += work[k]! * work[k]!;
  return square;
}
