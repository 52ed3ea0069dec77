import type { Book } from "../../book/book.ts";
import { quoteText } from "../../book/book.ts";
import { readWindows, type WindowsOf } from "./exposure-windows.ts";
import { layOutRows } from "./lay-out-rows.ts";
import { mapExposures, type OutcomeRows, selectRows } from "./outcome-rows.ts";

/** Days before a score over which exposures are meaned, and the windows that check it. */
export const LAG_DAYS = 28;
const OTHER_LAGS = [14, 56];
/** Longest gap between two scores of which a new case is told: as for new cases seen. */
const LONGEST_GAP_DAYS = 120;

export interface GaitOutcomes {
  /** Every score that was not for cause; null without any. */
  readonly lame: OutcomeRows | null;
  /**
   * Pairs of successive scores of one scale, the first not lame, at most 120 days apart: newly lame or not at the
   * second, with the log of the months between as offset. null without any.
   */
  readonly newLameness: OutcomeRows | null;
}

/** Gait scores as rows of two outcomes. Scores of a goat whose pen is not known that day are left out. */
export async function readGaitOutcomes(book: Book, flocks: readonly string[]): Promise<GaitOutcomes> {
  await book.run(`
    CREATE OR REPLACE TEMP TABLE association_row AS
    WITH score AS (
      SELECT *, lag(lame) OVER pair AS was_lame, CAST(day - lag(day) OVER pair AS INTEGER) AS gap_days FROM exposure.gait_day
      WHERE flock IN (${flocks.map(quoteText).join(", ")}) WINDOW pair AS (PARTITION BY flock, animal, gait_scale ORDER BY day)
    )
    SELECT row_number() OVER (ORDER BY s.flock, s.animal, s.day, s.gait_scale) - 1 AS row_no, s.flock, s.animal, s.day, s.pen, s.gait_scale, s.lame,
      NOT s.for_cause AS in_lame, coalesce(NOT s.was_lame AND s.gap_days <= ${LONGEST_GAP_DAYS}, FALSE) AS in_new, s.gap_days, d.age_band, d.class
    FROM score s JOIN exposure.animal_day d USING (flock, animal, day) WHERE s.pen IS NOT NULL`);
  const heads = await book.columns(
    `SELECT flock, animal, day_no(day) AS day, gait_scale, CAST(lame AS INTEGER) AS lame, CAST(gap_days AS DOUBLE) AS gap_days, in_lame, in_new
     FROM association_row ORDER BY row_no`,
  );
  const count = heads.rowCount;
  if (count === 0) return { lame: null, newLameness: null };
  const pieces = await book.columns(
    `SELECT CAST(row_no AS INTEGER) AS row_no, pen, day_no(date_trunc('month', day)) AS month, age_band, class, 1 AS days FROM association_row ORDER BY row_no`,
  );
  const day = heads.number("day");
  const offset = heads.number("gap_days").map((days) => Math.log(days / 30));
  const laidOut = await layOutRows(
    book,
    {
      count,
      flock: heads.text("flock") as readonly string[],
      animal: heads.text("animal") as readonly string[],
      from: day,
      to: day.map((one) => one + 1),
      outcome: heads.number("lame"),
      offset: null,
      readingVariance: null,
      measuredBy: heads.text("gait_scale") as readonly string[],
    },
    pieces,
  );
  const rows: OutcomeRows = { ...laidOut, ...(await readExposures(book, count)) };
  const picked = (from: OutcomeRows, name: string): OutcomeRows | null => {
    const chosen = heads.flag(name);
    const at = Int32Array.from([...chosen.keys()].filter((i) => chosen[i] === true));
    return at.length === 0 ? null : at.length === count ? from : selectRows(from, at);
  };
  return { lame: picked(rows, "in_lame"), newLameness: picked({ ...rows, offset }, "in_new") };
}

async function readExposures(
  book: Book,
  count: number,
): Promise<Pick<OutcomeRows, "exposed" | "control" | "otherLags">> {
  const followed = (lag: number): Promise<WindowsOf> =>
    readWindows(
      book,
      `SELECT r.row_no, p.flock, p.pen, greatest(p.from_day, r.day - ${lag}) AS a, least(p.to_day, r.day) AS b
       FROM association_row r JOIN exposure.animal_pen p ON p.flock = r.flock AND p.animal = r.animal
         AND p.from_day < r.day AND p.to_day > r.day - ${lag}`,
      count,
    );
  const ofPen = (from: number, to: number): Promise<WindowsOf> =>
    readWindows(
      book,
      `SELECT row_no, flock, pen, day + (${from}) AS a, day + (${to}) AS b FROM association_row`,
      count,
    );
  const before = exposedBy(await ofPen(-LAG_DAYS, 0));
  const after = exposedBy(await ofPen(1, LAG_DAYS + 1));
  const otherLags = new Map<number, OutcomeRows["exposed"]>();
  for (const lag of OTHER_LAGS) otherLags.set(lag, exposedBy(await followed(lag)));
  return {
    exposed: exposedBy(await followed(LAG_DAYS)),
    control: mapExposures(before, ({ within }, id) => ({ before: within, after: after[id].within })),
    otherLags,
  };
}

function exposedBy(windows: WindowsOf): OutcomeRows["exposed"] {
  return mapExposures(windows, ({ mean, between }) => ({
    mean,
    within: mean.map((value, i) => value - between[i]!),
  }));
}
