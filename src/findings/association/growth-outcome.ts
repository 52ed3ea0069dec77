import type { Book } from "../../book/book.ts";
import { quoteText } from "../../book/book.ts";
import { MODELLED, READING_SD } from "../growth-interval.ts";
import { readWindows } from "./exposure-windows.ts";
import { layOutRows } from "./lay-out-rows.ts";
import { mapExposures, type OutcomeRows } from "./outcome-rows.ts";

/** Days after an interval whose exposure can have had no part in it. */
const CONTROL_DAYS = 28;

/**
 * Growth of every interval of an animal, mm per 30 days: the mean of its claws, each less what its place (foot, claw)
 * usually differs by, so that the animal's one interval is one row. Rows without a known pen are left out. null
 * without rows.
 */
export async function readGrowthOutcome(book: Book, flocks: readonly string[]): Promise<OutcomeRows | null> {
  const ofFlocks = `flock IN (${flocks.map(quoteText).join(", ")})`;
  await book.run(`
    CREATE OR REPLACE TEMP TABLE association_row AS
    WITH claw AS (
      SELECT *, count(*) OVER (PARTITION BY flock, animal, date_from, date_to, basis) AS alike
      FROM results.growth_interval WHERE ${ofFlocks} AND ${MODELLED}
    ), main AS (
      SELECT *, first(basis) OVER (PARTITION BY flock, animal, date_from, date_to ORDER BY alike DESC, basis) AS main_basis FROM claw
    ), centred AS (
      SELECT *, rate_mm_30d - avg(rate_mm_30d) OVER one AS off, count(*) OVER one AS claws
      FROM main WHERE basis = main_basis WINDOW one AS (PARTITION BY flock, animal, date_from, date_to)
    ), place AS (
      SELECT flock, foot, claw, avg(off) AS shift FROM centred WHERE claws >= 2 GROUP BY flock, foot, claw
    ), span AS (
      SELECT flock, animal, date_from, date_to, any_value(days) AS days, any_value(basis) AS basis, count(*) AS claws,
        avg(rate_mm_30d - coalesce(shift, 0)) AS rate
      FROM centred LEFT JOIN place USING (flock, foot, claw) GROUP BY flock, animal, date_from, date_to
    )
    SELECT row_number() OVER (ORDER BY s.flock, s.animal, s.date_from, s.date_to) - 1 AS row_no, s.*,
      2 * coalesce(e.technical_error_mm, ${READING_SD}) ** 2 / claws / (days / 30) ** 2 AS reading_variance
    FROM span s LEFT JOIN results.measurement_error e ON e.flock = s.flock AND e.measure = s.basis AND e.measurer = 'all'
    WHERE EXISTS (SELECT 1 FROM exposure.animal_stretch t WHERE t.flock = s.flock AND t.animal = s.animal AND t.pen IS NOT NULL
      AND t.from_day < s.date_to AND t.to_day > s.date_from);

    CREATE OR REPLACE TEMP TABLE association_piece AS
    SELECT r.row_no, r.flock, t.pen, t.month, t.age_band, t.class, greatest(t.from_day, r.date_from) AS a, least(t.to_day, r.date_to) AS b
    FROM association_row r JOIN exposure.animal_stretch t ON t.flock = r.flock AND t.animal = r.animal
      AND t.from_day < r.date_to AND t.to_day > r.date_from
    WHERE t.pen IS NOT NULL`);
  const heads = await book.columns(
    `SELECT flock, animal, day_no(date_from) AS from_day, day_no(date_to) AS to_day, CAST(rate AS DOUBLE) AS rate, basis,
       CAST(reading_variance AS DOUBLE) AS reading_variance
     FROM association_row ORDER BY row_no`,
  );
  const count = heads.rowCount;
  if (count === 0) return null;
  const pieces = await book.columns(
    `SELECT CAST(row_no AS INTEGER) AS row_no, pen, day_no(month) AS month, age_band, class, CAST(b - a AS INTEGER) AS days
     FROM association_piece ORDER BY row_no, a`,
  );
  const rows = await layOutRows(
    book,
    {
      count,
      flock: heads.text("flock") as readonly string[],
      animal: heads.text("animal") as readonly string[],
      from: heads.number("from_day"),
      to: heads.number("to_day"),
      outcome: heads.number("rate"),
      offset: null,
      readingVariance: heads.number("reading_variance"),
      measuredBy: heads.text("basis") as readonly string[],
    },
    pieces,
  );
  const interval = await readWindows(book, "SELECT row_no, flock, pen, a, b FROM association_piece", count);
  const after = await readWindows(
    book,
    `SELECT row_no, flock, last(pen ORDER BY a) AS pen, max(b) + 1 AS a, max(b) + ${1 + CONTROL_DAYS} AS b
     FROM association_piece GROUP BY row_no, flock`,
    count,
  );
  const within = mapExposures(interval, ({ mean, between }) => mean.map((value, i) => value - between[i]!));
  return {
    ...rows,
    exposed: mapExposures(interval, ({ mean }, id) => ({ mean, within: within[id] })),
    control: mapExposures(after, ({ mean, between }, id) => ({
      before: within[id],
      after: mean.map((value, i) => value - between[i]!),
    })),
    otherLags: new Map(),
  };
}
