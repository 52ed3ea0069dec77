import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { type CoverageRow, coverage, coverageTable } from "../../src/findings/coverage.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { SmallFlocks } from "./found-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([coverage]);
});
afterAll(() => book.close());

async function rowOf(flock: string, season: string, kind = "flock", value = flock): Promise<CoverageRow> {
  const rows = await readTable(
    book,
    coverageTable,
    `flock = ${quoteText(flock)} AND season = ${quoteText(season)} AND group_kind = ${quoteText(kind)} AND group_value = ${quoteText(value)}`,
  );
  return rows[0]!;
}

const doe = (animal: string, more: object = {}) => ({
  animal,
  sex: "female",
  born: "2019-01-01",
  entered: null,
  left: null,
  line: null,
  ...more,
});
const trim = (animal: string, date: string, more: object = {}) => ({
  animal,
  date,
  foot: "LF",
  claw: "inner",
  trimmed: null,
  toe_before_mm: null,
  toe_after_mm: null,
  ...more,
});
const gait = (animal: string, date: string, score = 1) => ({ animal, date, gait: score, gait_scale: "1-5" });

describe("how much of a flock was looked at", () => {
  // Spring is March to May, summer June to August.
  const flock = flocks.add({
    animals: [
      doe("measured", { line: "Ash" }),
      doe("read only", { line: "Ash" }),
      doe("trimmed"),
      doe("scored"),
      doe("examined"),
      doe("assumed"),
      doe("unseen"),
      doe("gone lame", { left: "2024-05-20" }),
      doe("gone sound", { left: "2024-05-20" }),
      doe("gone before", { left: "2024-02-20" }),
      doe("later", { entered: "2024-06-02" }),
    ],
    stays: [
      { animal: "measured", pen: "Barn", from: "2024-01-01", to: "2024-04-15" },
      { animal: "measured", pen: "Yard", from: "2024-04-15" },
      { animal: "read only", pen: "Barn", from: "2024-01-01" },
      { animal: "assumed", pen: "Yard", from: "2024-01-01" },
    ],
    trims: [
      trim("measured", "2024-04-01", { toe_after_mm: 30 }),
      trim("measured", "2024-05-01", { toe_before_mm: 34, trimmed: true }),
      trim("read only", "2024-04-01", { toe_before_mm: 34, trimmed: false }),
      trim("trimmed", "2024-04-01", { trimmed: true }),
      trim("later", "2024-06-20", { trimmed: true }),
    ],
    gaits: [
      gait("scored", "2024-04-01"),
      gait("gone lame", "2024-04-01", 1),
      gait("gone lame", "2024-05-01", 4),
      gait("gone sound", "2024-04-01", 4),
      gait("gone sound", "2024-05-01", 1),
      gait("unseen", "2024-02-01"),
    ],
    rounds: [{ date: "2024-04-01", pen: "Yard", gait_scale: "1-5", others_sound: true }],
    lesions: [{ animal: "examined", date: "2024-04-01", lesion: "none" }],
  });

  test("each goat counts once, whatever was done and however often", async () => {
    expect(await rowOf(flock, "2024-spring")).toMatchObject({
      // not the one that left in February nor the one that came in June
      present: 9,
      // measured, read only, trimmed, scored, examined, gone lame, gone sound
      looked_at: 7,
      // measured by its length after, trimmed by its word
      trimmed: 2,
      measured: 2,
      scored: 3,
      departed: 2,
      departed_lame: 1,
    });
  });

  test("a round's word is no look: such goats stand apart", async () => {
    // the goats in the Yard on that day: `assumed` alone, since `measured` moved there two weeks later
    expect(await rowOf(flock, "2024-spring", "pen", "Yard")).toMatchObject({
      present: 2,
      looked_at: 1,
      assumed_sound: 1,
      scored: 0,
    });
  });

  test("seasons hold what was done in them", async () => {
    expect(await rowOf(flock, "2024-summer")).toMatchObject({
      present: 8,
      looked_at: 1,
      trimmed: 1,
      departed: 0,
    });
    expect(await rowOf(flock, "all")).toMatchObject({ present: 11, looked_at: 9, departed: 3 });
  });

  test("a goat that moved counts in both pens, and lines hold their own", async () => {
    expect(await rowOf(flock, "2024-spring", "pen", "Barn")).toMatchObject({ present: 2, measured: 2 });
    expect(await rowOf(flock, "2024-spring", "line", "Ash")).toMatchObject({ present: 2, looked_at: 2 });
  });
});

describe("a goat that left and came back", () => {
  const flock = flocks.add({
    animals: [
      doe("back", { entered: "2023-01-01", left: "2024-03-10" }),
      doe("back", { entered: "2024-05-10" }),
      doe("stayed"),
    ],
    gaits: [gait("stayed", "2024-03-01"), gait("stayed", "2024-05-30")],
  });
  test("is present once in a season, and has left in it", async () => {
    expect(await rowOf(flock, "2024-spring")).toMatchObject({ present: 2, departed: 1 });
  });
});
