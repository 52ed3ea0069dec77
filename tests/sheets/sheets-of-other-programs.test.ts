import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import { numberedRows, rowsOfTable } from "./table-rows.ts";

/** Sheets written by other programs, with what went into them; `make_sheets.py` there says by which. */
const folder = new URL("../reference/sheets/", import.meta.url);

interface WrittenTable {
  readonly worksheet: string;
  readonly hidden: boolean;
  readonly rows: readonly (readonly [number, ...(string | number)[]])[];
}

describe("workbooks", () => {
  test.each(["workbook-by-xlsxwriter", "workbook-by-xlsxwriter-from-1904", "workbook-by-openpyxl"])(
    "%s",
    (name) => {
      const { tables: written } = JSON.parse(readFileSync(new URL(`${name}.json`, folder), "utf8")) as {
        tables: readonly WrittenTable[];
      };
      const { tables, troubles } = readSheets(
        name,
        new Uint8Array(readFileSync(new URL(`${name}.xlsx`, folder))),
      );
      expect(troubles).toEqual([]);
      expect(tables.map(({ worksheet, hidden }) => ({ worksheet, hidden }))).toEqual(
        written.map(({ worksheet, hidden }) => ({ worksheet, hidden })),
      );
      written.forEach(({ rows }, index) => {
        const read = numberedRows(tables[index]);
        expect(read).toHaveLength(rows.length);
        read.forEach((cells, row) => {
          cells.forEach((cell, column) => {
            const value = rows[row][column];
            // Numbers must read back to the very same number.
            if (typeof value === "number" && column > 0) expect(Number(cell)).toBe(value);
            else expect(cell).toBe(value);
          });
          expect(cells).toHaveLength(rows[row].length);
        });
      });
    },
  );
});

test("delimited text of all its quoting styles", () => {
  const { cases } = JSON.parse(readFileSync(new URL("delimited-by-python.json", folder), "utf8")) as {
    cases: readonly { delimiter: string; text: string; rows: readonly (readonly string[])[] }[];
  };
  expect(cases.length).toBeGreaterThanOrEqual(80);
  for (const { text, rows } of cases) {
    const { tables, troubles } = readSheets("x", new TextEncoder().encode(text));
    expect(troubles).toEqual([]);
    expect(rowsOfTable(tables[0])).toEqual(rows);
  }
});
