import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { type TrimQualityRow, trimQuality, trimQualityTable } from "../../src/findings/trim-quality.ts";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { does, SmallFlocks, stand, tagsOf } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([trimQuality]);
});
afterAll(() => book.close());

async function rowOf(flock: string, kind = "flock", value = flock): Promise<TrimQualityRow> {
  const rows = await readTable(
    book,
    trimQualityTable,
    `flock = ${quoteText(flock)} AND season = 'all' AND group_kind = ${quoteText(kind)} AND group_value = ${quoteText(value)}`,
  );
  return rows[0]!;
}

const trim = (animal: string, more: HerdRow = {}): HerdRow => ({
  animal,
  date: "2024-04-01",
  foot: "LF",
  claw: "inner",
  trimmed: true,
  bled: null,
  overhang_after_mm: null,
  stage: null,
  trimmer: null,
  measurer: null,
  repeat: null,
  ...more,
});
const herd = (count: number) => ({
  animals: does(tagsOf("G", count)),
  stays: stand(tagsOf("G", count), "Yard"),
});

describe("how many bled", () => {
  // Newcombe 1998, Stat. Med. 17:857-872, table I, method 5 (from memory): exact limits of 1 of 29 are 0.0009 and
  // 0.1776, of 0 of 20 are 0 and 0.1684.
  const published = [
    { bled: 1, count: 29, lo: 0.0009, hi: 0.1776 },
    { bled: 0, count: 20, lo: 0, hi: 0.1684 },
  ].map((one) => ({
    ...one,
    flock: flocks.add({
      ...herd(one.count),
      trims: tagsOf("G", one.count).map((animal, i) => trim(animal, { bled: i < one.bled })),
    }),
  }));
  test.each(published)("$bled of $count has the published limits", async ({ flock, bled, count, lo, hi }) => {
    const row = await rowOf(flock);
    expect(row).toMatchObject({ trims: count, bled, bled_rate: bled / count });
    expect(row.lo).toBeCloseTo(lo, 4);
    expect(row.hi).toBeCloseTo(hi, 4);
  });

  const few = flocks.add({
    ...herd(19),
    trims: tagsOf("G", 19).map((animal) => trim(animal, { bled: true })),
  });
  test("nineteen trims are too few for a share", async () => {
    expect(await rowOf(few)).toMatchObject({
      trims: 19,
      bled: 19,
      bled_rate: null,
      caution: "too_few_events(19,20)",
    });
  });
});

describe("what counts", () => {
  const flock = flocks.add({
    ...herd(12),
    trims: [
      trim("G0", { bled: true, overhang_after_mm: -1 }),
      trim("G1", { overhang_after_mm: -0.5 }),
      trim("G2", { overhang_after_mm: 0 }),
      // the flock's mark of 3.2 and 3 mm more
      trim("G3", { overhang_after_mm: 6.2 }),
      trim("G4", { overhang_after_mm: 6.3 }),
      trim("G5", { overhang_after_mm: 9, stage: "1 of 2" }),
      // looked at, not cut
      trim("G6", { trimmed: false, bled: true }),
      trim("G7", { trimmed: null }),
      // cut, as the length after it tells
      trim("G8", { trimmed: null, overhang_after_mm: 3 }),
      // one claw measured by two people, one of them twice
      trim("G9", { overhang_after_mm: 1, measurer: "Ann" }),
      trim("G9", { overhang_after_mm: -2, measurer: "Bob" }),
      trim("G9", { overhang_after_mm: 2, measurer: "Ann", repeat: 2 }),
      // two claws are two trims
      trim("G10"),
      trim("G10", { claw: "outer" }),
    ],
  });
  test("a claw cut on a day is one trim; bled or cut below the pad is too far; stages are not left long", async () => {
    expect(await rowOf(flock)).toMatchObject({
      trims: 10,
      bled: 1,
      over_trimmed: 2,
      left_long: 1,
      staged: 1,
    });
  });
});

describe("stages", () => {
  const day = (ago: number): string => isoDay(parseIsoDay("2024-04-01")! + ago);
  const followed = (animal: string, days: number, next: string): HerdRow[] => [
    trim(animal, { stage: "1 of 2" }),
    trim(animal, { date: day(days), stage: next }),
  ];
  const flock = flocks.add({
    ...herd(6),
    trims: [
      ...followed("G0", 2, "2 of 2"),
      ...followed("G1", 3, "2 of 2"),
      ...followed("G2", 21, "done"),
      ...followed("G3", 22, "2 of 2"),
      trim("G4", { stage: "1" }),
      trim("G4", { date: day(10) }),
      trim("G5", { stage: "2 of 2" }),
    ],
  });
  test("that want a next one are followed up three to twenty-one days later by a stage, the last wants none", async () => {
    expect(await rowOf(flock)).toMatchObject({ staged: 5, staged_followed_up: 2 });
  });
});

describe("trimmers held against the flock", () => {
  const by = (trimmer: string, from: number, count: number, bled: number): HerdRow[] =>
    Array.from({ length: count }, (_, i) => trim(`G${from + i}`, { trimmer, bled: i < bled }));
  const flock = flocks.add({
    ...herd(99),
    trims: [...by("Ann", 0, 20, 8), ...by("Bob", 20, 60, 0), ...by("Cal", 80, 19, 0)],
  });
  const binomial = (k: number, n: number, p: number): number => {
    let chance = (1 - p) ** n;
    for (let i = 1; i <= k; i++) chance *= ((n - i + 1) / i) * (p / (1 - p));
    return chance;
  };
  // Limits of 99.8 %: Spiegelhalter 2005, Stat. Med. 24:1185-1202.
  test("lie outside where so many are rarer than one in five hundred at the flock's own share", async () => {
    const share = 8 / 99;
    const upper = Array.from({ length: 13 }, (_, i) => binomial(8 + i, 20, share)).reduce((a, b) => a + b, 0);
    expect(upper).toBeLessThan(0.002);
    expect(await rowOf(flock, "trimmer", "Ann")).toMatchObject({ outside_limits: true });
    // none of sixty: so unlikely a count or unlikelier, on both sides
    const none = binomial(0, 60, share);
    const both = Array.from({ length: 61 }, (_, k) => binomial(k, 60, share))
      .filter((one) => one <= none)
      .reduce((a, b) => a + b, 0);
    expect(both).toBeGreaterThan(0.002);
    expect(await rowOf(flock, "trimmer", "Bob")).toMatchObject({ outside_limits: false });
  });

  test("are not judged under twenty trims, and the flock not by itself", async () => {
    expect(await rowOf(flock, "trimmer", "Cal")).toMatchObject({ outside_limits: null });
    expect(await rowOf(flock)).toMatchObject({ outside_limits: null });
  });
});
