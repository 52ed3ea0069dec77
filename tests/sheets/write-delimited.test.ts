import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import { delimitedLines, guardText, unguardText, writeDelimited } from "../../src/sheets/write-delimited.ts";
import { rowsOfTable } from "./table-rows.ts";

const read = (text: string) => rowsOfTable(readSheets("x", new TextEncoder().encode(text)).tables[0]);

test("quotes only what needs it", () => {
  expect(writeDelimited([["a", "b c", " d", 'e"f', "g,h", "i\nj", null, true, 31.5, -0.25, 1e21]])).toBe(
    'a,b c," d","e""f","g,h","i\nj",,TRUE,31.5,-0.25,1e+21\n',
  );
});

test("options: delimiter, decimal mark, line end, byte order mark", () => {
  const options = { delimiter: ";", decimalMark: ",", lineEnd: "\r\n", byteOrderMark: true } as const;
  expect(writeDelimited([["a;b", 1.5, "c,d"], ["x"]], options)).toBe('\ufeff"a;b";1,5;c,d\r\nx\r\n');
  expect(writeDelimited([["a|b", "a;b"]], { delimiter: "|" })).toBe('"a|b"|a;b\n');
  // A decimal comma in a comma file has to be quoted.
  expect(writeDelimited([[1.5, 2]], { decimalMark: "," })).toBe('"1,5",2\n');
});

test("a first cell that would read as a separator line, and a row that would read as blank, are quoted", () => {
  expect(writeDelimited([["sep=;"], ["x"]])).toBe('"sep=;"\nx\n');
  expect(writeDelimited([[""], [null]])).toBe('""\n""\n');
});

test("a number that is not finite is refused", () => {
  expect(() => writeDelimited([[Number.NaN]])).toThrow(RangeError);
  expect(() => writeDelimited([[Number.POSITIVE_INFINITY]])).toThrow(RangeError);
});

describe("text that a spreadsheet would run", () => {
  test.each([
    // The six first characters that OWASP's page on CSV injection names (from memory).
    ["=SUM(A1)", "'=SUM(A1)"],
    ["+cmd", "'+cmd"],
    ["-cmd|x", "'-cmd|x"],
    ["@SUM(1)", "'@SUM(1)"],
    ["\t=1", "'\t=1"],
    ["\r=1", "'\r=1"],
    ["-12", "-12"],
    ["+3.25", "+3.25"],
    ["-1,5", "-1,5"],
    ["-5%", "-5%"],
    ["-1-1", "'-1-1"],
    ["+1+cmd", "'+1+cmd"],
    ["1 3/8", "1 3/8"],
    ["'=x", "''=x"],
    ["it's", "it's"],
    ["", ""],
  ])("%j is written %j", (text, written) => {
    expect(guardText(text)).toBe(written);
    expect(unguardText(written)).toBe(text);
  });

  test("no cell written starts like a formula, and every text comes back", () => {
    const text = fc.string({
      unit: fc.constantFrom("=", "+", "-", "@", "\t", "\r", "'", "1", ".", "a", '"', ",", "\n"),
    });
    fc.assert(
      fc.property(text, (cell) => {
        expect(unguardText(guardText(cell))).toBe(cell);
        const [, [, readBack]] = read(
          writeDelimited([
            ["animal", "note"],
            ["AB1", cell],
          ]),
        );
        expect(readBack).toBe(guardText(cell));
        expect(/^[=@\t\r]/.test(readBack)).toBe(false);
        if (/^[-+]/.test(readBack))
          expect(Number.isFinite(Number(readBack.replace(",", ".").replace("%", "")))).toBe(true);
      }),
      { numRuns: 500 },
    );
  });

  test("a caller may leave text as it is", () => {
    expect(writeDelimited([["=1"]], { spreadsheetSafe: false })).toBe("=1\n");
  });
});

test("lines come one by one, so that a table need not fit in one text", () => {
  let given = 0;
  const rows = function* () {
    for (let row = 0; row < 1_000_000; row++) {
      given++;
      yield [row];
    }
  };
  const lines = delimitedLines(rows());
  expect(lines.next().value).toBe("0\n");
  expect(lines.next().value).toBe("1\n");
  expect(given).toBe(2);
});
