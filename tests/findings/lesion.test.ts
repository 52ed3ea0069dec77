import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { type LesionRow, lesion, lesionTable } from "../../src/findings/lesion.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { does, SmallFlocks, stand, tagsOf } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([lesion]);
});
afterAll(() => book.close());

function rowsOf(flock: string, season = "all", kind = "flock"): Promise<LesionRow[]> {
  return readTable(
    book,
    lesionTable,
    `flock = ${quoteText(flock)} AND season = ${quoteText(season)} AND group_kind = ${quoteText(kind)}`,
  );
}

const found = (animal: string, word: string, more: HerdRow = {}): HerdRow => ({
  animal,
  date: "2024-04-01",
  foot: null,
  lesion: word,
  lesion_text: null,
  suspected: null,
  ...more,
});

describe("of those examined, how many had it", () => {
  const tags = tagsOf("G", 30);
  const [near, far] = [tags.slice(0, 4), tags.slice(4)];
  const flock = flocks.add({
    animals: does(tags),
    stays: [...stand(near, "Near"), ...stand(far, "Far")],
    lesions: [
      // two feet and a later day of one goat are one goat
      found("G0", "footrot", { foot: "LF" }),
      found("G0", "footrot", { foot: "RH" }),
      found("G0", "footrot", { date: "2024-05-01" }),
      found("G1", "crack"),
      found("G2", "footrot", { suspected: true }),
      found("G3", "other", { lesion_text: "odd bump" }),
      found("G3", "other", { date: "2024-05-01", lesion_text: "odd bump again" }),
      ...tags.slice(4, 29).map((animal) => found(animal, "none")),
      found("G5", "footrot", { date: "2024-07-01" }),
      // G29 was never examined: no row
    ],
    gaits: tags.map((animal) => ({ animal, date: "2024-04-01", gait: 1, gait_scale: "1-5" })),
  });

  // Newcombe 1998, Stat. Med. 17:857-872, table I, method 3 (from memory): 1 of 29 gives 0.0061 to 0.1718.
  test("a goat that nobody examined is not a clean one; limits are Wilson's", async () => {
    const rows = await rowsOf(flock, "2024-spring");
    const footrot = rows.find((row) => row.lesion === "footrot")!;
    expect(footrot).toMatchObject({ examined_animals: 29, affected_animals: 1, suspected: 1, caution: null });
    expect(footrot.prevalence).toBeCloseTo(1 / 29, 12);
    expect(footrot.lo).toBeCloseTo(0.0061, 4);
    expect(footrot.hi).toBeCloseTo(0.1718, 4);
  });

  test("each lesion has its row, none is not one, and words off the list are counted", async () => {
    const rows = await rowsOf(flock, "2024-spring");
    expect(rows.map((row) => row.lesion)).toEqual(["crack", "footrot", "other"]);
    expect(rows.map((row) => row.unmapped_rows)).toEqual([0, 0, 2]);
    expect(rows[2]).toMatchObject({ affected_animals: 1 });
  });

  test("the season of the look counts", async () => {
    const rows = await rowsOf(flock, "2024-summer");
    expect(rows).toMatchObject([{ lesion: "footrot", examined_animals: 1, affected_animals: 1 }]);
    expect(await rowsOf(flock)).toMatchObject([
      { lesion: "crack", examined_animals: 29 },
      { lesion: "footrot", examined_animals: 29, affected_animals: 2 },
      { lesion: "other" },
    ]);
  });

  test("under five examined there is no share, and the reason", async () => {
    const rows = await rowsOf(flock, "2024-spring", "pen");
    const pen = rows.find((row) => row.group_value === "Near" && row.lesion === "footrot")!;
    expect(pen).toMatchObject({ examined_animals: 4, affected_animals: 1, prevalence: null, hi: null });
    expect(pen.caution).toBe("too_few_animals(4,5)");
  });
});

describe("a goat suspected of what it was found to have", () => {
  const tags = tagsOf("G", 5);
  const flock = flocks.add({
    animals: does(tags),
    lesions: [
      ...tags.map((animal) => found(animal, "none")),
      found("G0", "footrot", { date: "2024-04-05", suspected: true }),
      found("G0", "footrot", { date: "2024-04-08" }),
    ],
  });
  test("stands among the affected alone", async () => {
    expect(await rowsOf(flock)).toMatchObject([
      { lesion: "footrot", affected_animals: 1, suspected: 0, examined_animals: 5, prevalence: 0.2 },
    ]);
  });
});

describe("a foot that was sore in spring and is seen healed in summer", () => {
  const tags = tagsOf("G", 5);
  const flock = flocks.add({
    animals: does(tags),
    lesions: [
      found("G0", "footrot", { date: "2024-05-20", status: "found" }),
      found("G0", "footrot", { date: "2024-06-10", status: "healed" }),
      found("G1", "crack", { date: "2024-06-10", status: "healing" }),
      ...tags.slice(1).map((animal) => found(animal, "none", { date: "2024-06-20", status: null })),
    ],
  });
  test("was examined in summer and had nothing then; one still healing has it", async () => {
    expect(await rowsOf(flock, "2024-spring")).toMatchObject([{ lesion: "footrot", affected_animals: 1 }]);
    expect(await rowsOf(flock, "2024-summer")).toMatchObject([
      { lesion: "crack", affected_animals: 1, examined_animals: 5 },
    ]);
  });
});
