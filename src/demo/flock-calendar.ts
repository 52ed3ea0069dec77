import { calendarDay, type DayNumber, dayOfYear, daysInMonth } from "../records/days.ts";

/**
 * The days an invented flock lives through. Exposures start `lead` days before the first record, so that the
 * weeks before it are known too. Positions on the axis count from `first`.
 */
export interface FlockCalendar {
  readonly first: DayNumber;
  /** Position of the first day on which something is recorded. */
  readonly lead: number;
  readonly length: number;
  /** Month of each day, counted from the first day's month. */
  readonly month: Int16Array;
  readonly months: number;
  /** `2024-03` for each month. */
  readonly monthNames: readonly string[];
  /** Angle of each day in its year, radians; 0 on the warmest day. */
  readonly yearAngle: Float64Array;
}

const LEAD_DAYS = 60;
const WARMEST_DAY_OF_YEAR = 200;

export function flockCalendar(start: DayNumber, days: number): FlockCalendar {
  const first = start - LEAD_DAYS;
  const length = days + LEAD_DAYS;
  const month = new Int16Array(length);
  const yearAngle = new Float64Array(length);
  const monthNames: string[] = [];
  const firstDayOfYear = dayOfYear(first);
  for (let d = 0; d < length; d++) {
    yearAngle[d] = (2 * Math.PI * (firstDayOfYear + d - WARMEST_DAY_OF_YEAR)) / 365.25;
  }
  let d = 0;
  while (d < length) {
    const { year, month: monthOfYear, day } = calendarDay(first + d);
    const end = Math.min(length, d - day + 1 + daysInMonth(year, monthOfYear));
    month.fill(monthNames.length, d, end);
    monthNames.push(`${year}-${String(monthOfYear).padStart(2, "0")}`);
    d = end;
  }
  return { first, lead: LEAD_DAYS, length, month, months: monthNames.length, monthNames, yearAngle };
}
