import type { Book } from "../book/book.ts";
import { quoteText } from "../book/book.ts";
import { type DayNumber, isoDay } from "../records/days.ts";
import type { Flock } from "../records/flock.ts";
import { seasonSpans, seasonsOfHemisphere } from "../records/seasons.ts";
import type { Settings } from "../records/settings.ts";

/** Things done by somebody on a day; what was only planned or measured by a device says nothing of today. */
const DONE = ["claw_record", "gait", "round", "lesion", "treatment", "ground"] as const;

/**
 * Reads the flocks of the book that hold any record of a thing done. Today is the last such day, never
 * later than `calendarDay`, unless `on` names another.
 */
export async function readFlocks(
  book: Book,
  calendarDay: DayNumber,
  on: DayNumber | null,
): Promise<readonly Flock[]> {
  const done = DONE.map((table) => `SELECT flock, "date" FROM herd.${table}`).join(" UNION ALL ");
  const rows = await book.rows<{
    flock: string;
    name: string | null;
    settings: string;
    first: number;
    last: number;
  }>(
    `SELECT f.flock, f.name, f.settings, day_no(min(d."date")) AS first, day_no(max(d."date")) AS last
     FROM herd.flock f JOIN (${done}) d USING (flock)
     WHERE day_no(d."date") <= ${calendarDay}
     GROUP BY ALL ORDER BY f.flock`,
  );
  return rows.map((row) => {
    const settings = JSON.parse(row.settings) as Settings;
    const today = on ?? row.last;
    const seasons = settings.seasons ?? seasonsOfHemisphere(settings.latitude ?? null);
    return {
      id: row.flock,
      name: row.name ?? row.flock,
      settings,
      firstDay: row.first,
      today,
      seasons: seasonSpans(seasons, row.first, today),
    };
  });
}

/**
 * Fills `exposure.flock` (one row a flock) and `exposure.season` (one row a flock and season, and one named
 * `all`), so that statements can join the flock's own marks and seasons.
 */
export async function fillFlocks(book: Book, flocks: readonly Flock[]): Promise<void> {
  await book.run(`
    CREATE OR REPLACE TABLE exposure.flock (flock VARCHAR, first_day DATE, today DATE, trim_to_mm DOUBLE, retrim_at_mm DOUBLE,
      check_from_days INTEGER, check_by_days INTEGER, case_gap_days INTEGER);
    CREATE OR REPLACE TABLE exposure.season (flock VARCHAR, season VARCHAR, from_day DATE, to_day DATE, so_far BOOLEAN)`);
  for (const flock of flocks) {
    const { settings } = flock;
    const [leastWeeks, mostWeeks] = settings.check_weeks;
    await book.run(`INSERT INTO exposure.flock VALUES (${quoteText(flock.id)}, DATE '${isoDay(flock.firstDay)}', DATE '${isoDay(flock.today)}',
      ${settings.trim_to_mm}, ${settings.retrim_at_mm}, ${Math.round(leastWeeks * 7)}, ${Math.round(mostWeeks * 7)}, ${settings.case_gap_days})`);
    const spans = [
      ...flock.seasons.map((span) => ({ ...span, soFar: span.to > flock.today })),
      { id: "all", from: flock.firstDay, to: flock.today + 1, soFar: false },
    ];
    await book.run(
      `INSERT INTO exposure.season VALUES ${spans
        .map(
          (span) =>
            `(${quoteText(flock.id)}, ${quoteText(span.id)}, DATE '${isoDay(span.from)}', DATE '${isoDay(span.to)}', ${span.soFar})`,
        )
        .join(", ")}`,
    );
  }
}
