import { calendarDay, type DayNumber, dayNumber } from "./days.ts";

/** A season of the year by the day on which it starts, as `MM-DD`. */
export interface Season {
  readonly name: string;
  readonly starts: string;
}

/** One season of one year: `2024-spring`, from its first day to the first day of the next. */
export interface SeasonSpan {
  readonly id: string;
  readonly name: string;
  readonly year: number;
  readonly from: DayNumber;
  /** The first day that no longer counts. */
  readonly to: DayNumber;
}

/** Meteorological seasons, common practice, no source. */
const northern: readonly Season[] = [
  { name: "spring", starts: "03-01" },
  { name: "summer", starts: "06-01" },
  { name: "autumn", starts: "09-01" },
  { name: "winter", starts: "12-01" },
];

const southern: readonly Season[] = [
  { name: "autumn", starts: "03-01" },
  { name: "winter", starts: "06-01" },
  { name: "spring", starts: "09-01" },
  { name: "summer", starts: "12-01" },
];

/** Seasons by the months of a hemisphere; northern when the latitude is not known. */
export function seasonsOfHemisphere(latitude: number | null): readonly Season[] {
  return latitude !== null && latitude < 0 ? southern : northern;
}

/**
 * The seasons that touch the days `first` to `last` (both counted), in order. A season takes the year in
 * which it starts.
 */
export function seasonSpans(
  seasons: readonly Season[],
  first: DayNumber,
  last: DayNumber,
): readonly SeasonSpan[] {
  const starts: { name: string; year: number; from: DayNumber }[] = [];
  for (let year = calendarDay(first).year - 1; year <= calendarDay(last).year + 1; year++) {
    for (const season of seasons) {
      const [month, day] = season.starts.split("-").map(Number);
      const from = dayNumber(year, month!, day!) ?? dayNumber(year, month!, day! - 1);
      if (from !== null) starts.push({ name: season.name, year, from });
    }
  }
  starts.sort((a, b) => a.from - b.from);
  return starts
    .map((start, i) => ({
      ...start,
      id: `${start.year}-${seasonSlug(start.name)}`,
      to: starts[i + 1]?.from ?? start.from + 366,
    }))
    .filter((span) => span.to > first && span.from <= last);
}

/** A season's name as its ids and folders hold it: anything but letters and digits becomes a dash. */
export function seasonSlug(name: string): string {
  return name
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, "-")
    .replace(/^-|-$/g, "");
}
