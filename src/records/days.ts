/**
 * Days as whole numbers since 1970-01-01, in the proleptic Gregorian calendar and without a time zone:
 * a trim happened on a day, not at an instant.
 */
export type DayNumber = number;

const MILLISECONDS_A_DAY = 86_400_000;

export interface CalendarDay {
  readonly year: number;
  /** 1 to 12 */
  readonly month: number;
  /** 1 to 31 */
  readonly day: number;
}

/** The day number of a calendar day, or null when that month has no such day. */
export function dayNumber(year: number, month: number, day: number): DayNumber | null {
  if (
    !Number.isInteger(year) ||
    !(month >= 1 && month <= 12) ||
    !(day >= 1 && day <= daysInMonth(year, month))
  ) {
    return null;
  }
  const instant = new Date(0);
  instant.setUTCFullYear(year, month - 1, day);
  return Math.round(instant.getTime() / MILLISECONDS_A_DAY);
}

export function calendarDay(day: DayNumber): CalendarDay {
  const instant = new Date(day * MILLISECONDS_A_DAY);
  return { year: instant.getUTCFullYear(), month: instant.getUTCMonth() + 1, day: instant.getUTCDate() };
}

export function daysInMonth(year: number, month: number): number {
  const instant = new Date(0);
  instant.setUTCFullYear(year, month, 0);
  return instant.getUTCDate();
}

/** `2024-03-09` */
export function isoDay(day: DayNumber): string {
  return new Date(day * MILLISECONDS_A_DAY).toISOString().slice(0, 10);
}

/** The day number of an ISO date, or null when the text is not one. */
export function parseIsoDay(text: string): DayNumber | null {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  return match ? dayNumber(Number(match[1]), Number(match[2]), Number(match[3])) : null;
}

/** Day of the year, 1 to 366. */
export function dayOfYear(day: DayNumber): number {
  const { year } = calendarDay(day);
  return day - (dayNumber(year, 1, 1) ?? day) + 1;
}
