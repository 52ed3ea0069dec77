import { readdirSync, readFileSync } from "node:fs";
import { gzipSync } from "node:zlib";
import fc from "fast-check";
import { expect, test } from "vitest";
import { readSheets } from "../../src/sheets/read-sheets.ts";

/** Reads a file to its end; what it hands back must always hold together. */
function readWhole(bytes: Uint8Array): void {
  const { tables, troubles } = readSheets("any", bytes);
  expect(tables.length + troubles.length).toBeGreaterThan(0);
  for (const table of tables) {
    let before = 0;
    for (const { rowNumbers, rows } of table.batches()) {
      expect(rowNumbers).toHaveLength(rows.length);
      rows.forEach((cells, index) => {
        expect(rowNumbers[index]).toBeGreaterThan(before);
        before = rowNumbers[index];
        expect(cells.some((cell) => cell !== "")).toBe(true);
        expect(cells.every((cell) => typeof cell === "string")).toBe(true);
      });
    }
  }
}

const latin = (text: string) => Uint8Array.from(text, (character) => character.charCodeAt(0));
const joined = (...parts: Uint8Array[]) => Uint8Array.from(parts.flatMap((part) => [...part]));

test("any bytes, behind any signature, are read or refused, and nothing is thrown", () => {
  const starts = [
    "",
    "PK\x03\x04",
    "PK\x05\x06",
    "\x1f\x8b\x08\0",
    "[",
    "{",
    '[{"a":',
    '{"a"',
    "\xff\xfe",
    "\xfe\xff",
    "\xef\xbb\xbf",
    "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
    "sep=;\n",
    "<",
    '"',
  ];
  fc.assert(
    fc.property(fc.constantFrom(...starts), fc.uint8Array({ maxLength: 400 }), (start, rest) => {
      readWhole(joined(latin(start), rest));
    }),
    { numRuns: 1500 },
  );
});

test("any text made of JSON's own characters is read or refused", () => {
  const piece = fc.constantFrom(
    "{",
    "}",
    "[",
    "]",
    '"',
    ":",
    ",",
    "1",
    "null",
    '"a":',
    '{"a":1}',
    "\n",
    "\\",
    "\\u00",
    "e",
    "-",
  );
  fc.assert(
    fc.property(fc.constantFrom("[{", '{"', "[["), fc.array(piece, { maxLength: 30 }), (start, pieces) => {
      readWhole(latin(start + pieces.join("")));
    }),
    { numRuns: 1500 },
  );
});

test("good files with bytes changed, cut or doubled are read or refused", () => {
  const folder = new URL("./awkward/", import.meta.url);
  const good = readdirSync(folder)
    .filter((name) => /\.(xlsx|gz|json|ndjson|csv|txt)$/.test(name))
    .map((name) => new Uint8Array(readFileSync(new URL(name, folder))))
    .filter((bytes) => bytes.length > 0);
  const change = fc.record({
    bytes: fc.constantFrom(...good),
    flips: fc.array(fc.tuple(fc.nat(), fc.integer({ min: 1, max: 255 })), { maxLength: 4 }),
    cutAt: fc.option(fc.nat()),
    doubled: fc.boolean(),
    packed: fc.boolean(),
  });
  fc.assert(
    fc.property(change, ({ bytes, flips, cutAt, doubled, packed }) => {
      let changed = bytes.slice();
      for (const [place, mask] of flips) changed[place % changed.length] ^= mask;
      if (cutAt !== null) changed = changed.subarray(0, cutAt % changed.length);
      if (doubled) changed = joined(changed, changed);
      readWhole(packed ? new Uint8Array(gzipSync(changed)) : changed);
    }),
    { numRuns: 1200 },
  );
});
