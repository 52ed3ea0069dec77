import type { SeasonFindings } from "../findings/season-findings.ts";
import type { DayNumber } from "../records/days.ts";
import type { GaitScaleId } from "../records/gait-scales.ts";
import type { Language } from "../records/language.ts";
import type { LengthUnit } from "./length-units.ts";

export const readers = ["breeder", "extension", "vet"] as const;
export type Reader = (typeof readers)[number];

/** The sum of records behind a page. */
export interface RecordSum {
  readonly read: number;
  readonly taken: number;
  readonly setAside: number;
  readonly repeats: number;
}

/** What a page of one flock and season is made from, besides the reader it is for. */
export interface SeasonPageInput {
  readonly flock: {
    readonly id: string;
    readonly name: string;
    readonly unit: LengthUnit;
    readonly trimToMm: number;
    readonly retrimAtMm: number;
    readonly checkWeeks: readonly [number, number];
    readonly gaitScale: GaitScaleId | null;
    readonly namePeople: boolean;
    readonly sheepToo: boolean;
    readonly latitudeKnown: boolean;
  };
  readonly season: {
    readonly id: string;
    readonly from: DayNumber;
    /** The first day that no longer counts. */
    readonly to: DayNumber;
    readonly soFar: boolean;
  };
  /** The day the page speaks of. */
  readonly today: DayNumber;
  readonly lastRecord: DayNumber;
  readonly language: Language;
  readonly records: RecordSum;
  readonly scorers: readonly string[];
  /** Remarks and lesions that raise the notifiable-disease question, each naming its row. */
  readonly notifiable: readonly { readonly where: string; readonly says: string }[];
  /** Treatments recorded, with the last day on which a withdrawal is recorded as running. */
  readonly treatments: {
    readonly count: number;
    readonly withoutWithdrawal: number;
    readonly milkUntil: DayNumber | null;
    readonly meatUntil: DayNumber | null;
  };
  readonly footbathNamed: boolean;
  /** Whether any copper figure stands on the page. */
  readonly copperShown: boolean;
  readonly findings: SeasonFindings;
  readonly version: string;
}
