import type { DayNumber } from "../records/days.ts";
import type { Flock } from "../records/flock.ts";

/** Days from the first on up to, and not with, the second. */
export interface DaySpan {
  readonly from: DayNumber;
  readonly to: DayNumber;
}

/** A season and one that it is held against. */
export interface SeasonPair {
  readonly season: string;
  readonly against: "previous" | "year_before";
  readonly own: DaySpan;
  readonly other: DaySpan;
  /** Today lies in the season: a year before counts over the same days alone. */
  readonly soFar: boolean;
}

/** Every season of a flock against the one before it, and against the same one a year before. */
export function seasonPairs({ seasons, today }: Flock): readonly SeasonPair[] {
  return seasons.flatMap((season, i) => {
    const soFar = season.to > today;
    const own = { from: season.from, to: Math.min(season.to, today + 1) };
    const pairs: SeasonPair[] = [];
    const before = seasons[i - 1];
    if (before !== undefined) {
      pairs.push({
        season: season.id,
        against: "previous",
        own,
        other: { from: before.from, to: before.to },
        soFar,
      });
    }
    const lastYear = seasons.find(({ name, year }) => name === season.name && year === season.year - 1);
    if (lastYear !== undefined && lastYear !== before) {
      const to = soFar ? Math.min(lastYear.to, lastYear.from + (own.to - own.from)) : lastYear.to;
      pairs.push({
        season: season.id,
        against: "year_before",
        own,
        other: { from: lastYear.from, to },
        soFar,
      });
    }
    return pairs;
  });
}
