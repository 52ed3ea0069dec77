import type { RowBatch } from "./text-table.ts";

const batchRows = 16_384;
const batchCells = 524_288;

/** Gathers numbered rows into batches of some thousand rows, fewer when the rows are wide. */
export interface RowGatherer {
  add(rowNumber: number, cells: readonly string[]): void;
  /** True when it is time to take the batch. */
  full(): boolean;
  /** The rows gathered since the last call; null if there are none. */
  take(): RowBatch | null;
}

export function gatherRows(): RowGatherer {
  let rowNumbers = new Int32Array(batchRows);
  let rows: (readonly string[])[] = [];
  let cellCount = 0;
  return {
    add(rowNumber, cells) {
      rowNumbers[rows.length] = rowNumber;
      rows.push(cells);
      cellCount += cells.length;
    },
    full: () => rows.length === batchRows || cellCount >= batchCells,
    take() {
      if (rows.length === 0) return null;
      const batch = { rowNumbers: rowNumbers.subarray(0, rows.length), rows };
      rowNumbers = new Int32Array(batchRows);
      rows = [];
      cellCount = 0;
      return batch;
    },
  };
}
