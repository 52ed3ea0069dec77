import type { DayNumber } from "../../records/days.ts";
import type { SeasonPageInput } from "../season-page-input.ts";

/** The days that a history shows. */
export interface HistoryWindow {
  readonly from: DayNumber;
  /** The last day shown. */
  readonly to: DayNumber;
}

/** Days before a season's end that a history goes back: two years. Project default. */
const SHOWN_DAYS = 730;

/** From two years back, or the flock's first season, to the season's last day or the day the pages speak of. */
export function historyWindow({ season, seasons, today }: SeasonPageInput): HistoryWindow {
  const to = Math.max(season.from + 1, Math.min(season.to - 1, today));
  return { from: Math.max(seasons[0]?.from ?? season.from, to - SHOWN_DAYS), to };
}

export function isWithin(day: DayNumber, { from, to }: HistoryWindow): boolean {
  return day >= from && day <= to;
}
