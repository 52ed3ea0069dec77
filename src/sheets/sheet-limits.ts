/**
 * Every limit of reading, written once. They bound time and memory on hostile or damaged files and sit far
 * above what a sheet kept by people reaches.
 */
export const sheetLimits = {
  /** What a gzip file, or all parts of one workbook together, may unpack to. */
  unpackedBytes: 512 * 1024 * 1024,
  /** Unpacked to packed bytes; deflate itself reaches 1032, sheets of records stay below 100. */
  unpackedRatio: 250,
  /** The ratio is judged only past this many unpacked bytes: small files may well be one value repeated. */
  ratioJudgedFromBytes: 32 * 1024 * 1024,
  /** Length of one row of delimited text. */
  rowCharacters: 4 * 1024 * 1024,
  /** Length of one quoted cell; a quote still open after this many characters was never meant to open. */
  quotedCellCharacters: 1024 * 1024,
  /** Columns and rows of a worksheet, ECMA-376 part 1, 18.3.1.73 and 18.3.1.4 as spreadsheets keep to it. */
  columns: 16_384,
  worksheetRows: 1_048_576,
  /** Cells held for one workbook, blank ones between filled ones included. */
  workbookCells: 10_000_000,
  worksheets: 1_000,
  /** Distinct cell formats; spreadsheets keep to 65,490. */
  cellFormats: 100_000,
  /** Entries of a ZIP directory that are looked at. */
  archiveEntries: 20_000,
  mergedRanges: 10_000,
  jsonDepth: 64,
  /** A JSON document is held as one text; NDJSON is not and has no such limit. */
  jsonBytes: 256 * 1024 * 1024,
  /** Troubles listed for one file; the rest is counted. */
  listedTroubles: 200,
} as const;
