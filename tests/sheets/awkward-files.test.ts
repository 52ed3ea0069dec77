import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import { awkwardDelimitedFiles } from "./awkward/delimited.ts";
import { awkwardJsonFiles } from "./awkward/json.ts";
import { refusedFiles } from "./awkward/refused.ts";
import { awkwardWorkbooks } from "./awkward/workbooks.ts";
import { numberedRows } from "./table-rows.ts";

/** The files were made by hand with invented content, and so was what each must give. */
const folder = new URL("./awkward/", import.meta.url);
const files = [...awkwardDelimitedFiles, ...awkwardJsonFiles, ...awkwardWorkbooks, ...refusedFiles];

describe("a file with one oddity", () => {
  test.each(files)("$file: $odd", ({ file, tables = [], troubles = [] }) => {
    const read = readSheets(file, new Uint8Array(readFileSync(new URL(file, folder))));
    expect(read.troubles).toHaveLength(troubles.length);
    troubles.forEach((trouble, index) => {
      expect(read.troubles[index]).toMatchObject({ file, worksheet: null, ...trouble });
    });
    expect(read.tables).toHaveLength(tables.length);
    tables.forEach(({ rows, notes = [], ...rest }, index) => {
      const table = read.tables[index];
      expect(table).toMatchObject({ file, ...rest });
      expect(numberedRows(table)).toEqual(rows);
      expect(numberedRows(table), "read a second time").toEqual(rows);
      expect(
        table.notes.map(({ code, row, column, count, detail }, at) =>
          notes[at]?.[4] === undefined ? [code, row, column, count] : [code, row, column, count, detail],
        ),
      ).toEqual(notes);
    });
  });

  test("every file of the folder is in the tables, once", () => {
    const present = readdirSync(folder).filter((name) => !name.startsWith(".") && !name.endsWith(".ts"));
    expect(files.map(({ file }) => file).sort()).toEqual(present.sort());
  });
});

test("the merged ranges of a worksheet come with it", () => {
  const read = readSheets("m", new Uint8Array(readFileSync(new URL("merged.xlsx", folder))));
  expect(read.tables[0].mergedRanges).toEqual([
    { top: 1, left: 1, bottom: 1, right: 2 },
    { top: 3, left: 1, bottom: 4, right: 1 },
  ]);
});
