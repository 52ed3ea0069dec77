import type { LoadColumn } from "../book/book.ts";
import type { DayNumber } from "../records/days.ts";
import type { KindId } from "../records/kinds.ts";
import type { PlainLines } from "../sheets/text-table.ts";

/**
 * What one worksheet was understood to be, and the records read from it. The first half of the intake
 * (`understand-table.ts`, `read-records.ts`) makes these from text; the second half (`take-in.ts`) checks
 * them against each other and puts them in the book.
 */
export type Layout =
  | "table" // one row a record
  | "wide" // one row a visit, foot and claw in the header
  | "grid" // animals down and dates across, or the reverse
  | "sheet_per_animal"; // the animal is the worksheet's name or stands above the header

/** How sure a column's meaning is: its own name, settings, a word of the lists, or its values alone. */
export type Sureness = "name" | "settings" | "word" | "values";

export interface ColumnUnderstanding {
  /** Position in the sheet, from 0. */
  readonly index: number;
  readonly header: string;
  /** Null: not understood, kept only in the raw row. */
  readonly meaning: {
    readonly kind: KindId;
    readonly column: string;
    readonly foot: string | null;
    readonly claw: string | null;
  } | null;
  /**
   * The unit in which its numbers stand, as spelled in the unit table, or the scale of a gait score; null
   * where it has none.
   */
  readonly unit: string | null;
  readonly unitFrom: "header" | "cells" | "settings" | "size" | null;
  /** For days: which comes first where the text alone does not tell. */
  readonly dayOrder: "day_first" | "month_first" | "year_first" | null;
  readonly decimalMark: "." | "," | null;
  readonly sample: string;
  readonly sureness: Sureness | null;
  /** The day over a grid's cells with the year that its header lacks. */
  readonly dayText?: string;
  /** Set where blank cells follow filled ones as if the same held: `fill_down` would read them so. */
  readonly blankBelow?: true;
}

export interface TableUnderstanding {
  readonly layout: Layout;
  /** The kinds of record the sheet gives, main one first (a trims sheet with a gait column gives both). */
  readonly kinds: readonly KindId[];
  /** Row number of the header; 0 when the sheet has none. */
  readonly headerRow: number;
  readonly columns: readonly ColumnUnderstanding[];
  /** Set when the whole worksheet is about one animal. */
  readonly animal: string | null;
  /** Set when the title gives the day of the whole worksheet. */
  readonly day?: DayNumber;
}

/** A worksheet that is set aside as a whole, with the question that an answer in flock.toml would settle. */
export interface NotUnderstood {
  readonly reason: string;
  readonly column: string | null;
  readonly value: string | null;
  readonly advice: string;
}

/** Records of one kind, by columns; `values` has one entry per stored column of the kind that the sheet gives. */
export interface RecordBatch {
  readonly kind: KindId;
  readonly size: number;
  readonly rowNo: Int32Array;
  /** Position of the record within its row, from 0: rows of a wide sheet give several. */
  readonly part: Int32Array;
  /** The flock that the row names; null where the sheet has no such column. */
  readonly flock: readonly (string | null)[] | null;
  readonly columns: readonly LoadColumn[];
}

/**
 * A cell that could not be read. `loses` says how much is lost with it: the record, or only the cell (an
 * animal or pen whose descriptive cell is bad is still known, so that its records are not lost with it).
 * A record with several bad cells has a trouble for each, all of one kind, row and part. `column` is the
 * header as the sheet has it, or the column's own name where the sheet has none.
 */
export interface CellTrouble {
  readonly kind: KindId;
  readonly rowNo: number;
  readonly part: number;
  readonly column: string;
  readonly value: string;
  /** A set-aside code with its arguments. */
  readonly reason: string;
  readonly loses: "record" | "cell";
}

/** A remark that speaks of a limp, a sore or worse. It is never counted until a keeper confirms it. */
export interface RemarkFound {
  readonly rowNo: number;
  /** Position of its cell in the row, from 0. */
  readonly column: number;
  readonly remark: string;
  /** The record it would be, such as `gaits: lame` or `lesions: footrot`. */
  readonly wouldBe: string;
  readonly notifiable: boolean;
}

export interface UnmappedWord {
  readonly rowNo: number;
  readonly column: string;
  readonly word: string;
}

export interface ReadBatch {
  /** The rows of the sheet that this batch covers, as they came: for the raw table. */
  readonly rawRowNo: Int32Array;
  readonly rawCells: readonly (readonly string[])[];
  /** Further rows that it covers, whose cells need no escape. */
  readonly rawLines?: { readonly rows: number } & PlainLines;
  readonly records: readonly RecordBatch[];
  /** How many records of each kind were read, those in trouble included. */
  readonly read: Readonly<Partial<Record<KindId, number>>>;
  readonly troubles: readonly CellTrouble[];
  readonly remarks: readonly RemarkFound[];
  readonly unmapped: readonly UnmappedWord[];
}
