import type { Book } from "../book/book.ts";
import { code, joinCodes } from "../records/codes.ts";
import { wilsonInterval } from "../statistics/proportions/proportion-interval.ts";
import {
  type BetweenFlocksRow,
  betweenFlocksRow,
  betweenFlocksTable,
  type FlockFigure,
} from "./between-flocks.ts";
import { coverageTable } from "./coverage.ts";
import { type Finding, insertRows } from "./finding.ts";
import { flockDifferenceRows, flockDifferenceTable } from "./flock-differences.ts";
import { flockProfileTable } from "./flock-profile.ts";
import { gatherRows } from "./gather-rows.ts";
import { type GrowthSummaryRow, growthSummaryTable } from "./growth-summary.ts";
import { lamenessTable } from "./lameness.ts";
import { type LesionRow, lesionTable } from "./lesion.ts";
import { readTable } from "./read-table.ts";
import { recordFlowTable } from "./record-flow.ts";
import { withinFlocksRows, withinFlocksTable } from "./within-flocks.ts";

/**
 * The flocks of a book put together, where it holds several: rows named `all` in the tables that pool (growth, lesions,
 * coverage, profile, flow of records; lameness pools in its own finding), how far the flocks lie apart, and differences
 * within flocks. Counts add up; growth is the mean of the flocks' own figures, each by its animals, and speaks of these
 * flocks only. Fills tables of other findings, each of which appends nothing of that name.
 */
export const pooledFlocks: Finding = {
  tables: [betweenFlocksTable, withinFlocksTable, flockDifferenceTable],
  adds: [growthSummaryTable, lesionTable, coverageTable, flockProfileTable, recordFlowTable],
  async fill({ book, flocks }) {
    if (flocks.length < 2) return;
    const growth = await readTable(book, growthSummaryTable, "group_kind = 'flock'");
    await insertRows(book, growthSummaryTable, pooledGrowth(growth));
    await insertRows(book, lesionTable, await pooledLesions(book));
    await addUpCounts(book);
    await insertRows(book, betweenFlocksTable, [
      ...growthBetween(growth),
      ...(await lamenessBetween(book, "ever_lame")),
      ...(await lamenessBetween(book, "lame_on_a_day")),
    ]);
    await insertRows(book, withinFlocksTable, await withinFlocksRows(book));
    await insertRows(book, flockDifferenceTable, await flockDifferenceRows(book));
  },
};

/** Mean growth over the goats of all flocks; the half-widths of the flocks' intervals add up as errors do. */
export function pooledGrowth(rows: readonly GrowthSummaryRow[]): readonly GrowthSummaryRow[] {
  return [...gatherRows(rows, ({ season }) => season)].flatMap(([season, own]): GrowthSummaryRow[] => {
    const known = own.filter(isKnown);
    if (known.length < 2) return [];
    const animals = known.reduce((sum, row) => sum + row.animals, 0);
    const weighted = (of: (row: Known) => number): number =>
      known.reduce((sum, row) => sum + (row.animals / animals) * of(row), 0);
    const spread = (of: (row: Known) => number): number =>
      Math.sqrt(known.reduce((sum, row) => sum + ((row.animals / animals) * of(row)) ** 2, 0));
    const rate = weighted((row) => row.rate_mm_30d);
    return [
      {
        flock: "all",
        season,
        group_kind: "flock",
        group_value: "all",
        animals,
        intervals: known.reduce((sum, row) => sum + row.intervals, 0),
        rate_mm_30d: rate,
        lo: rate - spread((row) => row.rate_mm_30d - row.lo),
        hi: rate + spread((row) => row.hi - row.rate_mm_30d),
        caution: null,
      },
    ];
  });
}

type Known = GrowthSummaryRow & { readonly rate_mm_30d: number; readonly lo: number; readonly hi: number };

const isKnown = (row: GrowthSummaryRow): row is Known =>
  row.rate_mm_30d !== null && row.lo !== null && row.hi !== null;

const LEAST_EXAMINED = 5;

/** Lesions over the goats examined in any flock: one in which a lesion was never found counts among the examined. */
async function pooledLesions(book: Book): Promise<readonly LesionRow[]> {
  const rows = await book.rows<
    Pick<
      LesionRow,
      "season" | "lesion" | "examined_animals" | "affected_animals" | "suspected" | "unmapped_rows"
    >
  >(`
    WITH seen AS (
      SELECT l.flock, s.season, l.animal, CASE WHEN l.status = 'healed' THEN 'none' ELSE l.lesion END AS lesion,
        coalesce(l.suspected, FALSE) AS suspected, l.lesion = 'other' AND l.status IS DISTINCT FROM 'healed' AND l.lesion_text IS NOT NULL AS unmapped
      FROM herd.lesion l JOIN exposure.season s ON s.flock = l.flock AND l."date" >= s.from_day AND l."date" < s.to_day
    ), examined AS (
      SELECT season, count(DISTINCT (flock, animal)) AS animals FROM seen GROUP BY season HAVING count(DISTINCT flock) > 1
    )
    SELECT season, lesion, CAST(any_value(e.animals) AS INTEGER) AS examined_animals,
      CAST(count(DISTINCT (flock, animal)) FILTER (NOT suspected) AS INTEGER) AS affected_animals,
      CAST(count(DISTINCT (flock, animal)) - count(DISTINCT (flock, animal)) FILTER (NOT suspected) AS INTEGER) AS suspected,
      CAST(count(*) FILTER (unmapped) AS INTEGER) AS unmapped_rows
    FROM seen JOIN examined e USING (season) WHERE lesion <> 'none' GROUP BY season, lesion ORDER BY ALL`);
  return rows.map((row) => {
    const enough = row.examined_animals >= LEAST_EXAMINED;
    const interval = enough ? wilsonInterval(row.affected_animals, row.examined_animals) : undefined;
    return {
      ...row,
      flock: "all",
      group_kind: "flock",
      group_value: "all",
      prevalence: interval?.estimate ?? null,
      lo: interval?.lo ?? null,
      hi: interval?.hi ?? null,
      caution: joinCodes([enough ? null : code("too_few_animals", row.examined_animals, LEAST_EXAMINED)]),
    };
  });
}

/** Counts add up over the flocks. Pens and lines of one name in two flocks are two, so neither is added up. */
async function addUpCounts(book: Book): Promise<void> {
  const sum = (column: string): string => `CAST(sum(${column}) AS INTEGER)`;
  await book.run(`
    INSERT INTO results.coverage
    SELECT 'all', season, 'flock', 'all', ${["present", "looked_at", "trimmed", "measured", "scored", "assumed_sound", "departed", "departed_lame"].map(sum).join(", ")}
    FROM results.coverage WHERE group_kind = 'flock' GROUP BY season HAVING count(*) > 1 ORDER BY season;
    INSERT INTO results.flock_profile
    SELECT 'all', season, trait, value, ${sum("animals")} FROM results.flock_profile
    WHERE trait NOT IN ('pen', 'line') AND season IN (SELECT season FROM results.flock_profile GROUP BY season HAVING count(DISTINCT flock) > 1)
    GROUP BY season, trait, value ORDER BY ALL;
    INSERT INTO results.record_flow
    SELECT 'all', season, step, ${sum('"rows"')}, ${sum("animals")} FROM results.record_flow
    WHERE season IN (SELECT season FROM results.record_flow GROUP BY season HAVING count(DISTINCT flock) > 1)
    GROUP BY season, step ORDER BY ALL`);
}

function growthBetween(rows: readonly GrowthSummaryRow[]): readonly BetweenFlocksRow[] {
  return [...gatherRows(rows.filter(isKnown), ({ season }) => season)].flatMap(([season, own]) =>
    own.length < 2
      ? []
      : [
          betweenFlocksRow(
            { flock: "all", season, measure: "growth", gait_scale: "" },
            own.map(({ rate_mm_30d: value, lo, hi }) => ({ value, lo, hi })),
            false,
          ),
        ],
  );
}

const lamenessFigures = {
  ever_lame: ["prevalence", "lo", "hi"],
  lame_on_a_day: ["point_prevalence", "point_lo", "point_hi"],
} as const;

/** Flocks of one scale and mark; other scales have rows of their own. */
async function lamenessBetween(
  book: Book,
  measure: keyof typeof lamenessFigures,
): Promise<readonly BetweenFlocksRow[]> {
  const [value, lo, hi] = lamenessFigures[measure];
  const rows = await readTable(book, lamenessTable, `group_kind = 'flock' AND ${value} IS NOT NULL`);
  const marks = new Map(
    rows
      .filter(({ flock }) => flock === "all")
      .map((row) => [`${row.season}\n${row.gait_scale}`, row.lame_from] as const),
  );
  const shared = rows.filter(
    (row) => row.flock !== "all" && marks.get(`${row.season}\n${row.gait_scale}`) === row.lame_from,
  );
  return [...gatherRows(shared, (row) => `${row.season}\n${row.gait_scale}`).values()].flatMap((own) =>
    own.length < 2
      ? []
      : [
          betweenFlocksRow(
            { flock: "all", season: own[0]!.season, measure, gait_scale: own[0]!.gait_scale },
            own.map((row): FlockFigure => ({ value: row[value]!, lo: row[lo]!, hi: row[hi]! })),
            true,
          ),
        ],
  );
}
