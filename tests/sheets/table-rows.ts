import type { TextTable } from "../../src/sheets/text-table.ts";

/** All rows of a table, each with its number in front. */
export function numberedRows(table: TextTable): (readonly [number, ...string[]])[] {
  const rows: (readonly [number, ...string[]])[] = [];
  for (const batch of table.batches()) {
    batch.rows.forEach((cells, index) => {
      rows.push([batch.rowNumbers[index], ...cells]);
    });
  }
  return rows;
}

/** All rows of a table without their numbers. */
export function rowsOfTable(table: TextTable): (readonly string[])[] {
  return numberedRows(table).map(([, ...cells]) => cells);
}
