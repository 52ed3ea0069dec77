import type { Book } from "../book/book.ts";
import { quoteText } from "../book/book.ts";
import { code, joinCodes } from "../records/codes.ts";
import { isoDay } from "../records/days.ts";
import type { Flock } from "../records/flock.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import type { Interval } from "../statistics/interval.ts";
import { clusteredProportion } from "../statistics/proportions/clustered-proportion.ts";
import { hybridDifference } from "../statistics/proportions/newcombe-difference.ts";
import { clusteredRate } from "../statistics/rates/clustered-rate.ts";
import { type Finding, insertRows } from "./finding.ts";
import { COMPARED_KINDS, growthOf, LEAST_ANIMALS } from "./growth-figures.ts";
import { type SeasonPair, seasonPairs } from "./season-pair.ts";

export const seasonChangeTable = defineTable({
  schema: "results",
  name: "season_change",
  grain: ["flock", "measure", "season", "group_kind", "group_value", "against", "gait_scale"],
  columns: {
    flock: text.always("flock"),
    measure: text.always(
      "growth (mm per 30 days), lame_on_a_day (share of scores), new_cases (per 100 animal-months)",
    ),
    season: text.always("season"),
    group_kind: text.always("flock, pen, line"),
    group_value: text.always("which of them"),
    against: text.always("previous, year_before"),
    gait_scale: text.always("scale of the scores; empty for growth"),
    difference: number("this season less the other, over all animals of each"),
    lo: number("lower 95 % limit"),
    hi: number("upper 95 % limit"),
    animals_in_both: integer.always("animals with records in both"),
    same_animals_difference: number("the same over these animals alone"),
    same_lo: number("lower 95 % limit"),
    same_hi: number("upper 95 % limit"),
    caution: text("codes"),
  },
  reads: ["results.growth_interval", "exposure.gait_day", "exposure.animal_day_group"],
  identities: [
    {
      says: "limits lie around the difference",
      holds: "lo IS NULL OR (lo <= difference AND difference <= hi)",
    },
  ],
});

export type SeasonChangeRow = RowOf<typeof seasonChangeTable>;

/** Median gaps between scores that differ by more than this share make new cases of two seasons unlike. Project default. */
const MOST_GAP_DIFFERENCE = 0.25;
const LONGEST_GAP_DAYS = 120;
const DAYS_OF_100_ANIMAL_MONTHS = 3000;

/**
 * Each season against the one before and against the year before, over all animals and over the same animals: herds
 * change, and a season of new goats is not a season of better feet.
 */
export const seasonChange: Finding = {
  tables: [seasonChangeTable],
  async fill(context) {
    for (const flock of context.flocks) {
      const { changes } = await growthOf(context, flock);
      await insertRows(
        context.book,
        seasonChangeTable,
        changes.map(({ pair, groupKind, groupValue, animalsInBoth, difference, same }) => ({
          flock: flock.id,
          measure: "growth",
          season: pair.season,
          group_kind: groupKind,
          group_value: groupValue,
          against: pair.against,
          gait_scale: "",
          difference: difference.rate,
          lo: difference.lo,
          hi: difference.hi,
          animals_in_both: animalsInBoth,
          same_animals_difference: same?.rate ?? null,
          same_lo: same?.lo ?? null,
          same_hi: same?.hi ?? null,
          caution: pair.soFar ? code("season_so_far") : null,
        })),
      );
      await insertRows(context.book, seasonChangeTable, await lamenessChanges(context.book, flock));
    }
  },
};

/** One animal's scores in the two seasons of a pair. */
interface BothSeasons {
  readonly pair: number;
  readonly group_kind: string;
  readonly group_value: string;
  readonly gait_scale: string;
  readonly animal: string;
  readonly scores: number;
  readonly lame: number;
  readonly other_scores: number;
  readonly other_lame: number;
  readonly cases: number;
  readonly at_risk: number;
  readonly other_cases: number;
  readonly other_at_risk: number;
  readonly gap: number | null;
  readonly other_gap: number | null;
}

async function lamenessChanges(book: Book, flock: Flock): Promise<SeasonChangeRow[]> {
  const pairs = seasonPairs(flock);
  if (pairs.length === 0) return [];
  const counts = await book.rows<BothSeasons>(countsOfPairs(flock, pairs));
  const groups = new Map<string, BothSeasons[]>();
  for (const count of counts) {
    const key = [count.pair, count.group_kind, count.group_value, count.gait_scale].join("\n");
    const members = groups.get(key);
    if (members) members.push(count);
    else groups.set(key, [count]);
  }
  return [...groups.values()].flatMap((animals) => {
    const { pair, group_kind, group_value, gait_scale } = animals[0]!;
    const { season, against, soFar } = pairs[pair]!;
    const both = animals.filter((one) => one.scores > 0 && one.other_scores > 0);
    const here = animals.filter((one) => one.scores > 0).length;
    const there = animals.filter((one) => one.other_scores > 0).length;
    if (here < LEAST_ANIMALS || there < LEAST_ANIMALS) return [];
    const gaps = gapsApart(animals[0]!);
    const base = {
      flock: flock.id,
      season,
      group_kind,
      group_value,
      against,
      gait_scale,
      animals_in_both: both.length,
    };
    const row = (
      measure: string,
      change: Interval | undefined,
      same: Interval | undefined,
      caution: string | null,
    ): SeasonChangeRow => ({
      ...base,
      measure,
      difference: change?.estimate ?? null,
      lo: change?.lo ?? null,
      hi: change?.hi ?? null,
      same_animals_difference: same?.estimate ?? null,
      same_lo: same?.lo ?? null,
      same_hi: same?.hi ?? null,
      caution: joinCodes([caution, soFar ? code("season_so_far") : null]),
    });
    const enough = both.length >= LEAST_ANIMALS;
    return [
      row("lame_on_a_day", dayChange(animals), enough ? dayChange(both) : undefined, null),
      gaps === null
        ? row("new_cases", caseChange(animals), enough ? caseChange(both) : undefined, null)
        : row("new_cases", undefined, undefined, gaps),
    ];
  });
}

/** Shares of lame scores; the animals that stand in both make the two go together. */
function dayChange(animals: readonly BothSeasons[]): Interval | undefined {
  const own = clusteredProportion(animals.map((one) => ({ successes: one.lame, trials: one.scores })));
  const other = clusteredProportion(
    animals.map((one) => ({ successes: one.other_lame, trials: one.other_scores })),
  );
  if (own === undefined || other === undefined) return undefined;
  return hybridDifference(
    own,
    other,
    correlation(animals, (one) => [
      one.lame - own.estimate * one.scores,
      one.other_lame - other.estimate * one.other_scores,
    ]),
  );
}

function caseChange(animals: readonly BothSeasons[]): Interval | undefined {
  const exposure = (days: number): number => days / DAYS_OF_100_ANIMAL_MONTHS;
  const own = clusteredRate(animals.map((one) => ({ events: one.cases, exposure: exposure(one.at_risk) })));
  const other = clusteredRate(
    animals.map((one) => ({ events: one.other_cases, exposure: exposure(one.other_at_risk) })),
  );
  if (own === undefined || other === undefined) return undefined;
  return hybridDifference(
    own,
    other,
    correlation(animals, (one) => [
      one.cases - own.estimate * exposure(one.at_risk),
      one.other_cases - other.estimate * exposure(one.other_at_risk),
    ]),
  );
}

/** Correlation over animals of their departures from the two seasons' figures: that of the figures themselves. */
function correlation(
  animals: readonly BothSeasons[],
  departures: (one: BothSeasons) => readonly [number, number],
): number {
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (const one of animals) {
    const [x, y] = departures(one);
    xx += x * x;
    yy += y * y;
    xy += x * y;
  }
  return xx > 0 && yy > 0 ? xy / Math.sqrt(xx * yy) : 0;
}

function gapsApart({ gap, other_gap }: BothSeasons): string | null {
  if (gap === null || other_gap === null) return null;
  const apart = Math.abs(gap - other_gap) / Math.max(gap, other_gap);
  return apart > MOST_GAP_DIFFERENCE ? code("gaps_differ", Math.round(gap), Math.round(other_gap)) : null;
}

function countsOfPairs(flock: Flock, pairs: readonly SeasonPair[]): string {
  const day = (n: number): string => `DATE '${isoDay(n)}'`;
  const spans = pairs
    .map(
      ({ own, other }, i) => `(${i}, ${day(own.from)}, ${day(own.to)}, ${day(other.from)}, ${day(other.to)})`,
    )
    .join(", ");
  const kinds = COMPARED_KINDS.map(quoteText).join(", ");
  const both = (what: string, of: string): string => `CAST(${what} FILTER (own${of}) AS INTEGER)`;
  const other = (what: string, of: string): string => `CAST(${what} FILTER (NOT own${of}) AS INTEGER)`;
  return `
    WITH span(pair, own_from, own_to, other_from, other_to) AS (VALUES ${spans}),
    score AS (
      SELECT flock, animal, day, gait_scale, lame, for_cause, lag(lame) OVER a AS was_lame, CAST(day - lag(day) OVER a AS INTEGER) AS gap
      FROM exposure.gait_day WHERE flock = ${quoteText(flock.id)} WINDOW a AS (PARTITION BY animal, gait_scale ORDER BY day)
    ), sided AS (
      SELECT s.*, g.group_kind, g.group_value, p.pair, s.day >= p.own_from AND s.day < p.own_to AS own, coalesce(s.gap <= ${LONGEST_GAP_DAYS}, FALSE) AS near
      FROM score s JOIN span p ON (s.day >= p.own_from AND s.day < p.own_to) OR (s.day >= p.other_from AND s.day < p.other_to)
      JOIN exposure.animal_day_group g ON g.flock = s.flock AND g.animal = s.animal AND g.day = s.day AND g.group_kind IN (${kinds})
    ), gap AS (
      SELECT pair, group_kind, group_value, gait_scale, median(gap) FILTER (own) AS gap, median(gap) FILTER (NOT own) AS other_gap FROM sided GROUP BY ALL
    )
    SELECT CAST(pair AS INTEGER) AS pair, group_kind, group_value, gait_scale, animal,
      ${both("count(*)", " AND NOT for_cause")} AS scores, ${both("count(*)", " AND NOT for_cause AND lame")} AS lame,
      ${other("count(*)", " AND NOT for_cause")} AS other_scores, ${other("count(*)", " AND NOT for_cause AND lame")} AS other_lame,
      ${both("count(*)", " AND near AND lame AND NOT was_lame")} AS cases, coalesce(${both("sum(sided.gap)", " AND near AND NOT was_lame")}, 0) AS at_risk,
      ${other("count(*)", " AND near AND lame AND NOT was_lame")} AS other_cases, coalesce(${other("sum(sided.gap)", " AND near AND NOT was_lame")}, 0) AS other_at_risk,
      CAST(any_value(gap.gap) AS DOUBLE) AS gap, CAST(any_value(gap.other_gap) AS DOUBLE) AS other_gap
    FROM sided JOIN gap USING (pair, group_kind, group_value, gait_scale)
    GROUP BY pair, group_kind, group_value, gait_scale, animal ORDER BY pair, group_kind, group_value, gait_scale, animal`;
}
