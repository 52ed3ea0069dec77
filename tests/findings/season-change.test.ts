import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { type SeasonChangeRow, seasonChange } from "../../src/findings/season-change.ts";
import { does, SmallFlocks, stand, tagsOf } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([seasonChange]);
});
afterAll(() => book.close());

function rowsOf(flock: string, measure: string, kind = "flock"): Promise<SeasonChangeRow[]> {
  return book.rows(
    `SELECT * FROM results.season_change WHERE flock = ${quoteText(flock)} AND measure = ${quoteText(measure)}
       AND group_kind = ${quoteText(kind)} ORDER BY season, against, group_value`,
  );
}

const round = (tags: readonly string[], date: string, lame: readonly string[] = []): HerdRow[] =>
  tags.map((animal) => ({ animal, date, gait: lame.includes(animal) ? 3 : 1, gait_scale: "1-5" }));

/** Student's t on 19 degrees of freedom, two-sided 95 %: any table. */
const T19 = 2.093024054408263;
/** Wilson's score limits (Wilson 1927, J. Am. Stat. Assoc. 22:209-212). */
function wilson(p: number, n: number): { lo: number; hi: number } {
  const square = T19 * T19;
  const centre = (p + square / (2 * n)) / (1 + square / n);
  const half = (T19 / (1 + square / n)) * Math.sqrt((p * (1 - p)) / n + square / (4 * n * n));
  return { lo: centre - half, hi: centre + half };
}

const TWENTY = tagsOf("G", 20);
const herd = (tags: readonly string[]) => ({ animals: does(tags), stays: stand(tags, "Yard") });

describe("the same goats scored once in spring and once in summer", () => {
  // lame in spring: 0 to 7; in summer: 0 to 2 and 8
  const flock = flocks.add({
    ...herd(TWENTY),
    gaits: [
      ...round(TWENTY, "2024-04-01", TWENTY.slice(0, 8)),
      ...round(TWENTY, "2024-07-01", [...TWENTY.slice(0, 3), "G8"]),
    ],
  });

  // Zou and Donner 2008 (Stat. Med. 27:1693-1702): limits of a difference from those of the two and their correlation,
  // the paired form of Newcombe 1998 (Stat. Med. 17:2635-2650). One score each: about n − 1 the effective sample is 19.
  test("the share on a day differs as pairs do", async () => {
    const [row, ...others] = await rowsOf(flock, "lame_on_a_day");
    expect(others).toEqual([]);
    expect(row).toMatchObject({ season: "2024-summer", against: "previous", animals_in_both: 20 });
    expect(row!.difference).toBeCloseTo(4 / 20 - 8 / 20, 12);
    // 3 lame in both, 1 in summer alone, 5 in spring alone, 11 in neither
    const phi = (3 * 11 - 1 * 5) / Math.sqrt(4 * 16 * 8 * 12);
    const [own, other] = [wilson(0.2, 19), wilson(0.4, 19)];
    const together = (a: number, b: number): number => Math.sqrt(a * a - 2 * phi * a * b + b * b);
    expect(row!.difference! - row!.lo!).toBeCloseTo(together(0.2 - own.lo, other.hi - 0.4), 9);
    expect(row!.hi! - row!.difference!).toBeCloseTo(together(own.hi - 0.2, 0.4 - other.lo), 9);
  });

  test("the same goats in both: the second figure is the first", async () => {
    const [row] = await rowsOf(flock, "lame_on_a_day");
    expect(row!.same_animals_difference).toBe(row!.difference);
    expect([row!.same_lo, row!.same_hi]).toEqual([row!.lo, row!.hi]);
  });
});

describe("a herd that changed", () => {
  const [old, stayed, fresh] = [TWENTY.slice(0, 7), TWENTY.slice(7, 13), TWENTY.slice(13)];
  const flock = flocks.add({
    ...herd(TWENTY),
    gaits: [
      ...round([...old, ...stayed], "2024-04-01", [...old, stayed[0]!]),
      ...round([...stayed, ...fresh], "2024-07-01", [stayed[1]!]),
    ],
  });
  test("a season of new goats is not one of better feet", async () => {
    const [row] = await rowsOf(flock, "lame_on_a_day");
    // 1 of 13 against 8 of 13; among the six in both 1 of 6 each time
    expect(row!.difference).toBeCloseTo(1 / 13 - 8 / 13, 12);
    expect(row).toMatchObject({ animals_in_both: 6, same_animals_difference: 0 });
    expect(row!.same_lo).toBeLessThan(0);
    expect(row!.same_hi).toBeGreaterThan(0);
  });

  const few = flocks.add({
    ...herd(TWENTY),
    gaits: [...round(TWENTY.slice(0, 4), "2024-04-01", ["G0"]), ...round(TWENTY, "2024-07-01")],
  });
  test("four goats are no season to compare with", async () => {
    expect(await rowsOf(few, "lame_on_a_day")).toEqual([]);
  });

  const fewStayed = flocks.add({
    ...herd(TWENTY),
    gaits: [...round(TWENTY.slice(0, 10), "2024-04-01"), ...round(TWENTY.slice(6), "2024-07-01", ["G19"])],
  });
  test("four goats in both leave the second figure out", async () => {
    expect(await rowsOf(fewStayed, "lame_on_a_day")).toMatchObject([
      { animals_in_both: 4, same_animals_difference: null, same_lo: null },
    ]);
  });
});

describe("new cases of two seasons", () => {
  const monthly = flocks.add({
    ...herd(TWENTY),
    gaits: [
      ...round(TWENTY, "2024-03-02"),
      ...round(TWENTY, "2024-04-01", ["G0", "G1"]),
      ...round(TWENTY, "2024-05-01", ["G0"]),
      ...round(TWENTY, "2024-05-31"),
      ...round(TWENTY, "2024-06-30", ["G2", "G3", "G4", "G5"]),
      ...round(TWENTY, "2024-07-30"),
    ],
  });
  test("are compared at like gaps, by the season of the second score", async () => {
    const [row] = await rowsOf(monthly, "new_cases");
    // spring: 2 in 600 + 540 + 570 days at risk; summer: 4 in 600 + 480
    expect(row!.difference).toBeCloseTo(3000 * (4 / (600 + 480) - 2 / (600 + 540 + 570)), 9);
    expect(row).toMatchObject({ caution: "season_so_far", animals_in_both: 20 });
  });

  const unlike = flocks.add({
    ...herd(TWENTY),
    gaits: [
      ...round(TWENTY, "2024-03-02"),
      ...round(TWENTY, "2024-04-01", ["G0"]),
      ...round(TWENTY, "2024-05-01"),
      ...round(TWENTY, "2024-06-30", ["G2"]),
      ...round(TWENTY, "2024-08-29"),
    ],
  });
  test("are not compared where scores lay 30 and 60 days apart: rarer looks see fewer", async () => {
    expect(await rowsOf(unlike, "new_cases")).toMatchObject([
      { difference: null, lo: null, caution: "gaps_differ(60,30);season_so_far" },
    ]);
    expect((await rowsOf(unlike, "lame_on_a_day"))[0]!.difference).not.toBeNull();
  });
});

describe("a season with today in it", () => {
  const flock = flocks.add({
    ...herd(TWENTY),
    gaits: [
      ...round(TWENTY, "2023-06-10", ["G0", "G1"]),
      // later in last year's summer than today is in this one
      ...round(TWENTY, "2023-08-20", TWENTY),
      ...round(TWENTY, "2024-05-10"),
      ...round(TWENTY, "2024-06-20", ["G0"]),
    ],
  });
  test("is held against the same days of the year before, and says that it goes on", async () => {
    const rows = (await rowsOf(flock, "lame_on_a_day")).filter(({ season }) => season === "2024-summer");
    expect(rows).toMatchObject([
      { against: "previous", caution: "season_so_far" },
      { against: "year_before", caution: "season_so_far" },
    ]);
    expect(rows[1]!.difference).toBeCloseTo(1 / 20 - 2 / 20, 12);
  });
});

describe("two scales", () => {
  const flock = flocks.add({
    ...herd(TWENTY),
    gaits: [
      ...round(TWENTY, "2024-04-01", ["G0"]),
      ...round(TWENTY, "2024-07-01").map((row) => ({ ...row, gait: 0, gait_scale: "0-3" })),
    ],
  });
  test("are never held against each other", async () => {
    expect(await rowsOf(flock, "lame_on_a_day")).toEqual([]);
  });
});
