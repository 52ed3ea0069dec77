import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { MODELLED } from "../../src/findings/growth-interval.ts";
import { does, SmallFlocks, stand, tagsOf } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([]);
});
afterAll(() => book.close());

interface Interval {
  readonly animal: string;
  readonly foot: string;
  readonly claw: string;
  readonly start: string;
  readonly days: number;
  readonly growth_mm: number;
  readonly rate_mm_30d: number;
  readonly basis: string;
  readonly starts_untrimmed: boolean;
  readonly pen: string | null;
  readonly protein: number | null;
  readonly copper: number | null;
  readonly wetness: number | null;
  readonly caution: string | null;
  readonly modelled: boolean;
}

function intervalsOf(flock: string, animal = "G0"): Promise<Interval[]> {
  return book.rows<Interval>(
    `SELECT animal, foot, claw, CAST(date_from AS VARCHAR) AS start, days, growth_mm, rate_mm_30d, basis, starts_untrimmed, pen,
       crude_protein_pct_dm AS protein, copper_mg_per_kg_dm AS copper, wetness, caution, ${MODELLED} AS modelled
     FROM results.growth_interval WHERE flock = ${quoteText(flock)} AND animal = ${quoteText(animal)} ORDER BY foot, claw, date_from`,
  );
}

/** One goat in one pen and what was read of its claws. */
function goat(trims: readonly HerdRow[]): string {
  return flocks.add({
    animals: does(["G0"]),
    stays: stand(["G0"], "Yard"),
    trims: trims.map((row) => ({ ...unread, ...row })),
  });
}

const unread: HerdRow = {
  animal: "G0",
  date: null,
  foot: "LF",
  claw: "inner",
  toe_before_mm: null,
  toe_after_mm: null,
  overhang_before_mm: null,
  overhang_after_mm: null,
  mark_mm: null,
  trimmed: null,
  stage: null,
  measurer: null,
};

describe("what an interval is measured by", () => {
  const toe = goat([
    { date: "2024-04-01", toe_before_mm: 40, toe_after_mm: 30, trimmed: true },
    { date: "2024-05-16", toe_before_mm: 36, toe_after_mm: 31, trimmed: true },
  ]);
  test("toe: from the length after the first trim to the length before the second", async () => {
    // 6 mm in 45 days are 4 in 30
    expect(await intervalsOf(toe)).toMatchObject([
      {
        start: "2024-04-01",
        days: 45,
        growth_mm: 6,
        rate_mm_30d: 4,
        basis: "toe",
        starts_untrimmed: false,
        caution: null,
        modelled: true,
      },
    ]);
  });

  const mark = goat([
    { date: "2024-04-01", toe_after_mm: 30, toe_before_mm: 40, mark_mm: 2, trimmed: true },
    { date: "2024-05-01", toe_before_mm: 36, mark_mm: 9, trimmed: false },
    // the scratch has grown out and a new one stands nearer the hairline: the toe tells
    { date: "2024-05-31", toe_before_mm: 39, mark_mm: 3, trimmed: false },
  ]);
  test("a scratch below the hairline is true growth and wins over the toe", async () => {
    expect(await intervalsOf(mark)).toMatchObject([
      { basis: "mark", growth_mm: 7, rate_mm_30d: 7, starts_untrimmed: true },
      { basis: "toe", growth_mm: 3, rate_mm_30d: 3, starts_untrimmed: true },
    ]);
  });

  const overhang = goat([
    { date: "2024-04-01", overhang_before_mm: 11, overhang_after_mm: 3, toe_after_mm: 30 },
    { date: "2024-05-01", overhang_before_mm: 8 },
  ]);
  test("overhang where nothing better stands on both days, and said to be weaker", async () => {
    expect(await intervalsOf(overhang)).toMatchObject([
      { basis: "overhang", growth_mm: 5, caution: "overhang_basis", modelled: true },
    ]);
  });

  const bothLengths = goat([
    { date: "2024-04-01", overhang_after_mm: 3, toe_after_mm: 30, trimmed: true },
    { date: "2024-05-01", overhang_before_mm: 9, toe_before_mm: 34 },
  ]);
  test("the toe wins over the overhang", async () => {
    expect(await intervalsOf(bothLengths)).toMatchObject([{ basis: "toe", growth_mm: 4 }]);
  });
});

describe("where no interval starts", () => {
  const unknown = goat([
    { date: "2024-04-01", toe_before_mm: 33 },
    { date: "2024-05-01", toe_before_mm: 36, trimmed: false },
    { date: "2024-05-31", toe_before_mm: 40 },
  ]);
  test("at a record that does not say whether the claw was trimmed; at one that says it was not, it does", async () => {
    expect(await intervalsOf(unknown)).toMatchObject([
      { start: "2024-05-01", growth_mm: 4, starts_untrimmed: true },
    ]);
  });

  const noAfter = goat([
    { date: "2024-04-01", toe_before_mm: 33, trimmed: true },
    { date: "2024-05-01", toe_before_mm: 36, trimmed: true },
  ]);
  test("at a trim without a length after it", async () => {
    expect(await intervalsOf(noAfter)).toEqual([]);
  });

  const missed = goat([
    { date: "2024-04-01", toe_after_mm: 30, trimmed: true },
    { date: "2024-04-01", toe_after_mm: 30, trimmed: true, claw: "outer" },
    { date: "2024-05-01", toe_before_mm: 34, toe_after_mm: 30, trimmed: true, claw: "outer" },
    { date: "2024-05-31", toe_before_mm: 38, trimmed: true },
    { date: "2024-05-31", toe_before_mm: 33, trimmed: true, claw: "outer" },
  ]);
  test("at a claw whose row of a trim in between is missing: whether it was cut is not known", async () => {
    expect(await intervalsOf(missed)).toMatchObject([
      { claw: "outer", start: "2024-04-01", growth_mm: 4 },
      { claw: "outer", start: "2024-05-01", growth_mm: 3 },
    ]);
  });

  const stage = goat([
    { date: "2024-04-01", toe_after_mm: 30, trimmed: true },
    { date: "2024-05-01", toe_after_mm: 30, trimmed: true, stage: "1 of 2", claw: "outer" },
    { date: "2024-05-31", toe_before_mm: 38, trimmed: true },
  ]);
  test("a stage in between cut the claws it names alone", async () => {
    expect(await intervalsOf(stage)).toMatchObject([{ claw: "inner", days: 60, growth_mm: 8 }]);
  });

  const wholeFoot = goat([
    { date: "2024-04-01", claw: null, toe_after_mm: 30, trimmed: true },
    { date: "2024-05-01", claw: null, toe_before_mm: 35 },
    { date: "2024-05-01", claw: "inner", toe_before_mm: 36 },
  ]);
  test("a row that speaks of the whole foot is not split into its claws", async () => {
    expect(await intervalsOf(wholeFoot)).toMatchObject([{ foot: "LF", claw: "", growth_mm: 5 }]);
  });
});

describe("readings", () => {
  const twice = goat([
    { date: "2024-04-01", toe_after_mm: 30, trimmed: true, measurer: "Ann" },
    { date: "2024-04-01", toe_after_mm: 31, trimmed: true, measurer: "Bob" },
    { date: "2024-05-01", toe_before_mm: 35, measurer: "Ann" },
    { date: "2024-05-01", toe_before_mm: 38, measurer: "Bob" },
  ]);
  test("of one claw on one day are averaged", async () => {
    // 36.5 less 30.5
    expect(await intervalsOf(twice)).toMatchObject([{ growth_mm: 6, days: 30 }]);
  });

  const short = goat([
    { date: "2024-04-01", toe_after_mm: 30, toe_before_mm: 40, trimmed: true },
    { date: "2024-04-07", toe_before_mm: 31, toe_after_mm: 30, trimmed: true },
    { date: "2024-04-14", toe_before_mm: 31 },
  ]);
  test("under seven days apart are listed and not modelled", async () => {
    expect(await intervalsOf(short)).toMatchObject([
      { days: 6, caution: "short_interval(6)", modelled: false },
      { days: 7, caution: null, modelled: true },
    ]);
  });

  // by hand: four standard deviations of a difference of two readings of 0.8 mm are 4·√2·0.8 = 4.53 mm
  const changes = [
    { change: -4.5, kept: true },
    { change: -4.6, kept: false },
    { change: 24.5, kept: true },
    { change: 24.6, kept: false },
  ].map((one) => ({
    ...one,
    flock: goat([
      { date: "2024-04-01", toe_after_mm: 30, trimmed: true },
      { date: "2024-05-01", toe_before_mm: 30 + one.change },
    ]),
  }));
  test.each(changes)("$change mm in 30 days: kept $kept", async ({ flock, kept }) => {
    expect(await intervalsOf(flock)).toMatchObject([{ modelled: kept, caution: kept ? null : "not_horn" }]);
  });

  // ten claws read twice, 4 mm apart each time: the error of one reading is √(4²/2) = 2.83 mm, the band 4·√2·2.83 = 16
  const rough = flocks.add({
    animals: does([...tagsOf("R", 10), "G0"]),
    trims: [
      ...tagsOf("R", 10).flatMap((animal) =>
        [30, 34].map((toe_before_mm, i) => ({
          ...unread,
          animal,
          date: "2024-04-01",
          toe_before_mm,
          measurer: `m${i}`,
        })),
      ),
      { ...unread, date: "2024-04-01", toe_after_mm: 40, trimmed: true },
      { ...unread, date: "2024-05-01", toe_before_mm: 24.5, toe_after_mm: 40, trimmed: true },
      { ...unread, date: "2024-05-31", toe_before_mm: 23.5 },
    ],
  });
  test("that err more widen what may still be horn", async () => {
    expect(await intervalsOf(rough)).toMatchObject([
      { growth_mm: -15.5, modelled: true },
      { growth_mm: -16.5, modelled: false },
    ]);
  });
});

describe("where the days of an interval were spent", () => {
  // 2024-04-01 to 2024-05-01: 20 days in the barn, 10 on the meadow
  const read = [
    { ...unread, date: "2024-04-01", toe_after_mm: 30, trimmed: true },
    { ...unread, date: "2024-05-01", toe_before_mm: 34 },
  ];
  const moved = flocks.add({
    animals: does(["G0", "G1"]),
    pens: [{ pen: "Barn" }, { pen: "Meadow" }],
    stays: [
      { animal: "G0", pen: "Barn", from: "2024-01-01" },
      { animal: "G0", pen: "Meadow", from: "2024-04-21" },
    ],
    rations: [
      { pen: "Barn", from: "2024-01-01", crude_protein_pct_dm: 12, copper_mg_per_kg_dm: 8 },
      { pen: "Meadow", from: "2024-01-01", crude_protein_pct_dm: 18, copper_mg_per_kg_dm: null },
    ],
    // each score stands for its day and the ten after it
    ground: [
      { pen: "Barn", date: "2024-04-01", wetness: "1" },
      { pen: "Meadow", date: "2024-04-21", wetness: "3" },
    ],
    trims: [...read, ...read.map((row) => ({ ...row, animal: "G1" }))],
  });
  test("each counts for its days, and the pen of most days is named", async () => {
    const [interval] = await intervalsOf(moved);
    expect(interval).toMatchObject({ pen: "Barn" });
    expect(interval!.protein).toBeCloseTo((20 * 12 + 10 * 18) / 30, 12);
    // 20 of 30 days have a copper: their mean; 11 days at 1 and 10 at 3 have a wetness
    expect(interval!.copper).toBeCloseTo(8, 12);
    expect(interval!.wetness).toBeCloseTo((11 * 1 + 10 * 3) / 21, 12);
  });

  test("an animal whose pen is not known has no exposure, and says so", async () => {
    expect(await intervalsOf(moved, "G1")).toMatchObject([
      { pen: null, protein: null, wetness: null, caution: "pen_unknown", modelled: true },
    ]);
  });

  const littleKnown = flocks.add({
    animals: does(["G0"]),
    stays: stand(["G0"], "Barn"),
    ground: [{ pen: "Barn", date: "2024-04-10", wetness: "2" }],
    rations: [
      { pen: "Barn", from: "2024-04-16", crude_protein_pct_dm: 14 },
      { pen: "Barn", from: "2024-04-30", crude_protein_pct_dm: 20 },
    ],
    trims: read,
  });
  test("a mean stands only where half of the days are known", async () => {
    const [interval] = await intervalsOf(littleKnown);
    // wetness on 11 days of 30; protein on 15, of which the last at 20
    expect(interval!.wetness).toBeNull();
    expect(interval!.protein).toBeCloseTo((14 * 14 + 20) / 15, 12);
  });
});
