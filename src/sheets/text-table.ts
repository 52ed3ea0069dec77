/** How the cells of a table were written down. */
export type SheetFormat = "csv" | "tsv" | "semicolon" | "pipe" | "xlsx" | "json" | "ndjson";

/** One worksheet, or one plain file, as text cells exactly as they came. */
export interface TextTable {
  /** Path as given by the caller. */
  readonly file: string;
  /**
   * Name of the XLSX worksheet, or the key under which a JSON object holds this array; null for plain files.
   */
  readonly worksheet: string | null;
  /** True for a worksheet that its workbook hides. */
  readonly hidden: boolean;
  readonly format: SheetFormat;
  /** "utf-8", "utf-16le", "utf-16be" or "windows-1252"; null where the format fixes it (XLSX). */
  readonly encoding: string | null;
  /** What is worth knowing about the table though every cell could be read. */
  readonly notes: readonly TableNote[];
  /** Merged ranges of an XLSX worksheet; only the top-left cell of each holds a value. Empty elsewhere. */
  readonly mergedRanges: readonly CellRange[];
  /**
   * Batches of rows from the top; can be called again to read from the top again. Rows without any text are
   * left out, their numbers stay used. Memory does not grow with the file for delimited text and NDJSON.
   */
  batches(): Iterable<RowBatch>;
  /**
   * The same rows for readers that want to look at each distinct text of a column once, where the table can
   * give them so: delimited text can. `width` is the number of cells that a row has.
   */
  readonly codedRows?: (width: number) => Iterable<CodedRows>;
}

/** Rows of a table as numbers of their texts. */
export interface CodedRows {
  /** Numbers of the rows whose cells are plain: as many as asked for, of characters that need no escape anywhere. */
  readonly rowNumbers: Int32Array;
  readonly columns: readonly CodedColumn[];
  readonly lines: PlainLines;
  /** The rows that are not plain. */
  readonly others: RowBatch;
}

export interface CodedColumn {
  /** For each plain row the place of its text in `texts`. */
  readonly codes: Int32Array;
  /** Distinct texts; the list grows from batch to batch, and another list starts when there are too many. */
  readonly texts: readonly string[];
}

/** Plain rows one after another, a line each, cells parted by `delimiter`; what is no plain row is an empty line. */
export interface PlainLines {
  readonly firstRow: number;
  readonly text: string;
  readonly delimiter: string;
}

export interface RowBatch {
  /**
   * Row number as a spreadsheet numbers it: 1 is the first line of the file, blank rows count, a record with
   * line breaks inside quotes is one row, and a leading `sep=;` line, which spreadsheets swallow, is none.
   * In JSON the header is row 1 and the first object row 2; an object takes a row for each object of its list.
   */
  readonly rowNumbers: Int32Array;
  /** Text cells; "" is empty; ragged rows stay ragged. */
  readonly rows: readonly (readonly string[])[];
}

/** Rows and columns counted from 1, both ends included. */
export interface CellRange {
  readonly top: number;
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
}

export type TableNoteCode =
  /** Some cells are merged; `detail` is the first range (`A1:F1`), `count` how many ranges. */
  | "merged_cells"
  /** Cells covered by a merged range held values of their own, which nobody could see; they read empty. */
  | "covered_values"
  /** A formula was saved without its result; the cell reads empty. */
  | "formula_without_value"
  /** A number has lost digits before it came here; `detail` is its text (`9.82E+14`). */
  | "digits_lost"
  /** The workbook counts its days from 1904. */
  | "dates_from_1904"
  /** A date format on a number that is no day; `detail` is the number, which is also the cell's text. */
  | "date_out_of_range"
  /** Rows are hidden (by a filter, say); they are read like any other. */
  | "hidden_rows"
  /** Columns are hidden; they are read like any other. */
  | "hidden_columns"
  /** A column's number format writes words beside the number; `detail` is them (`mm`). One note a column. */
  | "number_format_words"
  /** NUL characters were taken out. */
  | "nul_characters_removed"
  /** Bytes that are no UTF-8 in a file that otherwise is; they are read as Windows-1252. */
  | "mixed_encoding"
  /** A quoted cell holds a quote that is neither doubled nor its end; where the cell ends is a guess. */
  | "stray_quotes"
  /** The file opens with a `sep=` line; `detail` is the delimiter it names. */
  | "separator_line"
  /** A JSON object holds values beside its arrays, which are in no table; one note a key, `detail`. */
  | "other_members"
  /** One object names the same key twice; the last value counts. `detail` is the key. */
  | "repeated_key";

/** Something found in a table: the first place (counted from 1, null where there is none) and how many. */
export interface TableNote {
  readonly code: TableNoteCode;
  readonly row: number | null;
  readonly column: number | null;
  readonly count: number;
  readonly detail: string;
}

export type SheetTroubleCode =
  /** The bytes are damaged or in an encoding that is not read; `detail` names it (`gzip`, `utf-32`). */
  | "unreadable_file"
  /** Something else than a sheet; `detail` names it (`pdf`, `png`, `zip`, `web page`, `binary`). */
  | "not_a_sheet"
  /** No row with any text in the whole file. */
  | "empty_file"
  /** Locked with a password. */
  | "encrypted_workbook"
  /** Unpacks to more than the limit; `detail` is the limit in bytes, or the ratio. */
  | "too_large_when_unpacked"
  /** The workbook, or this worksheet of it, does not hold together and is not read; `detail` says what. */
  | "broken_workbook"
  /** More cells than the limit in `detail`; the worksheet is not read. */
  | "too_many_cells"
  /** A quote opens in `row` and is never closed; the rest of that line is read as unquoted. */
  | "unclosed_quote"
  /** The row is longer than the limit in `detail` (characters); it is left out. */
  | "row_too_long"
  /** The row has more cells than the limit in `detail`; it is left out. */
  | "row_too_wide"
  /** A JSON document larger than the limit in `detail` (bytes). */
  | "file_too_large"
  /** XLS, or the binary XLSB: to be saved as XLSX or CSV. */
  | "old_binary_workbook"
  /** ODS: to be saved as XLSX or CSV. */
  | "open_document_workbook"
  /**
   * Malformed JSON; `detail` is the place (`character 12`), or `row` for an element that is no row like the
   * first. A line of NDJSON and such an element are left out; a document that breaks off is not read at all.
   */
  | "broken_json"
  /** A member of a JSON object holds what makes no cell, `detail` names it; it stands in its cell as written. */
  | "nested_values"
  /** JSON nests deeper than the limit in `detail`. */
  | "json_too_deep"
  /** Further troubles of this file are not listed; `detail` is how many. */
  | "more_troubles";

/** Trouble is data: where it sits and an argument for its wording, never a sentence. */
export interface SheetTrouble {
  readonly code: SheetTroubleCode;
  readonly file: string;
  readonly worksheet: string | null;
  readonly row: number | null;
  readonly detail: string;
}

export interface ReadSheets {
  readonly tables: readonly TextTable[];
  readonly troubles: readonly SheetTrouble[];
}
