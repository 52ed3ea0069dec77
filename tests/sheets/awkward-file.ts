import type { SheetTrouble, TableNoteCode, TextTable } from "../../src/sheets/text-table.ts";

/** One file under tests/sheets/awkward/: what is odd about it, and how it has to be read. */
export interface AwkwardFile {
  readonly file: string;
  /** The one oddity. */
  readonly odd: string;
  readonly tables?: readonly ExpectedTable[];
  readonly troubles?: readonly (Partial<SheetTrouble> & Pick<SheetTrouble, "code">)[];
}

/** What a table must be; only what is given is compared, rows and notes always. */
interface ExpectedTable extends Partial<Pick<TextTable, "worksheet" | "hidden" | "format" | "encoding">> {
  /** Each row with its number in front. */
  readonly rows: readonly (readonly [number, ...string[]])[];
  readonly notes?: readonly ExpectedNote[];
}

/** Code, row, column, count, and where it matters the detail. */
type ExpectedNote = readonly [TableNoteCode, number | null, number | null, number, string?];
