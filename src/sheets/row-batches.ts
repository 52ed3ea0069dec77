import type { RowBatch } from "./text-table.ts";

export interface NumberedRow {
  readonly rowNumber: number;
  readonly cells: readonly string[];
}

const batchRows = 4_096;
const batchCells = 262_144;

/** Gathers rows into batches of some thousand, fewer when they are wide; rows without any text are left out. */
export function* inBatches(numberedRows: Iterable<NumberedRow>): Generator<RowBatch, void, undefined> {
  let rowNumbers = new Int32Array(batchRows);
  let rows: (readonly string[])[] = [];
  let cellCount = 0;
  for (const { rowNumber, cells } of numberedRows) {
    if (!hasText(cells)) continue;
    rowNumbers[rows.length] = rowNumber;
    rows.push(cells);
    cellCount += cells.length;
    if (rows.length < batchRows && cellCount < batchCells) continue;
    yield { rowNumbers: rowNumbers.subarray(0, rows.length), rows };
    rowNumbers = new Int32Array(batchRows);
    rows = [];
    cellCount = 0;
  }
  if (rows.length > 0) yield { rowNumbers: rowNumbers.subarray(0, rows.length), rows };
}

function hasText(cells: readonly string[]): boolean {
  for (const cell of cells) if (cell !== "") return true;
  return false;
}
