import type { DayNumber } from "../records/days.ts";
import type { NotUnderstood, ReadBatch, TableUnderstanding } from "./reading.ts";

/** One worksheet, understood, with its records still to be read. */
export interface SheetToTake {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  /** SHA-256 of the whole file. */
  readonly sha256: string;
  /** Names the corrections that are put into it while it is read. */
  readonly correctionsKey: string;
  readonly understanding: TableUnderstanding | NotUnderstood;
  /** Lines that could not be read, found before any record was. */
  readonly lineTroubles: readonly { readonly rowNo: number; readonly reason: string }[];
  /** Reads the records, batch by batch; rows stand in the raw table as they came, without corrections. */
  batches(): Iterable<ReadBatch>;
  /** How each correction fared, once all batches are read. */
  outcomes(): readonly CorrectionOutcome[];
  /** What a keeper answered about remarks of other sheets, once all batches are read. */
  answers(): readonly RemarkAnswer[];
}

export interface CorrectionOutcome {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  readonly rowNo: number;
  /** Null when the correction was put in. */
  readonly reason: string | null;
}

export interface RemarkAnswer {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  readonly rowNo: number;
  /** Null where the answer's day cannot be read. */
  readonly day: DayNumber | null;
  readonly remark: string;
  readonly wouldBe: string;
  readonly confirmed: boolean;
}
