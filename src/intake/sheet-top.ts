import type { TextTable } from "../sheets/text-table.ts";
import { isBlank } from "./cell-read.ts";

/** Rows of a worksheet with their numbers. */
export interface NumberedRow {
  readonly rowNo: number;
  readonly cells: readonly string[];
}

/** The first rows of a worksheet: enough to find its header and to see what its columns hold. */
export function topRows(table: TextTable, count: number): readonly NumberedRow[] {
  const rows: NumberedRow[] = [];
  for (const batch of table.batches()) {
    for (let i = 0; i < batch.rows.length; i++) {
      rows.push({ rowNo: batch.rowNumbers[i]!, cells: batch.rows[i]! });
      if (rows.length >= count) return rows;
    }
  }
  return rows;
}

/** Distinct texts of each column, blank ones left out; no more than `MOST_DISTINCT` a column. */
export function distinctTexts(
  rows: readonly NumberedRow[],
  isRecord: (cells: readonly string[]) => boolean,
): (index: number) => ReadonlySet<string> {
  const columns: Set<string>[] = [];
  for (const { cells } of rows) {
    if (!isRecord(cells)) continue;
    for (const [index, cell] of cells.entries()) {
      columns[index] ??= new Set();
      const seen = columns[index];
      if (!isBlank(cell) && seen.size < MOST_DISTINCT) seen.add(cell);
    }
  }
  const none: ReadonlySet<string> = new Set();
  return (index) => columns[index] ?? none;
}

const MOST_DISTINCT = 5000;
