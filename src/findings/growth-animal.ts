import { code, joinCodes } from "../records/codes.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { tUpperQuantile } from "../statistics/distributions/student-t.ts";
import { type Finding, insertRows } from "./finding.ts";
import { MODELLED } from "./growth-interval.ts";

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
  reads: ["results.growth_interval", "exposure.season"],
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

interface AnimalSums {
  flock: string;
  season: string;
  animal: string;
  intervals: number;
  days: number;
  dy: number;
  dd: number;
  yy: number;
}

/**
 * An animal's growth from its own records: the claws of an interval are averaged first, each cleared of the
 * flock's own difference between feet, so that eight claws measured on one day count once; then a slope
 * through the origin on the months between, with Student's t on intervals − 1 degrees of freedom.
 */
export const growthAnimal: Finding = {
  tables: [growthAnimalTable],
  async fill({ book }) {
    const rows = await book.rows<AnimalSums>(`
      WITH claw AS (
        SELECT *, rate_mm_30d - avg(rate_mm_30d) OVER (PARTITION BY flock, animal, date_from, date_to) AS apart,
          count(DISTINCT foot) OVER (PARTITION BY flock, animal, date_from, date_to) AS feet
        FROM results.growth_interval WHERE ${MODELLED}
      ), foot_effect AS (
        SELECT flock, foot, avg(apart) AS effect FROM claw WHERE feet = 4 GROUP BY ALL
      ), visit AS (
        SELECT c.flock, c.animal, c.date_from, c.date_to, any_value(c.days) AS days,
          avg(c.growth_mm - coalesce(e.effect, 0) * c.days / 30) AS y
        FROM claw c LEFT JOIN foot_effect e USING (flock, foot) GROUP BY ALL
      )
      SELECT v.flock, s.season, v.animal, CAST(count(*) AS INTEGER) AS intervals, CAST(sum(v.days) AS INTEGER) AS days,
        CAST(sum(v.days / 30 * v.y) AS DOUBLE) AS dy, CAST(sum((v.days / 30) ** 2) AS DOUBLE) AS dd, CAST(sum(v.y ** 2) AS DOUBLE) AS yy
      FROM visit v JOIN exposure.season s ON s.flock = v.flock
        AND day_of((day_no(v.date_from) + day_no(v.date_to)) // 2) >= s.from_day AND day_of((day_no(v.date_from) + day_no(v.date_to)) // 2) < s.to_day
      GROUP BY ALL ORDER BY v.flock, s.season, v.animal`);
    const figures = rows.map((sums) => ({ sums, ...ownFigure(sums) }));
    const ranks = rankWithin(figures);
    await insertRows(
      book,
      growthAnimalTable,
      figures.map(({ sums, rate, lo, hi, caution }, i) => ({
        flock: sums.flock,
        season: sums.season,
        animal: sums.animal,
        intervals: sums.intervals,
        days: sums.days,
        rate_mm_30d: rate,
        lo,
        hi,
        model_rate_mm_30d: null,
        model_lo: null,
        model_hi: null,
        flock_rank: ranks[i] ?? null,
        p_faster_than_flock: null,
        caution,
      })),
    );
  },
};

function ownFigure({ intervals, dy, dd, yy }: AnimalSums): {
  rate: number | null;
  lo: number | null;
  hi: number | null;
  caution: string | null;
} {
  if (intervals < LEAST_INTERVALS) {
    return {
      rate: null,
      lo: null,
      hi: null,
      caution: joinCodes([code("too_few_intervals", intervals, LEAST_INTERVALS)]),
    };
  }
  const rate = dy / dd;
  const variance = Math.max(0, yy - rate * dy) / (intervals - 1) / dd;
  const half = tUpperQuantile(0.025, intervals - 1) * Math.sqrt(variance);
  return { rate, lo: rate - half, hi: rate + half, caution: null };
}

/** Rank of each figure within its flock and season, fastest first; none for figures that are missing. */
function rankWithin(
  figures: readonly { sums: AnimalSums; rate: number | null }[],
): readonly (number | null)[] {
  const ranks = new Array<number | null>(figures.length).fill(null);
  const place = new Map<string, number>();
  const fastestFirst = [...figures.keys()]
    .filter((i) => figures[i]!.rate !== null)
    .sort((a, b) => figures[b]!.rate! - figures[a]!.rate!);
  for (const i of fastestFirst) {
    const { flock, season } = figures[i]!.sums;
    const group = `${flock}\n${season}`;
    const rank = (place.get(group) ?? 0) + 1;
    place.set(group, rank);
    ranks[i] = rank;
  }
  return ranks;
}
