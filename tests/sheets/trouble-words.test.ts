import { expect, test } from "vitest";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import { sheetTroubleText, tableNoteText } from "../../src/sheets/trouble-words.ts";

const read = (text: string) => readSheets("flock/trims.csv", new TextEncoder().encode(text));

test("a trouble names file and row and what to do, in both languages", () => {
  const [trouble] = read('a,b\n"open,1\n').troubles;
  expect(sheetTroubleText(trouble, "en")).toMatch(/^flock\/trims\.csv, row 2: a quote opens here/);
  expect(sheetTroubleText(trouble, "es")).toMatch(/^flock\/trims\.csv, fila 2: aquí se abre una comilla/);
});

test("a note names its place, its detail and how often", () => {
  const [table] = read("animal,weight\n9.82E+14,45\n9.82E+14,46\n").tables;
  expect(tableNoteText(table, table.notes[0], "en")).toMatch(
    /^flock\/trims\.csv, row 2: .*9\.82E\+14.* \(2×\)$/,
  );
});

test("a worksheet is named", () => {
  const trouble = {
    code: "broken_workbook",
    file: "a.xlsx",
    worksheet: "Goats",
    row: null,
    detail: "checksum",
  } as const;
  expect(sheetTroubleText(trouble, "en")).toBe(
    "a.xlsx, worksheet “Goats”: the workbook is damaged here and was not read (checksum); open it in a spreadsheet and save it again",
  );
});
