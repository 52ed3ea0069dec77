import { sheetLimits } from "./sheet-limits.ts";
import type { CellRange } from "./text-table.ts";

/** The column, counted from 1, of a reference such as `AB12`; 0 if it is none or past the last column. */
export function columnOfReference(reference: string): number {
  let column = 0;
  for (let at = 0; at < reference.length; at++) {
    const unit = reference.charCodeAt(at) & ~32;
    if (unit < 65 || unit > 90) break;
    column = column * 26 + unit - 64;
    if (column > sheetLimits.columns) return 0;
  }
  return column;
}

/** The letters of a column counted from 1: `A`, `Z`, `AA`. */
export function columnLetters(column: number): string {
  let letters = "";
  for (let left = column; left > 0; left = Math.floor((left - 1) / 26)) {
    letters = String.fromCharCode(65 + ((left - 1) % 26)) + letters;
  }
  return letters;
}

/** Reads a range such as `A1:F2` or a single cell `B3`; null if it is none. */
export function parseCellRange(text: string): CellRange | null {
  const parts = /^\$?([A-Z]{1,3})\$?(\d{1,7})(?::\$?([A-Z]{1,3})\$?(\d{1,7}))?$/i.exec(text);
  if (parts === null) return null;
  const [, left, top, right = left, bottom = top] = parts;
  const range = {
    top: Number(top),
    left: columnOfReference(left),
    bottom: Number(bottom),
    right: columnOfReference(right),
  };
  const inOrder = range.top >= 1 && range.left >= 1 && range.bottom >= range.top && range.right >= range.left;
  return inOrder && range.bottom <= sheetLimits.worksheetRows ? range : null;
}

/** Writes a range as a workbook does: `A1:F2`. */
export function cellRangeText(range: CellRange): string {
  return `${columnLetters(range.left)}${range.top}:${columnLetters(range.right)}${range.bottom}`;
}
