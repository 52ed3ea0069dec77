import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { cellsOf } from "../../src/sheets/delimited-record.ts";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import { readRecords } from "../../src/sheets/record-reader.ts";
import { sheetLimits } from "../../src/sheets/sheet-limits.ts";
import { writeDelimited } from "../../src/sheets/write-delimited.ts";
import { numberedRows, rowsOfTable } from "./table-rows.ts";

const bytesOf = (text: string) => new TextEncoder().encode(text);
const delimiters = [",", ";", "\t", "|"] as const;

/** Cells full of what delimited text trips over. */
const awkwardCell = fc
  .array(
    fc.constantFrom(
      "a",
      "7",
      '"',
      '""',
      ",",
      ";",
      "\t",
      "|",
      "\n",
      "\r",
      "\r\n",
      " ",
      "'",
      "=",
      "é",
      "🐐",
      "-",
    ),
    {
      maxLength: 6,
    },
  )
  .map((pieces) => pieces.join(""));
const awkwardRows = fc.array(fc.array(awkwardCell, { minLength: 1, maxLength: 5 }), {
  minLength: 1,
  maxLength: 12,
});

/** What has to come back: rows with any text, each with its number. */
function withNumbers(rows: readonly (readonly string[])[]) {
  return rows
    .map((cells, index) => [index + 1, ...cells] as const)
    .filter(([, ...cells]) => cells.some((cell) => cell !== ""));
}

describe("delimited text written in any shape reads back equal", () => {
  test("by a writer that quotes and ends lines as it pleases", () => {
    const shape = fc.record({
      rows: awkwardRows,
      delimiter: fc.constantFrom(...delimiters),
      marked: fc.boolean(),
      lineEnds: fc.infiniteStream(fc.constantFrom("\n", "\r\n", "\r")),
      quotedAnyway: fc.infiniteStream(fc.boolean()),
      lastLineEnds: fc.boolean(),
    });
    fc.assert(
      fc.property(shape, ({ rows, delimiter, marked, lineEnds, quotedAnyway, lastLineEnds }) => {
        const line = (cells: readonly string[]) =>
          cells
            .map((cell) => {
              const mustQuote = /["\r\n ]/.test(cell) || cell.includes(delimiter);
              return mustQuote || quotedAnyway.next().value ? `"${cell.replaceAll('"', '""')}"` : cell;
            })
            .join(delimiter);
        const lines = rows.map(line);
        let text = `sep=${delimiter}\n`;
        lines.forEach((written, index) => {
          const last = index === lines.length - 1;
          // CR before a blank line that ends in LF would be one line end, not two.
          const loneReturnsAllowed = !last && lines[index + 1] !== "";
          const end = lineEnds.next().value;
          text += written;
          if (!last || lastLineEnds) text += end === "\r" && !loneReturnsAllowed ? "\n" : end;
        });
        const { tables } = readSheets("x", bytesOf((marked ? "\ufeff" : "") + text));
        const expected = withNumbers(rows);
        expect(tables.length === 0 ? [] : numberedRows(tables[0])).toEqual(expected);
      }),
      { numRuns: 400 },
    );
  });

  test("by this project's own writer, guarded text coming back by unguarding", () => {
    fc.assert(
      fc.property(
        awkwardRows,
        fc.constantFrom(...delimiters),
        fc.constantFrom("\n", "\r\n"),
        (rows, delimiter, lineEnd) => {
          const text = writeDelimited(rows, { delimiter, lineEnd, spreadsheetSafe: false });
          const { tables } = readSheets("x", bytesOf(`sep=${delimiter}${lineEnd}${text}`));
          expect(tables.length === 0 ? [] : numberedRows(tables[0])).toEqual(withNumbers(rows));
        },
      ),
      { numRuns: 300 },
    );
  });
});

test("RFC 4180, section 2: each of its seven examples", () => {
  const aaa = [["aaa", "bbb", "ccc"]];
  const zzz = ["zzz", "yyy", "xxx"];
  const read = (text: string) => rowsOfTable(readSheets("x", bytesOf(text)).tables[0]);
  expect(read("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n")).toEqual([...aaa, zzz]);
  expect(read("aaa,bbb,ccc\r\nzzz,yyy,xxx")).toEqual([...aaa, zzz]);
  expect(read("field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n")).toEqual([
    ["field_name", "field_name", "field_name"],
    ...aaa,
    zzz,
  ]);
  expect(read("aaa,bbb,ccc")).toEqual(aaa);
  expect(read('"aaa","bbb","ccc"\r\nzzz,yyy,xxx')).toEqual([...aaa, zzz]);
  expect(read('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx')).toEqual([["aaa", "b\r\nbb", "ccc"], zzz]);
  expect(read('"aaa","b""bb","ccc"')).toEqual([["aaa", 'b"bb', "ccc"]]);
});

describe("records cut into pieces anywhere", () => {
  const readIn = (pieces: readonly string[]) => {
    const reader = readRecords(pieces, ",");
    const rows: unknown[] = [];
    while (reader.next()) {
      rows.push([
        reader.rowNumber(),
        reader.offset(),
        reader.record.unclosed,
        cellsOf(reader.text(), reader.record),
      ]);
    }
    return rows;
  };

  test("read as in one piece", () => {
    const wild = fc
      .array(fc.constantFrom("a", '"', '"', ",", "\n", "\r", " ", "bc", "\r\n", '","', '"\n"'), {
        maxLength: 60,
      })
      .map((parts) => parts.join(""));
    fc.assert(
      fc.property(wild, fc.array(fc.nat(200), { maxLength: 8 }), (text, cuts) => {
        const places = [...new Set([0, ...cuts.filter((cut) => cut < text.length), text.length])].sort(
          (a, b) => a - b,
        );
        const pieces = places.slice(1).map((place, index) => text.slice(places[index], place));
        expect(readIn(pieces)).toEqual(readIn([text]));
      }),
      { numRuns: 2000 },
    );
  });

  test("lose no character: the records tile the text", () => {
    const wild = fc
      .array(fc.constantFrom("a", '"', ",", "\n", "\r\n", " "), { maxLength: 60 })
      .map((parts) => parts.join(""));
    fc.assert(
      fc.property(wild, (text) => {
        const reader = readRecords([text], ",");
        let kept = "";
        while (reader.next()) {
          for (const cell of cellsOf(reader.text(), reader.record)) kept += cell;
        }
        const letters = (from: string) => from.replace(/[^a]/g, "");
        expect(letters(kept)).toBe(letters(text));
      }),
      { numRuns: 1000 },
    );
  });
});

describe("the delimiter is found in sheets as people keep them", () => {
  const number = (mark: string) =>
    fc.tuple(fc.nat(99), fc.nat(9)).map(([whole, tenth]) => `${whole}${mark}${tenth}`);
  const word = fc.constantFrom("sound", "lame", "white line", "LF", "AB12", "2024-03-01", "3/8", "");

  test.each([
    [",", ".", ["a; b", "fine"]],
    [";", ",", ["a, b", "fine"]],
    ["\t", ",", ["a, b", "c; d", "fine"]],
    ["|", ".", ["a, b", "c; d", "fine"]],
  ] as const)("delimiter %j, decimal mark %j", (delimiter, mark, remarks) => {
    const row = fc.tuple(word, number(mark), number(mark), fc.constantFrom(...remarks));
    fc.assert(
      fc.property(fc.array(row, { minLength: 2, maxLength: 20 }), fc.boolean(), (rows, titled) => {
        const lines = [["animal", "toe_mm", "heel_mm", "note"], ...rows].map((cells) =>
          cells.join(delimiter),
        );
        const text = `${titled ? "Trims of the spring\n\n" : ""}${lines.join("\n")}\n`;
        expect(rowsOfTable(readSheets("x", bytesOf(text)).tables[0]).at(-1)).toEqual(rows.at(-1));
      }),
    );
  });
});

describe("limits", () => {
  test("ten thousand columns are read", () => {
    const cells = Array.from({ length: 10_000 }, (_, column) => `c${column}`);
    const { tables, troubles } = readSheets("x", bytesOf(`${cells.join(",")}\n${cells.join(",")}\n`));
    expect(troubles).toEqual([]);
    expect(rowsOfTable(tables[0])).toEqual([cells, cells]);
  });

  test("a row of more columns than a spreadsheet has is left out and named", () => {
    const wide = ",".repeat(sheetLimits.columns);
    const { tables, troubles } = readSheets("x", bytesOf(`a,b\n1${wide}\n3,4\n`));
    expect(troubles).toMatchObject([{ code: "row_too_wide", row: 2, detail: "16384" }]);
    expect(numberedRows(tables[0])).toEqual([
      [1, "a", "b"],
      [3, "3", "4"],
    ]);
  });

  test("a line past the limit of length is left out and named, what follows is read", () => {
    const long = "x".repeat(sheetLimits.rowCharacters + 10);
    const { tables, troubles } = readSheets("x", bytesOf(`a,b\n${long}\r\n3,4\n`));
    expect(troubles).toMatchObject([{ code: "row_too_long", row: 2 }]);
    expect(numberedRows(tables[0])).toEqual([
      [1, "a", "b"],
      [3, "3", "4"],
    ]);
  });

  test("a quote open for more than the limit is taken for a plain one", () => {
    const line = `${"y".repeat(1000)},1\n`;
    const { tables, troubles } = readSheets("x", bytesOf(`a,b\n"open,1\n${line.repeat(2000)}z,"end"\n`));
    expect(troubles).toMatchObject([{ code: "unclosed_quote", row: 2 }]);
    expect(numberedRows(tables[0])).toHaveLength(2003);
  });

  test("troubles past the limit are counted", () => {
    const { troubles } = readSheets("x", bytesOf('a,b\n"open\n'.repeat(500)));
    expect(troubles).toHaveLength(sheetLimits.listedTroubles + 1);
    expect(troubles.at(-1)).toMatchObject({ code: "more_troubles", detail: "300" });
  });

  test.each([
    ["opening quotes only", '"'],
    ["quotes and line ends", '"\n'],
    ["openers with doubled quotes", '""a,'],
    ["stray quotes", '"a"b",'],
    ["spaced openers", ', "a'],
    ["doubled quotes after an opener", '"""\n'],
    ["carriage returns", "\r"],
    ["delimiters", ","],
    ["spaces", " "],
  ])("%s, half a million characters of them, are done with", (_, unit) => {
    const text = `head,er\n${unit.repeat(500_000 / unit.length)}`;
    const { tables } = readSheets("x", bytesOf(text));
    for (const table of tables) expect(rowsOfTable(table)[0]).toEqual(["head", "er"]);
  });

  test("batches hold some thousand rows and cover all of them", () => {
    const { tables } = readSheets(
      "x",
      bytesOf(`n\n${Array.from({ length: 40_000 }, (_, n) => n).join("\n")}\n`),
    );
    const batches = [...tables[0].batches()];
    expect(batches.length).toBeGreaterThan(1);
    const all = batches.flatMap(({ rowNumbers, rows }) =>
      rows.map(([cell], index) => [rowNumbers[index], cell]),
    );
    expect(all).toEqual([[1, "n"], ...Array.from({ length: 40_000 }, (_, n) => [n + 2, String(n)])]);
  });
});

describe("rows of notes", () => {
  test("are counted without the separator line, and named though the text before has other line ends", () => {
    const text = "sep=;\r\nanimal;note\rAB1;fine\nAB2;so\0und\r\nAB3;9.82E+14\r\nAB4;x\0y\r\n";
    const [table] = readSheets("x", bytesOf(text)).tables;
    expect(table.notes).toEqual([
      { code: "separator_line", row: null, column: null, count: 1, detail: ";" },
      { code: "digits_lost", row: 4, column: null, count: 1, detail: "9.82E+14" },
      { code: "nul_characters_removed", row: 3, column: null, count: 2, detail: "" },
    ]);
  });

  test("name the row of a stray byte far into a file", () => {
    const before = "AB1;señal\n".repeat(30_000);
    const bytes = Uint8Array.from([
      ...bytesOf(`animal;note\n${before}AB2;a`),
      0xf1,
      ...bytesOf("o\nAB3;x\n"),
    ]);
    const [table] = readSheets("x", bytes).tables;
    expect(table.notes).toMatchObject([{ code: "mixed_encoding", row: 30_002, count: 1 }]);
    expect(numberedRows(table).at(-2)).toEqual([30_002, "AB2", "año"]);
  });
});

test("quotes where none belong speak against a delimiter", () => {
  // Split at the pipe, every line has two cells too, but quotes end up inside of them.
  const text = 'AB1,"left | right"\nAB3,"front | hind"\n';
  expect(rowsOfTable(readSheets("x", bytesOf(text)).tables[0])).toEqual([
    ["AB1", "left | right"],
    ["AB3", "front | hind"],
  ]);
});
