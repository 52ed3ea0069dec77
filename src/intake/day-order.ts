import { type DayOrder, dayParts } from "./read-day.ts";

/** What the dates of one column show of the order in which day and month stand. */
export interface DayEvidence {
  /** Cells that make sense only with the day first, and only with the month first. */
  dayFirst: number;
  monthFirst: number;
  /** Cells that read both ways as two different days, and the first of them. */
  bothWays: number;
  sample: string | null;
  /** Cells that name the year first or the month by name. */
  plain: number;
  /** Of these, cells of numbers alone whose day is 12 or less, and past it. */
  plainLow: number;
  plainHigh: number;
  /** Two-digit numbers in first and last place, to tell years from days. */
  readonly firsts: Set<number>;
  readonly lasts: Set<number>;
}

export function noEvidence(): DayEvidence {
  return {
    dayFirst: 0,
    monthFirst: 0,
    bothWays: 0,
    sample: null,
    plain: 0,
    plainLow: 0,
    plainHigh: 0,
    firsts: new Set(),
    lasts: new Set(),
  };
}

/** Adds what one date cell shows. */
export function addDayEvidence(evidence: DayEvidence, text: string): void {
  const parts = dayParts(text);
  if (parts === null) return;
  if (parts.form !== "numbers") {
    evidence.plain++;
    if (parts.form === "known" && /^\d{4}-/.test(text)) {
      if (parts.day <= 12) evidence.plainLow++;
      else evidence.plainHigh++;
    }
    return;
  }
  const { first, second, digits } = parts;
  if (digits === 2) {
    evidence.firsts.add(first);
    evidence.lasts.add(parts.last);
  }
  if (first > 12 && second <= 12) evidence.dayFirst++;
  else if (second > 12 && first <= 12) evidence.monthFirst++;
  else if (parts.dots) evidence.plain++;
  else if (first !== second) {
    evidence.bothWays++;
    evidence.sample ??= text;
  }
}

/**
 * Whether a spreadsheet of another country opened this column: it turns into dates, day and month swapped,
 * what it can read (days up to 12), and leaves the rest as text.
 */
export function halfConverted({ dayFirst, monthFirst, bothWays, plainLow, plainHigh }: DayEvidence): boolean {
  const text = dayFirst + monthFirst;
  return bothWays === 0 && plainHigh === 0 && plainLow >= FEWEST_OF_EACH && text >= FEWEST_OF_EACH;
}

/** So few of each by chance is seldom: two in five days of a month are up to the 12th. */
const FEWEST_OF_EACH = 3;

export type SettledOrder =
  | { readonly order: DayOrder | null }
  /** Every date of the column reads both ways and the settings do not say. */
  | { readonly question: string };

/**
 * Settles the order of a column: a value above 12 does, else the settings, else nothing does. Where cells
 * contradict each other no order holds, and each cell that reads both ways is set aside on its own.
 */
export function settleDayOrder(evidence: DayEvidence, dayFirst: boolean | null): SettledOrder {
  const { dayFirst: dayCells, monthFirst: monthCells, bothWays } = evidence;
  if (dayFirst === null && looksYearFirst(evidence)) return { question: evidence.sample ?? "" };
  if (dayCells > 0 && monthCells === 0) return { order: "day_first" };
  if (monthCells > 0 && dayCells === 0) return { order: "month_first" };
  if (dayCells > 0 && monthCells > 0) return { order: null };
  if (dayFirst !== null) return { order: dayFirst ? "day_first" : "month_first" };
  if (bothWays > 0) return { question: evidence.sample ?? "" };
  return { order: evidence.plain > 0 ? "year_first" : null };
}

/**
 * Two-digit triples whose last numbers run far while the first hardly do are years followed by days
 * (`24-03-09`), which as day-month-year would scatter over decades.
 */
function looksYearFirst({ firsts, lasts }: DayEvidence): boolean {
  if (lasts.size < 4) return false;
  return firsts.size * 2 < lasts.size && Math.max(...lasts) - Math.min(...lasts) > 10;
}
