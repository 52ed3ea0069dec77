import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { type ClawLook, readClawLooks } from "../../src/findings/claw-look.ts";
import { clawStarts, type StartSpread, startSpread, visitsOf } from "../../src/findings/claw-starts.ts";
import { parseIsoDay } from "../../src/records/days.ts";
import { does, SmallFlocks } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const look = (claw: string, left: number | null, more: Partial<ClawLook> = {}): ClawLook => ({
  animal: "G0",
  foot: "LF",
  claw,
  day: 0,
  seen: null,
  left,
  leftBy: "after",
  ...more,
});

describe("what a trim truly left a claw with", () => {
  const spread: StartSpread = { reading: 1, within: { after: 3, before: 3, assumed: 1 } };

  // Best linear prediction (Robinson 1991, Statist. Sci. 6:15-32): 3/(3 + 1) of a departure is the claws' own.
  test("readings of a visit are drawn toward their mean by the ruler's share of what they vary", () => {
    const starts = clawStarts([look("inner", 4), look("outer", 6)], spread);
    expect(starts.map(({ mean }) => mean)).toEqual([4.25, 5.75]);
    // what is left open: 0.75 of the reading's variance, and that of the mean of two where a quarter of it is used
    for (const { variance } of starts) expect(variance).toBeCloseTo(0.75 * 1 + (0.25 ** 2 * 4) / 2, 12);
  });

  test("claws read untrimmed are drawn toward each other alone, and a lone claw toward none", () => {
    const starts = clawStarts(
      [
        look("inner", 4),
        look("outer", 6),
        look("inner", 12, { foot: "RF", leftBy: "before" }),
        look("outer", null, { foot: "RF" }),
      ],
      spread,
    );
    expect(starts.map(({ foot, mean, variance }) => [foot, mean, variance])).toContainEqual(["RF", 12, 1]);
    expect(starts).toHaveLength(3);
  });

  test("claws that differ by no more than the ruler are all left with their mean", () => {
    const alike = clawStarts([look("inner", 4), look("outer", 6)], {
      ...spread,
      within: { ...spread.within, after: 0 },
    });
    expect(alike.map(({ mean }) => mean)).toEqual([5, 5]);
    expect(alike[0]!.variance).toBeCloseTo(1 / 2, 12);
  });

  test("a claw cut and not read stands at the flock's mark, unsure by a millimetre", () => {
    const [start] = clawStarts([look("inner", 3.2, { leftBy: "assumed" })], spread);
    expect(start).toMatchObject({ mean: 3.2, variance: 1 });
  });
});

describe("how far claws lie apart", () => {
  test("is what readings of one visit vary beyond their own error", () => {
    const visits = [
      look("inner", 3),
      look("outer", 7),
      look("inner", 4, { day: 9 }),
      look("outer", 6, { day: 9 }),
    ];
    // squares 8 and 2 about the visits' means, on two degrees of freedom; one of the five is the ruler's
    expect(startSpread(visits, 1).within.after).toBeCloseTo(5 - 1, 12);
    expect(startSpread(visits, 9).within.after).toBe(0);
    expect(visitsOf(visits).map((visit) => visit.length)).toEqual([2, 2]);
  });

  test("is taken to be a millimetre where no visit read two", () => {
    expect(startSpread([look("inner", 3)], 0.5).within.after).toBe(1);
  });
});

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([]);
});
afterAll(() => book.close());

describe("looks read from the records", () => {
  const read = (date: string, of: HerdRow): HerdRow => ({
    animal: "G0",
    date,
    foot: "LF",
    claw: "inner",
    trimmed: null,
    overhang_before_mm: null,
    overhang_after_mm: null,
    toe_before_mm: null,
    toe_after_mm: null,
    ...of,
  });
  const flock = flocks.add({
    animals: does(["G0"]),
    trims: [
      read("2024-01-01", { overhang_before_mm: 12, overhang_after_mm: 4, toe_after_mm: 30 }),
      // the toe grew by 5 mm since: the wall stands 9 mm past the pad
      read("2024-02-01", { toe_before_mm: 35, trimmed: false }),
      // cut by 7 mm of 11
      read("2024-03-01", { overhang_before_mm: 11, toe_before_mm: 37, toe_after_mm: 30 }),
      // cut, nobody read how far: the flock's mark of 3.2 mm
      read("2024-04-01", { trimmed: true, overhang_before_mm: 9 }),
    ],
  });
  const looks = (until: string): Promise<ClawLook[]> => readClawLooks(book, flock, parseIsoDay(until)!);

  test("tell what was seen and left, by overhang, else by what the toe grew and lost", async () => {
    expect(await looks("2024-12-31")).toMatchObject([
      { seen: 12, left: 4, leftBy: "after" },
      { seen: 9, left: 9, leftBy: "before" },
      { seen: 11, left: 4, leftBy: "after" },
      { seen: 9, left: 3.2, leftBy: "assumed" },
    ]);
  });

  test("up to a day know nothing of later ones", async () => {
    expect(await looks("2024-02-15")).toHaveLength(2);
  });
});
