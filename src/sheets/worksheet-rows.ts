import { cellRangeText, columnOfReference, parseCellRange } from "./cell-reference.ts";
import { type NoteList, notesOfTable } from "./note-list.ts";
import type { NumberFormat } from "./number-format.ts";
import { numberText, percentText } from "./number-text.ts";
import { durationText, serialDateText } from "./serial-date.ts";
import { SheetFailure } from "./sheet-failure.ts";
import { sheetLimits } from "./sheet-limits.ts";
import type { CellRange, TableNote } from "./text-table.ts";
import { scanPart, unescapeText, type WorkbookParts } from "./workbook-parts.ts";
import type { XmlAttributes, XmlHandler } from "./xml-scanner.ts";
import type { ZipArchive } from "./zip-archive.ts";

/** The cells of one worksheet as text. */
export interface WorksheetRows {
  readonly rowNumbers: readonly number[];
  readonly rows: readonly (readonly string[])[];
  readonly notes: readonly TableNote[];
  readonly mergedRanges: readonly CellRange[];
}

/** Counts the cells held for a whole workbook. */
export interface CellBudget {
  cells: number;
}

/**
 * Reads one worksheet. Each cell becomes the text of its value: numbers in full, days as ISO dates where the
 * number format shows a date, percentages with their sign, TRUE and FALSE, errors by their name, formulas by
 * the result that was stored with them.
 *
 * @throws SheetFailure if the part is damaged or holds too many cells.
 */
export function readWorksheetRows(
  archive: ZipArchive,
  part: string,
  workbook: WorkbookParts,
  budget: CellBudget,
): WorksheetRows {
  const notes = notesOfTable();
  const gathering = gatherWorksheet(workbook, budget, notes);
  scanPart(archive, part, gathering.handler);
  const { rowNumbers, rows } = inOrder(gathering.rowNumbers, gathering.rows);
  clearCovered(rowNumbers, rows, gathering.mergedRanges, notes);
  return { rowNumbers, rows, notes: notes.listed(), mergedRanges: gathering.mergedRanges };
}

interface Gathering {
  readonly handler: XmlHandler;
  readonly rowNumbers: number[];
  readonly rows: string[][];
  readonly mergedRanges: CellRange[];
}

function gatherWorksheet(workbook: WorkbookParts, budget: CellBudget, notes: NoteList): Gathering {
  const rowNumbers: number[] = [];
  const rows: string[][] = [];
  const mergedRanges: CellRange[] = [];
  let inData = false;
  let row = 0;
  let cells: string[] = [];
  let column = 0;
  let type = "n";
  let style = 0;
  let hasFormula = false;
  let stored = "";
  let inValue = false;
  let phonetic = 0;

  function openRow(attributes: XmlAttributes): void {
    const given = attributes.get("r");
    row = given === undefined ? row + 1 : Number(given);
    if (!Number.isInteger(row) || row < 1 || row > sheetLimits.worksheetRows) {
      throw new SheetFailure("broken_workbook", "row number");
    }
    if (isTrue(attributes.get("hidden"))) notes.add("hidden_rows", { row });
    cells = [];
    column = 0;
  }

  function openCell(attributes: XmlAttributes): void {
    const reference = attributes.get("r");
    column = reference === undefined ? column + 1 : columnOfReference(reference);
    if (column < 1 || column > sheetLimits.columns)
      throw new SheetFailure("broken_workbook", "cell reference");
    type = attributes.get("t") ?? "n";
    style = Number(attributes.get("s") ?? 0);
    hasFormula = false;
    stored = "";
  }

  function closeCell(): void {
    const text = cellText();
    if (text === "") return;
    if (column > cells.length) {
      budget.cells += column - cells.length;
      if (budget.cells > sheetLimits.workbookCells) {
        throw new SheetFailure("too_many_cells", String(sheetLimits.workbookCells));
      }
      while (cells.length < column - 1) cells.push("");
      cells.push(text);
    } else {
      cells[column - 1] = text;
    }
  }

  function cellText(): string {
    switch (type) {
      case "s":
        return stored === "" ? "" : sharedText(Number(stored));
      case "inlineStr":
      case "str":
        return unescapeText(stored);
      case "b":
        return stored === "" ? "" : /^(1|true)$/i.test(stored.trim()) ? "TRUE" : "FALSE";
      case "e":
        return stored;
      case "d":
        return stored.trim().replace(/T00:00(:00(\.0+)?)?Z?$/, "");
      default:
        return numberCellText();
    }
  }

  function sharedText(index: number): string {
    const text = workbook.sharedTexts[index];
    if (text === undefined) throw new SheetFailure("broken_workbook", "shared text");
    return text;
  }

  function numberCellText(): string {
    if (stored.trim() === "") {
      if (hasFormula) notes.add("formula_without_value", { row, column });
      return "";
    }
    const format: NumberFormat | undefined = workbook.numberFormats[style];
    const meaning = format?.meaning ?? "number";
    if (meaning === "number" || meaning === "percent") {
      const text = numberText(stored);
      // A spreadsheet keeps fifteen digits; those after them are zeros that it made up.
      if (/^-?\d{16,}$/.test(text)) notes.add("digits_lost", { row, column, detail: text });
      if (format !== undefined && format.words !== "") {
        notes.add("number_format_words", {
          row,
          column,
          detail: format.words,
          key: String(column),
        });
      }
      return meaning === "percent" ? percentText(stored) : text;
    }
    const serial = Number(stored);
    const text =
      meaning === "duration"
        ? durationText(serial)
        : serialDateText(serial, workbook.dateSystem, meaning === "time");
    if (text === null) {
      const kept = numberText(stored);
      notes.add("date_out_of_range", { row, column, detail: kept });
      return kept;
    }
    if (workbook.dateSystem === 1904 && meaning === "date") notes.add("dates_from_1904", { row, column });
    return text;
  }

  const handler: XmlHandler = {
    open(element, attributes) {
      if (!inData) {
        if (element === "sheetData") inData = true;
        else if (element === "col") noteHiddenColumns(attributes, notes);
        else if (element === "mergeCell") keepMergedRange(attributes.get("ref") ?? "", mergedRanges);
        return;
      }
      if (element === "c") openCell(attributes);
      else if (element === "v" || element === "t") inValue = phonetic === 0;
      else if (element === "row") openRow(attributes);
      else if (element === "f") hasFormula = true;
      else if (element === "rPh") phonetic++;
    },
    close(element) {
      if (!inData) return;
      if (element === "c") closeCell();
      else if (element === "v" || element === "t") inValue = false;
      else if (element === "rPh") phonetic--;
      else if (element === "sheetData") inData = false;
      else if (element === "row" && cells.length > 0) {
        rowNumbers.push(row);
        rows.push(cells);
      }
    },
    text(piece) {
      if (inValue) stored = stored === "" ? piece : stored + piece;
    },
  };
  return { handler, rowNumbers, rows, mergedRanges };
}

function noteHiddenColumns(attributes: XmlAttributes, notes: NoteList): void {
  const first = Number(attributes.get("min"));
  const last = Math.min(Number(attributes.get("max")), sheetLimits.columns);
  if (!isTrue(attributes.get("hidden")) || !(first >= 1 && last >= first)) return;
  notes.add("hidden_columns", { column: first, count: last - first + 1 });
}

function isTrue(attribute: string | undefined): boolean {
  return attribute === "1" || attribute === "true";
}

function keepMergedRange(text: string, mergedRanges: CellRange[]): void {
  const range = parseCellRange(text);
  if (range === null) return;
  if (mergedRanges.length >= sheetLimits.mergedRanges)
    throw new SheetFailure("broken_workbook", "merged ranges");
  mergedRanges.push(range);
}

/** Rows in the order of their numbers; parts of a row that the worksheet holds twice are laid together. */
function inOrder(rowNumbers: number[], rows: string[][]): { rowNumbers: number[]; rows: string[][] } {
  const rising = rowNumbers.every((number, index) => index === 0 || number > rowNumbers[index - 1]);
  if (rising) return { rowNumbers, rows };
  const byNumber = new Map<number, string[]>();
  rowNumbers.forEach((number, index) => {
    const before = byNumber.get(number);
    if (before === undefined) {
      byNumber.set(number, rows[index]);
      return;
    }
    rows[index].forEach((cell, column) => {
      while (before.length < column) before.push("");
      if (cell !== "") before[column] = cell;
    });
  });
  const ordered = [...byNumber.entries()].sort(([a], [b]) => a - b);
  return { rowNumbers: ordered.map(([number]) => number), rows: ordered.map(([, cells]) => cells) };
}

/** Empties the cells that a merged range covers, all but its top-left one. */
function clearCovered(
  rowNumbers: readonly number[],
  rows: readonly string[][],
  mergedRanges: readonly CellRange[],
  notes: NoteList,
): void {
  let looked = 0;
  for (const range of mergedRanges) {
    notes.add("merged_cells", { row: range.top, column: range.left, detail: cellRangeText(range) });
    for (let index = firstAtLeast(rowNumbers, range.top); index < rows.length; index++) {
      if (rowNumbers[index] > range.bottom) break;
      const cells = rows[index];
      const right = Math.min(range.right, cells.length);
      looked += 1 + Math.max(0, right - range.left);
      // Ranges of an honest worksheet do not overlap and so look at no cell twice.
      if (looked > 4 * sheetLimits.workbookCells) throw new SheetFailure("broken_workbook", "merged ranges");
      for (let column = range.left; column <= right; column++) {
        const topLeft = rowNumbers[index] === range.top && column === range.left;
        if (topLeft || cells[column - 1] === "") continue;
        cells[column - 1] = "";
        notes.add("covered_values", { row: rowNumbers[index], column });
      }
      while (cells.length > 0 && cells[cells.length - 1] === "") cells.pop();
    }
  }
}

function firstAtLeast(sorted: readonly number[], value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] < value) low = middle + 1;
    else high = middle;
  }
  return low;
}
