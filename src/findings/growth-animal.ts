import { code, joinCodes } from "../records/codes.ts";
import type { Flock } from "../records/flock.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { tUpperQuantile } from "../statistics/distributions/student-t.ts";
import { type Finding, insertRows } from "./finding.ts";
import { type AnimalGrowth, type FlockGrowth, growthOf, seasonsOfSpans } from "./growth-figures.ts";
import { ownIntervals } from "./own-intervals.ts";

export const growthAnimalTable = defineTable({
  schema: "results",
  name: "growth_animal",
  grain: ["flock", "season", "animal"],
  columns: {
    flock: text.always("flock"),
    season: text.always("season, or all"),
    animal: text.always("animal's tag"),
    intervals: integer.always("intervals between visits that its own figure rests on"),
    days: integer.always("days in these intervals"),
    rate_mm_30d: number("growth from its own records alone, mm per 30 days"),
    lo: number("lower 95 % limit, own records alone"),
    hi: number("upper 95 % limit, own records alone"),
    model_rate_mm_30d: number(
      "growth at the flock's own mix of pens, feet and dates, drawn toward the flock as far as its records are few",
    ),
    model_lo: number("lower 95 % limit"),
    model_hi: number("upper 95 % limit"),
    flock_rank: integer("1 is the fastest, by the model where there is one, else by own records"),
    p_faster_than_flock: number("probability that it grows faster than the mean of the others"),
    caution: text("codes"),
  },
  reads: ["results.growth_interval", "exposure.animal_stretch", "exposure.season"],
  identities: [
    { says: "limits lie around the rate", holds: "lo IS NULL OR (lo <= rate_mm_30d AND rate_mm_30d <= hi)" },
    {
      says: "a probability is one",
      holds: "p_faster_than_flock IS NULL OR p_faster_than_flock BETWEEN 0 AND 1",
    },
  ],
});

export type GrowthAnimalRow = RowOf<typeof growthAnimalTable>;

/** Intervals from which an own figure is given at all: two intervals leave one degree of freedom. */
const LEAST_INTERVALS = 3;

/**
 * Two figures an animal and season. From its own records alone: a slope through the origin over its intervals, with
 * Student's t on intervals − 1. From the flock's growth model: the flock's mean over all animal-days of the season with
 * this animal's effect for everyone's, drawn toward the flock as far as its records are few.
 */
export const growthAnimal: Finding = {
  tables: [growthAnimalTable],
  async fill(context) {
    for (const flock of context.flocks) {
      const growth = await growthOf(context, flock);
      await insertRows(context.book, growthAnimalTable, rowsOf(flock, growth));
    }
  },
};

function rowsOf(flock: Flock, growth: FlockGrowth): GrowthAnimalRow[] {
  const byModel = new Map(growth.animals.map((one) => [`${one.season}\n${one.animal}`, one]));
  const rows = [...ownSums(flock, growth)].map(([key, sums]): GrowthAnimalRow => {
    const own = ownFigure(sums);
    const model: AnimalGrowth | undefined = byModel.get(key);
    return {
      flock: flock.id,
      season: sums.season,
      animal: growth.rows.animals[sums.animal]!,
      intervals: sums.intervals,
      days: sums.days,
      ...own,
      model_rate_mm_30d: model?.figure.rate ?? null,
      model_lo: model?.figure.lo ?? null,
      model_hi: model?.figure.hi ?? null,
      flock_rank: null,
      p_faster_than_flock: model?.fasterThanOthers ?? null,
      caution: joinCodes([
        sums.intervals < LEAST_INTERVALS ? code("too_few_intervals", sums.intervals, LEAST_INTERVALS) : null,
        model === undefined && "trouble" in growth.model ? code("not_converged") : null,
      ]),
    };
  });
  return withRanks(rows);
}

interface OwnSums {
  readonly season: string;
  readonly animal: number;
  intervals: number;
  days: number;
  /** Σ D·growth, Σ D², Σ growth² over the intervals. */
  dy: number;
  dd: number;
  yy: number;
}

function ownSums(flock: Flock, growth: FlockGrowth): Map<string, OwnSums> {
  const sums = new Map<string, OwnSums>();
  for (const { animal, from, to, growthMm } of ownIntervals(growth)) {
    for (const season of seasonsOfSpans(flock, from, to)) {
      const key = `${season}\n${animal}`;
      const own = sums.get(key) ?? { season, animal, intervals: 0, days: 0, dy: 0, dd: 0, yy: 0 };
      sums.set(key, own);
      const months = (to - from) / 30;
      own.intervals++;
      own.days += to - from;
      own.dy += months * growthMm;
      own.dd += months * months;
      own.yy += growthMm * growthMm;
    }
  }
  return sums;
}

function ownFigure({ intervals, dy, dd, yy }: OwnSums): Pick<GrowthAnimalRow, "rate_mm_30d" | "lo" | "hi"> {
  if (intervals < LEAST_INTERVALS) return { rate_mm_30d: null, lo: null, hi: null };
  const rate = dy / dd;
  const variance = Math.max(0, yy - rate * dy) / (intervals - 1) / dd;
  const half = tUpperQuantile(0.025, intervals - 1) * Math.sqrt(variance);
  return { rate_mm_30d: rate, lo: rate - half, hi: rate + half };
}

/** Ranks within each season, fastest first: by the model, where there is none by own records. */
function withRanks(rows: readonly GrowthAnimalRow[]): GrowthAnimalRow[] {
  const rate = (row: GrowthAnimalRow): number => row.model_rate_mm_30d ?? row.rate_mm_30d ?? -Infinity;
  const placed = new Map<string, number>();
  return [...rows]
    .sort((a, b) => (rate(a) === rate(b) ? 0 : rate(b) - rate(a)))
    .map((row) => {
      if (rate(row) === -Infinity) return row;
      const place = (placed.get(row.season) ?? 0) + 1;
      placed.set(row.season, place);
      return { ...row, flock_rank: place };
    });
}
