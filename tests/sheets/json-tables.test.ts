import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import { numberedRows, rowsOfTable } from "./table-rows.ts";

const bytesOf = (text: string) => new TextEncoder().encode(text);

const key = fc.constantFrom("animal", "date", 'we"ird', "ключ", "__proto__", "constructor", "a.b", "");
const value = fc.oneof(
  fc.string({ unit: "grapheme" }).filter((text) => !text.includes("\0")),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.boolean(),
  fc.constant(null),
  fc.array(fc.integer(), { maxLength: 3 }),
  fc.record({ x: fc.string({ unit: fc.constantFrom("]", "}", '"', "\\", ",") }) }),
);
/** Objects as lists of members, so that no key is special to the test itself. */
const members = fc.uniqueArray(fc.tuple(key, value), { selector: ([name]) => name, maxLength: 5 });
const written = (list: readonly (readonly [string, unknown])[]) =>
  `{${list.map(([name, content]) => `${JSON.stringify(name)}:${JSON.stringify(content)}`).join(",")}}`;

/** The cell that a value must give: strings as they are, null empty, the rest as JSON writes it. */
function cellOf(content: unknown): string {
  if (content === null) return "";
  return typeof content === "string" ? content : JSON.stringify(content);
}

function expectedRows(objects: readonly (readonly (readonly [string, unknown])[])[]): string[][] {
  const header: string[] = [];
  for (const list of objects) for (const [name] of list) if (!header.includes(name)) header.push(name);
  const rows = objects.map((list) => {
    const cells: string[] = [];
    for (const [name, content] of list) {
      const column = header.indexOf(name);
      while (cells.length <= column) cells.push("");
      cells[column] = cellOf(content);
    }
    return cells;
  });
  return [header, ...rows].filter((cells) => cells.some((cell) => cell !== ""));
}

describe("objects come back as rows under the union of their keys", () => {
  const objects = fc
    .array(members, { minLength: 1, maxLength: 6 })
    .filter((list) => list.some((one) => one.length > 0));

  test("as a document", () => {
    fc.assert(
      fc.property(objects, fc.constantFrom("", " ", "\n  "), (list, space) => {
        const text = `${space}[${space}${list.map(written).join(`${space},${space}`)}${space}]${space}`;
        const { tables, troubles } = readSheets("x", bytesOf(text));
        expect(troubles).toEqual([]);
        expect(tables.flatMap(rowsOfTable)).toEqual(expectedRows(list));
      }),
      { numRuns: 300 },
    );
  });

  test("as lines", () => {
    fc.assert(
      fc.property(objects, (list) => {
        // Two lines at least: one alone is a document.
        const twice = [...list, ...list];
        const { tables, troubles } = readSheets("x", bytesOf(twice.map(written).join("\n")));
        expect(troubles).toEqual([]);
        expect(tables[0].format).toBe("ndjson");
        expect(rowsOfTable(tables[0])).toEqual(expectedRows(twice));
      }),
      { numRuns: 300 },
    );
  });
});

test("a document cut anywhere is not read, and says so", () => {
  const text = '[{"animal":"AB1","toe":{"LF":[1,2]}},{"animal":"AB\\"2","ok":true}]';
  for (let length = 2; length < text.length; length++) {
    const { tables, troubles } = readSheets("x", bytesOf(text.slice(0, length)));
    expect(tables, text.slice(0, length)).toEqual([]);
    expect(troubles).toMatchObject([{ code: "broken_json" }]);
  }
});

test("one long line of an unclosed string or array is done with", () => {
  for (const unit of ['{"a":', "[", '[{"a":1},', '"\\', '{"a":1}']) {
    const { tables, troubles } = readSheets("x", bytesOf(`[${unit.repeat(400_000 / unit.length)}`));
    expect(tables.length + troubles.length).toBeGreaterThan(0);
  }
});

test("lines end in CRLF as well, and the row says which line is broken", () => {
  const { tables, troubles } = readSheets(
    "x",
    bytesOf('{"a":1}\r\n{"a":2}\r\n{"a":\r\n{"a":4} x\r\n[5]\r\n7\r\n'),
  );
  expect(numberedRows(tables[0])).toEqual([
    [1, "a"],
    [2, "1"],
    [3, "2"],
  ]);
  expect(troubles.map(({ code, row }) => [code, row])).toEqual([
    ["broken_json", 4],
    ["broken_json", 5],
    ["broken_json", 6],
    ["broken_json", 7],
  ]);
});
