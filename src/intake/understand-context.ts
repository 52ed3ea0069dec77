import type { Settings } from "../records/settings.ts";

/** What else is known while a worksheet is read. */
export interface UnderstandContext {
  readonly settings: Settings;
  /** Tags of the animals sheet; null when there is none (yet). */
  readonly knownAnimals: ReadonlySet<string> | null;
  readonly worksheetsInFile: number;
}
