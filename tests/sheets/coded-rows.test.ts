import { expect, test } from "vitest";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import type { CodedRows } from "../../src/sheets/text-table.ts";

/** All rows of coded batches, by their numbers. */
function rowsOf(batches: Iterable<CodedRows>): Map<number, readonly string[]> {
  const rows = new Map<number, readonly string[]>();
  for (const { rowNumbers, columns, others } of batches) {
    rowNumbers.forEach((number, i) => {
      rows.set(
        number,
        columns.map(({ codes, texts }) => texts[codes[i]!]!),
      );
    });
    others.rows.forEach((cells, i) => {
      rows.set(others.rowNumbers[i]!, cells);
    });
  }
  return rows;
}

test("more distinct texts than are held at a time, rows far apart, quoted and broken lines all come back", () => {
  const remark = (i: number): string => `remark number ${i} of a column in which no two are alike`;
  const lines = Array.from({ length: 70_000 }, (_, i) => `G${i % 50},"LF",${remark(i)}`);
  lines[10] = 'G1,"two\nlines",said ""so""';
  lines[20] = `${"\n".repeat(40_000)}G2,RF`;
  lines[30] = 'G3,"L,F","a ""word"""';
  const table = readSheets("a.csv", new TextEncoder().encode(`animal,foot,note\r\n${lines.join("\r\n")}`))
    .tables[0]!;
  const found = rowsOf(table.codedRows!(3));
  const wrong: number[] = [];
  let count = 0;
  for (const { rows, rowNumbers } of table.batches()) {
    count += rows.length;
    for (const [i, cells] of rows.entries()) {
      const other = found.get(rowNumbers[i]!);
      if (other?.length !== cells.length || cells.some((cell, at) => cell !== other[at]))
        wrong.push(rowNumbers[i]!);
    }
  }
  expect(wrong).toEqual([]);
  expect([count, found.size]).toEqual([70_001, 70_001]);
});
