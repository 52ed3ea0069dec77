import { type DayNumber, dayNumber, parseIsoDay } from "../records/days.ts";
import type { GaitScaleId } from "../records/gait-scales.ts";

/**
 * The growth of horn in an invented flock, mm per 30 days unless said otherwise; `…Sd` are standard deviations.
 * Growth is drawn before wear; the ground's wear is taken off. The effects are invented, not published.
 */
export interface GrowthParameters {
  /** Horn of an adult dry doe's inner front claw on the reference diet and ground, before wear. */
  readonly mean: number;
  /** Of breeding values, mm² per (30 days)². */
  readonly additiveVariance: number;
  readonly lineSd: number;
  /** Between animals beyond breeding. */
  readonly permanentSd: number;
  readonly clawSd: number;
  /** Of an animal's one interval between two looks, shared by its claws. */
  readonly intervalSd: number;
  readonly penSd: number;
  readonly penMonthSd: number;
  readonly penMonthCorrelation: number;
  readonly monthSd: number;
  /** Of one month's shock with the next. */
  readonly monthCorrelation: number;
  /** Half the distance between summer's highest and winter's lowest growth. */
  readonly seasonAmplitude: number;
  readonly perProteinPct: number;
  readonly perWetness: number;
  readonly perCopperMgPerKg: number;
  readonly hind: number;
  readonly outer: number;
  readonly kid: number;
  readonly young: number;
  readonly yearling: number;
  readonly older: number;
  readonly latePregnant: number;
  readonly milking: number;
  /** What a pen gains for each standard deviation of its mean wetness, by something no sheet records. */
  readonly penConfounder: number;
  /** What a pen gains for each standard deviation of a slow hidden cause that also wets its ground. */
  readonly slowConfounder: number;
}

/** The lameness of an invented flock on the log odds of being lame; `…Sd` are standard deviations. */
export interface LamenessParameters {
  /** Log odds of an adult dry doe on the reference diet and ground. */
  readonly mean: number;
  readonly additiveVariance: number;
  readonly lineSd: number;
  readonly permanentSd: number;
  readonly penSd: number;
  readonly penMonthSd: number;
  readonly penMonthCorrelation: number;
  readonly monthSd: number;
  readonly monthCorrelation: number;
  readonly seasonAmplitude: number;
  /** Per class of wetness, meaned over the 28 days before the score. */
  readonly perWetness: number;
  readonly perProteinPct: number;
  readonly perCopperMgPerKg: number;
  readonly young: number;
  readonly older: number;
  readonly latePregnant: number;
  readonly penConfounder: number;
  readonly slowConfounder: number;
  /** How long a bout lasts, days; 0: every score is drawn afresh, given the effects. */
  readonly persistenceDays: number;
}

/** How claws are measured. */
export interface RulerParameters {
  /** Standard deviation of one reading, mm. */
  readonly readingSd: number;
  /** Shared by all readings of one animal on one day, mm. */
  readonly visitSd: number;
  /** Readings are rounded to this step, mm; 0: not rounded. */
  readonly stepMm: number;
}

export interface FlockOptions {
  readonly seed: number;
  /** Goats with a row of their own: those there at the start and, in an open flock, arrivals and kids. */
  readonly goats?: number;
  readonly days?: number;
  readonly pens?: number;
  readonly lines?: number;
  /** Written in a column `flock` of every sheet; left out when absent. */
  readonly flock?: string;
  /** First day of records, ISO: 2024-03-01, or earlier where the records would go past 2026-03-01. */
  readonly start?: string;
  /** `farm`: an open flock with every kind of sheet; `study`: a closed flock with plain visits, for simulation. */
  readonly detail?: "farm" | "study";
  readonly tagPrefix?: string;
  readonly gaitScale?: GaitScaleId;
  readonly visitEveryDays?: number;
  readonly scoreEveryDays?: number;
  /** Which lengths are taken at a visit. */
  readonly lengths?: "toe" | "overhang" | "both";
  /** Share of claw records and gait scores that were never written down. */
  readonly missingShare?: number;
  /** Goats that limp between two rounds are called out and scored. */
  readonly scoreForCause?: boolean;
  /** `none` sets every effect of diet and ground to zero. */
  readonly effects?: "planted" | "none";
  /** 0 to 1: how far wet pens are also the pens rich in protein. */
  readonly lushWetPens?: number;
  /** Moves to another pen, per animal and year. */
  readonly movesPerYear?: number;
  readonly growth?: Partial<GrowthParameters>;
  readonly lameness?: Partial<LamenessParameters>;
  readonly ruler?: Partial<RulerParameters>;
}

/** The options with every default filled in. */
export interface FlockPlan {
  readonly seed: number;
  readonly goats: number;
  readonly pens: number;
  readonly lines: number;
  readonly flock: string | null;
  readonly start: DayNumber;
  readonly days: number;
  readonly open: boolean;
  readonly tagPrefix: string;
  readonly gaitScale: GaitScaleId;
  readonly visitEveryDays: number;
  readonly scoreEveryDays: number;
  readonly lengths: "toe" | "overhang" | "both";
  readonly missingShare: number;
  readonly scoreForCause: boolean;
  readonly lushWetPens: number;
  readonly movesPerYear: number;
  readonly growth: GrowthParameters;
  readonly lameness: LamenessParameters;
  readonly ruler: RulerParameters;
}

const SIXTEENTH_INCH_MM = 25.4 / 16;

const defaultGrowth: GrowthParameters = {
  mean: 4.1,
  additiveVariance: 0.2,
  lineSd: 0.3,
  permanentSd: 0.35,
  clawSd: 0.25,
  intervalSd: 0.4,
  penSd: 0.25,
  penMonthSd: 0.3,
  penMonthCorrelation: 0,
  monthSd: 0.25,
  monthCorrelation: 0.5,
  seasonAmplitude: 0.3,
  perProteinPct: 0.15,
  perWetness: -0.25,
  perCopperMgPerKg: 0.02,
  hind: 0.25,
  outer: 0.1,
  kid: 0.6,
  young: 0.4,
  yearling: 0.15,
  older: -0.25,
  latePregnant: -0.15,
  milking: 0.1,
  penConfounder: 0,
  slowConfounder: 0,
};

const defaultLameness: LamenessParameters = {
  mean: -3.4,
  additiveVariance: 0.35,
  lineSd: 0.4,
  permanentSd: 0.6,
  penSd: 0.3,
  penMonthSd: 0.35,
  penMonthCorrelation: 0,
  monthSd: 0.25,
  monthCorrelation: 0.5,
  seasonAmplitude: 0,
  perWetness: 0.6,
  perProteinPct: 0,
  perCopperMgPerKg: 0,
  young: -0.4,
  older: 0.5,
  latePregnant: 0.2,
  penConfounder: 0,
  slowConfounder: 0,
  persistenceDays: 14,
};

// About what two readings of one claw differ by in trade hands: common practice, no source.
const defaultRuler: RulerParameters = { readingSd: 0.5, visitSd: 0.1, stepMm: SIXTEENTH_INCH_MM };

const noEffects = { perProteinPct: 0, perWetness: 0, perCopperMgPerKg: 0 };

const START = dayNumber(2024, 3, 1)!;
const LATEST_END = dayNumber(2026, 3, 1)!;

/** A long flock starts earlier: what lies after the day on which a sheet is read is taken for a slip of the pen. */
function usualStart(days: number): DayNumber {
  return Math.min(START, LATEST_END - days);
}

/** Fills in the defaults and checks the sizes. Throws a RangeError that names the option. */
export function flockPlan(options: FlockOptions): FlockPlan {
  const open = (options.detail ?? "farm") === "farm";
  const days = whole("days", options.days ?? 730, 30, 20_000);
  const start = options.start === undefined ? usualStart(days) : parseIsoDay(options.start);
  if (start === null) throw new RangeError(`start: not a date such as 2024-03-01: ${options.start}`);
  const lameness = { ...defaultLameness, ...(open ? {} : { persistenceDays: 0 }), ...options.lameness };
  const growth = { ...defaultGrowth, ...options.growth };
  const effectless = options.effects === "none" ? noEffects : {};
  return {
    seed: options.seed,
    goats: whole("goats", options.goats ?? 120, 2, 1_000_000),
    days,
    pens: whole("pens", options.pens ?? 6, 1, 1000),
    lines: whole("lines", options.lines ?? 5, 1, 1000),
    flock: options.flock ?? null,
    start,
    open,
    tagPrefix: options.tagPrefix ?? "G",
    gaitScale: options.gaitScale ?? "1-5",
    visitEveryDays: whole("visitEveryDays", options.visitEveryDays ?? 63, 7, 400),
    scoreEveryDays: whole("scoreEveryDays", options.scoreEveryDays ?? 28, 1, 400),
    lengths: options.lengths ?? "both",
    missingShare: share("missingShare", options.missingShare ?? 0),
    scoreForCause: options.scoreForCause ?? open,
    lushWetPens: share("lushWetPens", options.lushWetPens ?? 0.5),
    movesPerYear: options.movesPerYear ?? 0.35,
    growth: { ...growth, ...effectless },
    lameness: { ...lameness, ...effectless },
    ruler: { ...defaultRuler, ...options.ruler },
  };
}

function whole(name: string, value: number, least: number, most: number): number {
  if (Number.isInteger(value) && value >= least && value <= most) return value;
  throw new RangeError(`${name} must be a whole number from ${least} to ${most}, not ${value}`);
}

function share(name: string, value: number): number {
  if (value >= 0 && value <= 1) return value;
  throw new RangeError(`${name} must lie from 0 to 1, not ${value}`);
}
