import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { type MeasurementErrorRow, measurementErrorTable } from "../../src/findings/measurement-error.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { does, SmallFlocks, tagsOf } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([]);
});
afterAll(() => book.close());

async function errorsOf(flock: string): Promise<Record<string, MeasurementErrorRow>> {
  const rows = await readTable(book, measurementErrorTable, `flock = ${quoteText(flock)}`);
  return Object.fromEntries(rows.map((row) => [`${row.measurer} ${row.measure}`, row]));
}

const TAGS = tagsOf("G", 4);
const read = (animal: string, measurer: string | null, lengths: HerdRow, date = "2024-04-01"): HerdRow => ({
  animal,
  date,
  foot: "LF",
  claw: "inner",
  measurer,
  toe_before_mm: null,
  toe_after_mm: null,
  overhang_before_mm: null,
  ...lengths,
});

describe("one person who read three claws twice", () => {
  const flock = flocks.add({
    animals: does(TAGS),
    trims: [
      ...[30, 31].map((toe_before_mm) => read("G0", "Ann", { toe_before_mm })),
      ...[40, 42].map((toe_before_mm) => read("G1", "Ann", { toe_before_mm })),
      ...[35, 32].map((toe_before_mm) => read("G2", "Ann", { toe_before_mm })),
      // read once, and once more a day later: no repeat
      read("G3", "Ann", { toe_before_mm: 30 }),
      read("G3", "Ann", { toe_before_mm: 50 }, "2024-04-02"),
    ],
  });
  // Dahlberg 1940: √(Σd²/2n); limits from chi-square on 3 degrees of freedom, any table: 9.3484 and 0.2158.
  test("has the error of Dahlberg's formula, with its limits", async () => {
    const errors = await errorsOf(flock);
    expect(Object.keys(errors)).toEqual(["Ann toe", "all toe"]);
    const row = errors["Ann toe"]!;
    expect(row.pairs).toBe(3);
    expect(row.technical_error_mm).toBeCloseTo(Math.sqrt((1 + 4 + 9) / 6), 12);
    expect(row.lo).toBeCloseTo(Math.sqrt(7 / 9.3484), 4);
    expect(row.hi).toBeCloseTo(Math.sqrt(7 / 0.2158), 3);
    expect(row.smallest_detectable_change_mm).toBeCloseTo(1.959964 * Math.SQRT2 * row.technical_error_mm, 5);
  });
});

describe("two people who read the same claws", () => {
  const flock = flocks.add({
    animals: does(TAGS),
    trims: [
      // they lie 4 mm apart on each claw, and each is true to himself on the one that he reads twice
      ...TAGS.slice(0, 3).flatMap((animal) => [
        read(animal, "Ann", { toe_before_mm: 30, overhang_before_mm: 5 }),
        read(animal, "Bob", { toe_before_mm: 34, overhang_before_mm: 5 }),
      ]),
      read("G3", "Ann", { toe_before_mm: 30 }),
      read("G3", "Ann", { toe_before_mm: 30 }),
      // the length after a trim is another length than that before
      read("G2", null, { toe_after_mm: 20 }),
    ],
  });
  test("err together by what lies between them too, each alone only by himself", async () => {
    const errors = await errorsOf(flock);
    expect(errors["Ann toe"]).toMatchObject({ pairs: 1, technical_error_mm: 0 });
    expect(errors["Bob toe"]).toBeUndefined();
    // three pairs 4 mm apart and one of none: √(48/8)
    expect(errors["all toe"]!.pairs).toBe(4);
    expect(errors["all toe"]!.technical_error_mm).toBeCloseTo(Math.sqrt(48 / 8), 12);
  });

  test("each measure has its own error", async () => {
    expect((await errorsOf(flock))["all overhang"]).toMatchObject({ pairs: 3, technical_error_mm: 0 });
  });
});

describe("three readings of one claw", () => {
  const flock = flocks.add({
    animals: does(TAGS),
    trims: [29, 30, 34].map((toe_before_mm) => read("G0", "Ann", { toe_before_mm })),
  });
  test("are two degrees of freedom about their mean", async () => {
    // mean 31: squares 4, 1, 9 over 2
    expect((await errorsOf(flock))["all toe"]).toMatchObject({
      pairs: 1,
      technical_error_mm: expect.closeTo(Math.sqrt(7), 12),
    });
  });
});

describe("claws read once", () => {
  const flock = flocks.add({
    animals: does(TAGS),
    trims: TAGS.map((tag) => read(tag, "Ann", { toe_before_mm: 30 })),
  });
  test("tell no error", async () => {
    expect(await errorsOf(flock)).toEqual({});
  });
});
