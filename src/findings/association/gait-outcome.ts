import type { Book } from "../../book/book.ts";
import { quoteText } from "../../book/book.ts";
import { readWindows, type WindowsOf } from "./exposure-windows.ts";
import { layOutRows } from "./lay-out-rows.ts";
import { mapExposures, type OutcomeRows } from "./outcome-rows.ts";

/** Days before a score over which exposures are meaned, and the windows that check it. */
export const LAG_DAYS = 28;
export const OTHER_LAGS = [14, 56] as const;
/** Longest gap between two scores of which a new case is told: as for new cases seen. */
const LONGEST_GAP_DAYS = 120;

/**
 * Gait scores as rows. `lame`: every score that was not for cause. `new_lameness`: pairs of successive scores of one
 * scale, the first not lame, at most 120 days apart; the log of the months between is the offset. Rows without a known
 * pen are left out. null without rows.
 */
export async function readGaitOutcome(
  book: Book,
  flocks: readonly string[],
  outcome: "lame" | "new_lameness",
): Promise<OutcomeRows | null> {
  const ofFlocks = `flock IN (${flocks.map(quoteText).join(", ")})`;
  const scores =
    outcome === "lame"
      ? `SELECT *, 30 AS gap_days FROM exposure.gait_day WHERE ${ofFlocks} AND NOT for_cause`
      : `SELECT * FROM (
           SELECT *, lag(lame) OVER pair AS was_lame, CAST(day - lag(day) OVER pair AS INTEGER) AS gap_days FROM exposure.gait_day
           WHERE ${ofFlocks} WINDOW pair AS (PARTITION BY flock, animal, gait_scale ORDER BY day)
         ) WHERE NOT was_lame AND gap_days <= ${LONGEST_GAP_DAYS}`;
  await book.run(`
    CREATE OR REPLACE TEMP TABLE association_row AS
    SELECT row_number() OVER (ORDER BY s.flock, s.animal, s.day, s.gait_scale) - 1 AS row_no, s.flock, s.animal, s.day, s.pen, s.gait_scale, s.lame,
      s.gap_days, d.age_band, d.class
    FROM (${scores}) s JOIN exposure.animal_day d USING (flock, animal, day) WHERE s.pen IS NOT NULL`);
  const heads = await book.columns(
    `SELECT flock, animal, day_no(day) AS day, gait_scale, CAST(lame AS INTEGER) AS lame, CAST(gap_days AS DOUBLE) AS gap_days
     FROM association_row ORDER BY row_no`,
  );
  const count = heads.rowCount;
  if (count === 0) return null;
  const pieces = await book.columns(
    `SELECT CAST(row_no AS INTEGER) AS row_no, pen, day_no(date_trunc('month', day)) AS month, age_band, class, 1 AS days FROM association_row ORDER BY row_no`,
  );
  const day = heads.number("day");
  const rows = await layOutRows(
    book,
    {
      count,
      flock: heads.text("flock") as readonly string[],
      animal: heads.text("animal") as readonly string[],
      from: day,
      to: day.map((one) => one + 1),
      outcome: heads.number("lame"),
      offset: outcome === "lame" ? null : heads.number("gap_days").map((days) => Math.log(days / 30)),
      readingVariance: null,
      measuredBy: heads.text("gait_scale") as readonly string[],
    },
    pieces,
  );
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
  const main = exposedBy(await followed(LAG_DAYS));
  const before = exposedBy(await ofPen(-LAG_DAYS, 0));
  const after = exposedBy(await ofPen(1, LAG_DAYS + 1));
  const otherLags = new Map<number, OutcomeRows["exposed"]>();
  for (const lag of OTHER_LAGS) otherLags.set(lag, exposedBy(await followed(lag)));
  return {
    ...rows,
    exposed: main,
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
