import { calendarDay } from "../records/days.ts";
import { defineTable, flag, integer, number, type RowOf, text } from "../records/table.ts";
import { pChart } from "../statistics/control-charts/p-chart.ts";
import { type Finding, insertRows } from "./finding.ts";
import { readWatchedScores, type WatchedScore } from "./watched-scores.ts";

export const monthWatchTable = defineTable({
  schema: "results",
  name: "month_watch",
  grain: ["flock", "pen", "month", "gait_scale"],
  columns: {
    flock: text.always("flock"),
    pen: text.always("pen"),
    month: text.always("calendar month, such as 2024-03"),
    gait_scale: text.always("scale of the scores; scales are never mixed"),
    scored: integer.always("scores, those for cause apart"),
    lame: integer.always("of these, lame"),
    expected: number("lame scores expected from the season before; missing: it tells too little"),
    centre: number("expected share"),
    lower_limit: number("three standard errors below the centre, for this number of scores"),
    upper_limit: number("three standard errors above"),
    outside: flag.always("the share lies beyond a limit"),
  },
  reads: ["exposure.gait_day"],
  identities: [
    { says: "no more lame than scored", holds: "lame <= scored" },
    {
      says: "limits lie around the centre",
      holds: "centre IS NULL OR (lower_limit <= centre AND centre <= upper_limit)",
    },
  ],
});

export type MonthWatchRow = RowOf<typeof monthWatchTable>;

/** Lame scores of each pen month by month against the season before: a chart of proportions with limits that vary with their number. */
export const monthWatch: Finding = {
  tables: [monthWatchTable],
  async fill({ book, flocks }) {
    for (const flock of flocks) {
      const months = new Map<string, WatchedScore[]>();
      for (const score of await readWatchedScores(book, flock)) {
        const key = [score.pen, score.gaitScale, monthOf(score.day)].join("\n");
        const own = months.get(key);
        if (own) own.push(score);
        else months.set(key, [score]);
      }
      await insertRows(
        book,
        monthWatchTable,
        [...months.values()].map((own) => monthRow(flock.id, own)),
      );
    }
  },
};

function monthRow(flock: string, scores: readonly WatchedScore[]): MonthWatchRow {
  const { pen, gaitScale, day } = scores[0]!;
  const lame = scores.filter((score) => score.lame).length;
  const base = { flock, pen, month: monthOf(day), gait_scale: gaitScale, scored: scores.length, lame };
  const known = scores.every(({ expected }) => expected !== null);
  if (!known)
    return { ...base, expected: null, centre: null, lower_limit: null, upper_limit: null, outside: false };
  const expected = scores.reduce((sum, score) => sum + score.expected!, 0);
  const centre = expected / scores.length;
  const point = pChart([{ events: lame, counted: scores.length }], centre)!.points[0]!;
  return {
    ...base,
    expected,
    centre,
    lower_limit: point.lowerLimit,
    upper_limit: point.upperLimit,
    outside: point.outside !== "no",
  };
}

function monthOf(day: number): string {
  const { year, month } = calendarDay(day);
  return `${year}-${String(month).padStart(2, "0")}`;
}
