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

/** The cells that a member must give, by header: strings as they are, null empty, lists joined, objects apart. */
function cellsOf(name: string, content: unknown): readonly (readonly [string, string])[] {
  if (content === null) return [[name, ""]];
  if (typeof content === "string") return [[name, content]];
  if (Array.isArray(content)) return content.length === 0 ? [] : [[name, content.join("; ")]];
  if (typeof content !== "object") return [[name, JSON.stringify(content)]];
  return Object.entries(content).flatMap(([inner, value]) => cellsOf(`${name} ${inner}`, value));
}

function expectedRows(objects: readonly (readonly (readonly [string, unknown])[])[]): string[][] {
  const header: string[] = [];
  const cells = objects.map((list) => list.flatMap(([name, content]) => cellsOf(name, content)));
  for (const list of cells) for (const [name] of list) if (!header.includes(name)) header.push(name);
  const rows = cells.map((list) => {
    const row: string[] = [];
    for (const [name, cell] of list) {
      const column = header.indexOf(name);
      while (row.length <= column) row.push("");
      row[column] = cell;
    }
    return row;
  });
  return [header, ...rows].filter((row) => row.some((cell) => cell !== ""));
}

describe("objects come back as rows under the union of their keys", () => {
  const objects = fc
    .array(members, { minLength: 1, maxLength: 6 })
    .filter((list) => list.some((one) => one.some(([name, content]) => cellsOf(name, content).length > 0)));

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

test("claws listed in their visits give the rows of the same claws written flat", () => {
  const plain = fc.oneof(fc.string(), fc.integer(), fc.boolean());
  const claw = fc.record({ foot: plain, toe: plain }, { requiredKeys: ["foot"] });
  const visit = fc.record({ animal: plain, claws: fc.array(claw, { maxLength: 3 }), day: plain });
  const visits = fc.array(visit, { minLength: 2, maxLength: 5 });
  fc.assert(
    fc.property(visits, fc.boolean(), (list, inLines) => {
      // the first visit fixes the order of columns
      const all = [{ animal: "A", day: "d", claws: [{ foot: "f", toe: "t" }] }, ...list];
      const flat = all.flatMap(({ claws, ...shared }) =>
        claws.length === 0 ? [shared] : claws.map((one) => ({ ...shared, ...one })),
      );
      const textOf = (objects: readonly object[]): string =>
        inLines ? objects.map((one) => JSON.stringify(one)).join("\n") : JSON.stringify(objects);
      const [nested, plainly] = [all, flat].map((objects) => readSheets("x", bytesOf(textOf(objects))));
      expect(nested.troubles).toEqual([]);
      expect(numberedRows(nested.tables[0]).map(([row, ...cells]) => [row, ...filled(cells)])).toEqual(
        numberedRows(plainly.tables[0]).map(([row, ...cells]) => [row, ...filled(cells)]),
      );
    }),
    { numRuns: 200 },
  );
});

/** Cells without the blank ones at the end, which are no part of a row. */
function filled(cells: readonly string[]): readonly string[] {
  let end = cells.length;
  while (end > 0 && cells[end - 1] === "") end--;
  return cells.slice(0, end);
}

test("a trouble below a list names the row that stands there", () => {
  const { tables, troubles } = readSheets(
    "x",
    bytesOf('{"a":1,"l":[{"b":1},{"b":2}]}\n{"a":\n{"a":3,"l":[[1]]}\n'),
  );
  expect(numberedRows(tables[0])).toEqual([
    [1, "a", "b", "l"],
    [2, "1", "1"],
    [3, "1", "2"],
    [5, "3", "", "[[1]]"],
  ]);
  expect(troubles).toMatchObject([
    { code: "broken_json", row: 4 },
    { code: "nested_values", row: 5, detail: "l" },
  ]);
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
