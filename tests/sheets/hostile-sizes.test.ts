import { describe, expect, test } from "vitest";
import { readSheets } from "../../src/sheets/read-sheets.ts";

/** 12 MB: past every limit of one row, and small enough that only a slow way through it shows. */
const SIZE = 12 * 1024 * 1024;

const filled = (text: string): Uint8Array => {
  const bytes = new Uint8Array(SIZE);
  const piece = new TextEncoder().encode(text);
  for (let at = 0; at < SIZE; at += piece.length) bytes.set(piece.subarray(0, SIZE - at), at);
  return bytes;
};

const around = (start: string, inside: Uint8Array, end: string): Uint8Array => {
  const [before, after] = [start, end].map((text) => new TextEncoder().encode(text)) as [
    Uint8Array,
    Uint8Array,
  ];
  const all = new Uint8Array(before.length + inside.length + after.length);
  all.set(before);
  all.set(inside, before.length);
  all.set(after, before.length + inside.length);
  return all;
};

describe("12 MB", () => {
  test.each([
    ["in one line", () => filled("x"), ["row_too_long"], 0],
    ["of delimiters", () => filled(";,|\t"), ["row_too_long"], 0],
    [
      "in one line among others",
      () => around("animal,date\nA1,", filled("x"), "\nA2,2025-01-05\n"),
      ["row_too_long"],
      2,
    ],
    [
      "in one line of JSON among others",
      () => around('{"animal":"A1"}\n{"animal":"', filled("x"), '"}\n{"animal":"A2"}\n'),
      ["row_too_long"],
      3,
    ],
    [
      "in one record of a JSON list",
      () => around('[{"animal":"A1"},{"animal":"', filled("x"), '"},{"animal":"A2"}]'),
      ["row_too_long"],
      3,
    ],
    ["of brackets", () => around('[{"animal":', filled("["), "}]"), ["json_too_deep"], 0],
    ["of zero bytes", () => filled("\0"), ["empty_file"], 0],
  ])("%s: named, and every other row is read", (_, make, codes, rows) => {
    const { tables, troubles } = readSheets("big", make());
    let read = 0;
    for (const table of tables) for (const batch of table.batches()) read += batch.rows.length;
    expect(troubles.map(({ code }) => code)).toEqual(codes);
    expect(read).toBe(rows);
  });
});
