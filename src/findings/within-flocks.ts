import type { Book } from "../book/book.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { tUpperQuantile } from "../statistics/distributions/student-t.ts";
import {
  type CommonOddsRatio,
  mantelHaenszel,
  type Stratum,
} from "../statistics/proportions/mantel-haenszel.ts";
import { gatherRows } from "./gather-rows.ts";

export const withinFlocksTable = defineTable({
  schema: "results",
  name: "within_flocks",
  grain: ["flock", "season", "group_kind", "group_value"],
  columns: {
    flock: text.always("all: flocks that have goats both in the group and outside it"),
    season: text.always("season, or all"),
    group_kind: text.always("ground, age_band, class"),
    group_value: text.always("which of them"),
    flocks: integer.always("such flocks, 3 or more"),
    scored_animals: integer.always("animals of the group scored"),
    lame_animals: integer.always("of these, ever lame on their own flock's scale and mark"),
    other_animals: integer.always("other animals of the same flocks scored"),
    other_lame: integer.always("of these, ever lame"),
    odds_ratio: number("odds of ever being lame against the flock's other animals, common to all flocks"),
    lo: number("lower 95 % limit; of ground, which goats of a pen share, with flocks as units"),
    hi: number("upper 95 % limit"),
  },
  reads: ["exposure.gait_day", "exposure.animal_day_group", "exposure.season"],
  identities: [
    {
      says: "no more lame than scored",
      holds: "lame_animals <= scored_animals AND other_lame <= other_animals",
    },
    {
      says: "limits lie around the ratio",
      holds: "odds_ratio IS NULL OR (lo <= odds_ratio AND odds_ratio <= hi)",
    },
    { says: "few animals or flocks are not shown", holds: "scored_animals >= 5 AND flocks >= 3" },
  ],
});

export type WithinFlocksRow = RowOf<typeof withinFlocksTable>;

/** Below these a pooled group would be one flock's, or a few goats'. */
const LEAST_FLOCKS = 3;
const LEAST_ANIMALS = 5;

interface FlockCounts {
  readonly season: string;
  readonly group_kind: string;
  readonly group_value: string;
  readonly flock: string;
  readonly gait_scale: string;
  readonly animals: number;
  readonly lame: number;
  readonly other_animals: number;
  readonly other_lame: number;
}

/**
 * How much more often goats of a group were lame than the other goats of their own flock, flocks put together by that
 * difference alone: a flock's scale, scorer and level of lameness fall out. A goat that was both in the group and out of
 * it counts as of the group.
 */
export async function withinFlocksRows(book: Book): Promise<readonly WithinFlocksRow[]> {
  const counts = await book.rows<FlockCounts>(`
    WITH scored AS (
      SELECT d.flock, s.season, d.gait_scale, d.animal, g.group_kind, g.group_value, bool_or(d.lame) AS lame
      FROM exposure.gait_day d
      JOIN exposure.animal_day_group g ON g.flock = d.flock AND g.animal = d.animal AND g.day = d.day
      JOIN exposure.season s ON s.flock = d.flock AND d.day >= s.from_day AND d.day < s.to_day
      WHERE g.group_kind IN ('ground', 'age_band', 'class') GROUP BY ALL
    ), animal AS (
      SELECT flock, season, gait_scale, group_kind, animal, bool_or(lame) AS lame, list(group_value) AS groups FROM scored GROUP BY ALL
    ), asked AS (SELECT DISTINCT season, group_kind, group_value FROM scored WHERE group_value <> 'unknown')
    SELECT q.season, q.group_kind, q.group_value, a.flock, a.gait_scale,
      CAST(count(*) FILTER (list_contains(a.groups, q.group_value)) AS INTEGER) AS animals,
      CAST(count(*) FILTER (list_contains(a.groups, q.group_value) AND a.lame) AS INTEGER) AS lame,
      CAST(count(*) FILTER (NOT list_contains(a.groups, q.group_value)) AS INTEGER) AS other_animals,
      CAST(count(*) FILTER (NOT list_contains(a.groups, q.group_value) AND a.lame) AS INTEGER) AS other_lame
    FROM asked q JOIN animal a USING (season, group_kind) GROUP BY ALL HAVING animals > 0 AND other_animals > 0 ORDER BY ALL`);
  const groups = gatherRows(counts, ({ season, group_kind, group_value }) =>
    [season, group_kind, group_value].join("\n"),
  );
  return [...groups.values()].flatMap((own): WithinFlocksRow[] => {
    const { season, group_kind, group_value } = own[0]!;
    const total = (of: (one: FlockCounts) => number): number => own.reduce((sum, one) => sum + of(one), 0);
    const flocks = new Set(own.map(({ flock }) => flock)).size;
    const animals = total((one) => one.animals);
    if (flocks < LEAST_FLOCKS || animals < LEAST_ANIMALS) return [];
    const strata = own.map((one) => ({
      events: one.lame,
      total: one.animals,
      otherEvents: one.other_lame,
      otherTotal: one.other_animals,
    }));
    const ratio =
      group_kind === "ground"
        ? ratioByFlocks(
            strata,
            own.map(({ flock }) => flock),
          )
        : mantelHaenszel(strata);
    return [
      {
        flock: "all",
        season,
        group_kind,
        group_value,
        flocks,
        scored_animals: animals,
        lame_animals: total((one) => one.lame),
        other_animals: total((one) => one.other_animals),
        other_lame: total((one) => one.other_lame),
        odds_ratio: ratio?.estimate ?? null,
        lo: ratio?.lo ?? null,
        hi: ratio?.hi ?? null,
      },
    ];
  });
}

/**
 * Limits that hold where goats share their pens: the jackknife over flocks of the ratio's logarithm (Miller 1974,
 * Biometrika 61:1-15), with t on flocks − 1, and never narrower than goats on their own would give. undefined where the
 * ratio is, with every flock or without one.
 */
export function ratioByFlocks(
  strata: readonly Stratum[],
  flocks: readonly string[],
): CommonOddsRatio | undefined {
  const all = mantelHaenszel(strata);
  const names = [...new Set(flocks)];
  const without = names.map((name) => mantelHaenszel(strata.filter((_, k) => flocks[k] !== name)));
  if (all === undefined || without.some((one) => one === undefined)) return undefined;
  const n = names.length;
  const logs = without.map((one) => Math.log(one!.estimate));
  const mean = logs.reduce((sum, value) => sum + value, 0) / n;
  const variance = ((n - 1) / n) * logs.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  const factor = Math.max(
    Math.exp(tUpperQuantile(0.025, n - 1) * Math.sqrt(variance)),
    all.hi / all.estimate,
  );
  return { estimate: all.estimate, lo: all.estimate / factor, hi: all.estimate * factor };
}
