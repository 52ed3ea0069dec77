import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { type GrowthAnimalRow, growthAnimal, growthAnimalTable } from "../../src/findings/growth-animal.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { Random } from "../../src/statistics/random.ts";
import { does, SmallFlocks, stand, tagsOf } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([growthAnimal]);
});
afterAll(() => book.close());

async function rowOf(flock: string, animal: string, season = "all"): Promise<GrowthAnimalRow> {
  const rows = await readTable(
    book,
    growthAnimalTable,
    `flock = ${quoteText(flock)} AND animal = ${quoteText(animal)} AND season = ${quoteText(season)}`,
  );
  return rows[0]!;
}

const START = parseIsoDay("2024-01-15")!;

interface Visit {
  readonly day: number;
  /** mm grown since the last reading of the claw; missing: the claw was not read. */
  readonly grown: Readonly<Record<string, number>>;
}

/** A goat's claws (`LF inner`) read untrimmed, from 30 mm on the first day. */
function goat(animal: string, claws: readonly string[], visits: readonly Visit[]): HerdRow[] {
  const toe = new Map(claws.map((claw) => [claw, 30]));
  const row = (day: number, at: string): HerdRow => {
    const [foot, claw] = at.split(" ");
    return {
      animal,
      date: isoDay(START + day),
      foot: foot!,
      claw: claw!,
      trimmed: false,
      toe_before_mm: toe.get(at)!,
    };
  };
  return [
    ...claws.map((claw) => row(0, claw)),
    ...visits.flatMap(({ day, grown }) =>
      Object.entries(grown).map(([claw, mm]) => {
        toe.set(claw, toe.get(claw)! + mm);
        return row(day, claw);
      }),
    ),
  ];
}

/** Slope through the origin with Student's t on intervals − 1, by hand. */
function slope(months: readonly number[], mm: readonly number[], t: number): { rate: number; half: number } {
  const dd = months.reduce((sum, d) => sum + d * d, 0);
  const rate = months.reduce((sum, d, i) => sum + d * mm[i]!, 0) / dd;
  const squares = months.reduce((sum, d, i) => sum + (mm[i]! - rate * d) ** 2, 0);
  return { rate, half: t * Math.sqrt(squares / (months.length - 1) / dd) };
}

/** Two-sided 95 % point of Student's t on 2 degrees of freedom, any table. */
const T2 = 4.302652729911275;

describe("an animal's own figure", () => {
  const both = ["LF inner", "LF outer"];
  const eight = ["LF", "RF", "LH", "RH"].flatMap((foot) => [`${foot} inner`, `${foot} outer`]);
  const alike = (mm: number): Record<string, number> => Object.fromEntries(eight.map((claw) => [claw, mm]));
  // a flock of one goat has no model: its own records stand as they are
  const alone = (claws: readonly string[], visits: readonly Visit[]): string =>
    flocks.add({ animals: does(["G0"]), stays: stand(["G0"], "Yard"), trims: goat("G0", claws, visits) });
  // intervals of 30, 60 and 45 days; the claws' means are 4, 9 and 6 mm
  const visits = [
    { day: 30, grown: { "LF inner": 3, "LF outer": 5 } },
    { day: 90, grown: { "LF inner": 10, "LF outer": 8 } },
    { day: 135, grown: { "LF inner": 5, "LF outer": 7 } },
  ];
  const twoClaws = alone(both, visits);
  const eightClaws = alone(eight, [
    { day: 30, grown: alike(4) },
    { day: 90, grown: alike(9) },
    { day: 135, grown: alike(6) },
  ]);
  const few = alone(both, visits.slice(0, 2));
  // the outer claw was not read on day 30: its 60 days overlap the inner claw's two intervals
  const missed = alone(both, [
    { day: 30, grown: { "LF inner": 4 } },
    { day: 60, grown: { "LF inner": 5, "LF outer": 10 } },
    { day: 90, grown: { "LF inner": 6, "LF outer": 6 } },
  ]);

  test("claws of an interval are averaged first: three intervals, t on two", async () => {
    const row = await rowOf(twoClaws, "G0");
    const { rate, half } = slope([1, 2, 1.5], [4, 9, 6], T2);
    expect(row).toMatchObject({ intervals: 3, days: 135 });
    expect(row.rate_mm_30d).toBeCloseTo(rate, 9);
    expect(row.rate_mm_30d! - row.lo!).toBeCloseTo(half, 9);
    expect(row.hi! - row.rate_mm_30d!).toBeCloseTo(half, 9);
  });

  test("eight claws measured on one day are not eight animals", async () => {
    const [two, all] = [await rowOf(twoClaws, "G0"), await rowOf(eightClaws, "G0")];
    expect(all.intervals).toBe(3);
    expect(all.rate_mm_30d).toBeCloseTo(two.rate_mm_30d!, 9);
    expect(all.hi).toBeCloseTo(two.hi!, 9);
  });

  test("two intervals give none, and say so", async () => {
    const row = await rowOf(few, "G0");
    expect(row).toMatchObject({ intervals: 2, days: 90, rate_mm_30d: null, lo: null, hi: null });
    expect(row.caution).toContain("too_few_intervals(2,3)");
  });

  test("an interval that overlaps two others does not count beside them", async () => {
    const row = await rowOf(missed, "G0");
    expect(row).toMatchObject({ intervals: 3, days: 90 });
    expect(row.rate_mm_30d).toBeCloseTo(5, 0);
  });

  test("an interval counts in the season of its middle day", async () => {
    // 2024-01-15 and 30 days lie in winter; the others' middles are 2024-03-15 and 2024-05-06
    expect(await rowOf(twoClaws, "G0", "2023-winter")).toMatchObject({ intervals: 1, rate_mm_30d: null });
    expect(await rowOf(twoClaws, "G0", "2024-spring")).toMatchObject({ intervals: 2, days: 105 });
  });
});

describe("beside the flock's model", () => {
  const tags = tagsOf("G", 8);
  const claws = ["LF inner", "LF outer"];
  const random = new Random(3);
  // Goats grow 4, 4.4, … 6.8 mm a month, outer claws 2 mm more than inner ones, read with an error of 0.3 mm.
  const rateOf = (i: number): number => 4 + 0.4 * i;
  const flock = flocks.add({
    animals: does(tags),
    stays: stand(tags, "Yard"),
    trims: tags.flatMap((animal, i) =>
      goat(
        animal,
        claws,
        [30, 60, 90, 120].map((day) => {
          const grown = {
            "LF inner": rateOf(i) - 1 + 0.2 * random.normal(),
            "LF outer": rateOf(i) + 1 + 0.2 * random.normal(),
          };
          // the first goat's last look missed its inner claw
          return { day, grown: i === 0 && day === 120 ? { "LF outer": grown["LF outer"] } : grown };
        }),
      ),
    ),
  });

  test("what a claw grows by its side is taken off where a look missed the other", async () => {
    const row = await rowOf(flock, "G0");
    expect(row.intervals).toBe(4);
    // 4 mm a month; with the outer claw's 5 of the last look as it stands the mean of four would be 4.25
    expect(row.rate_mm_30d).toBeGreaterThan(3.8);
    expect(row.rate_mm_30d).toBeLessThan(4.15);
  });

  test("the model draws an animal toward the flock, ranks the fastest first and is as sure as its records allow", async () => {
    const rows = await Promise.all(tags.map((animal) => rowOf(flock, animal)));
    const mean = rows.reduce((sum, row) => sum + row.model_rate_mm_30d!, 0) / rows.length;
    rows.forEach((row, i) => {
      expect(Math.abs(row.model_rate_mm_30d! - mean)).toBeLessThan(Math.abs(rateOf(i) - mean) + 0.25);
      expect(row.model_lo).toBeLessThan(row.model_rate_mm_30d!);
      expect(row.model_hi).toBeGreaterThan(row.model_rate_mm_30d!);
    });
    expect(mean).toBeCloseTo(5.4, 0);
    expect(rows.at(-1)).toMatchObject({ flock_rank: 1 });
    expect(rows[0]).toMatchObject({ flock_rank: 8 });
    expect(rows.at(-1)!.p_faster_than_flock).toBeGreaterThan(0.95);
    expect(rows[0]!.p_faster_than_flock).toBeLessThan(0.05);
    // chances against the mean of the others lie about one half in the middle
    expect(rows[3]!.p_faster_than_flock! + rows[4]!.p_faster_than_flock!).toBeCloseTo(1, 0);
  });
});
