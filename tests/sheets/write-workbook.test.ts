import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import { type WorkbookCell, writeWorkbook } from "../../src/sheets/write-workbook.ts";
import { numberedRows } from "./table-rows.ts";

const isoDay = (day: number) => new Date(day * 86_400_000).toISOString().slice(0, 10);

function expectedText(cell: WorkbookCell): string {
  if (cell === null) return "";
  if (typeof cell === "string") return cell;
  if (typeof cell === "boolean") return cell ? "TRUE" : "FALSE";
  if (typeof cell === "number") return String(cell);
  return isoDay(cell.day);
}

const anyText = fc.string({
  unit: fc.constantFrom(
    "a",
    " ",
    "\n",
    "\r",
    "\t",
    "&",
    "<",
    '"',
    "'",
    "_x0041_",
    "_",
    "\0",
    "\u0001",
    "\ufffe",
    "\ud800",
    "é",
    "🐐",
    "=",
    "]]>",
  ),
  maxLength: 8,
});
const anyCell: fc.Arbitrary<WorkbookCell> = fc.oneof(
  anyText,
  fc.double({ noNaN: true, noDefaultInfinity: true }).filter((value) => !Object.is(value, -0)),
  fc.integer(),
  fc.boolean(),
  fc.constant(null),
  fc.record({ day: fc.integer({ min: -25_508, max: 2_932_896 }) }),
);

test("any cells read back as what they say", () => {
  const sheets = fc.array(fc.array(fc.array(anyCell, { maxLength: 5 }), { maxLength: 6 }), {
    minLength: 1,
    maxLength: 3,
  });
  fc.assert(
    fc.property(sheets, fc.nat(2), (tables, headerRows) => {
      const bytes = writeWorkbook(
        tables.map((rows, index) => ({ name: `Sheet & ${index}`, rows, headerRows, hidden: index > 0 })),
      );
      const read = readSheets("x", bytes);
      const expected = tables.map((rows) =>
        rows
          .map((cells, index) => {
            const texts = cells.map(expectedText);
            while (texts.at(-1) === "") texts.pop();
            return [index + 1, ...texts];
          })
          .filter((row) => row.length > 1),
      );
      if (expected.every((rows) => rows.length === 0)) {
        expect(read.troubles).toMatchObject([{ code: "empty_file" }]);
        return;
      }
      expect(read.troubles).toEqual([]);
      expect(read.tables.map(({ worksheet, hidden }) => [worksheet, hidden])).toEqual(
        tables.map((_, index) => [`Sheet & ${index}`, index > 0]),
      );
      expect(read.tables.map(numberedRows)).toEqual(expected);
    }),
    { numRuns: 150 },
  );
});

test("merged ranges come back, and equal worksheets give equal bytes", () => {
  const mergedRanges = [{ top: 1, left: 1, bottom: 1, right: 30 }];
  const write = () =>
    writeWorkbook([
      { name: "Trims", rows: [["Spring"], ["animal", { day: 19_783 }]], mergedRanges, columnWidths: [12] },
    ]);
  const read = readSheets("x", write());
  expect(read.tables[0].mergedRanges).toEqual(mergedRanges);
  expect(read.tables[0].notes).toMatchObject([{ code: "merged_cells", detail: "A1:AD1" }]);
  expect(write()).toEqual(write());
});

describe("is refused", () => {
  const sheet = { name: "A", rows: [["x"]] };
  test.each([
    ["no worksheet", []],
    ["only hidden ones", [{ ...sheet, hidden: true }]],
    ["an empty name", [{ ...sheet, name: "" }]],
    ["a name of 32 characters", [{ ...sheet, name: "x".repeat(32) }]],
    ["a colon in a name", [{ ...sheet, name: "a:b" }]],
    ["an apostrophe before a name", [{ ...sheet, name: "'a" }]],
    ["one name twice", [sheet, { ...sheet, name: "a" }]],
    ["a number that is none", [{ ...sheet, rows: [[Number.NaN]] }]],
    ["a day before March 1900", [{ ...sheet, rows: [[{ day: -25_509 }]] }]],
    ["a day past the year 9999", [{ ...sheet, rows: [[{ day: 2_932_897 }]] }]],
    ["half a day", [{ ...sheet, rows: [[{ day: 0.5 }]] }]],
    ["too many columns", [{ ...sheet, rows: [new Array<null>(16_385).fill(null)] }]],
  ])("%s", (_, worksheets) => {
    expect(() => writeWorkbook(worksheets)).toThrow(RangeError);
  });
});
