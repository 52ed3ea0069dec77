import type { DayNumber } from "./days.ts";
import type { SeasonSpan } from "./seasons.ts";
import type { Settings } from "./settings.ts";

/** One flock of the book: what it says of itself, its days and its seasons. */
export interface Flock {
  readonly id: string;
  readonly name: string;
  readonly settings: Settings;
  /** The first and the last day on which anything was done: trims, gaits, rounds, lesions, treatments, ground. */
  readonly firstDay: DayNumber;
  /** The day the flock's figures speak of. */
  readonly today: DayNumber;
  readonly seasons: readonly SeasonSpan[];
}
