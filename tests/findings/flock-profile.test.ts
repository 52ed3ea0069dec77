import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { flockProfile } from "../../src/findings/flock-profile.ts";
import { SmallFlocks } from "./found-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([flockProfile]);
});
afterAll(() => book.close());

async function profileOf(flock: string, season: string, trait: string): Promise<Record<string, number>> {
  const rows = await book.rows<{ value: string; animals: number }>(
    `SELECT value, animals FROM results.flock_profile
     WHERE flock = ${quoteText(flock)} AND season = ${quoteText(season)} AND trait = ${quoteText(trait)} ORDER BY value`,
  );
  return Object.fromEntries(rows.map(({ value, animals }) => [value, animals]));
}

describe("who the flock is at a season's end", () => {
  const goat = (animal: string, more: object) => ({
    animal,
    sex: "female",
    born: "2019-01-01",
    breed: null,
    entered: null,
    left: null,
    ...more,
  });
  const flock = flocks.add({
    animals: [
      goat("a", { breed: "Alpine" }),
      goat("b", { sex: "male" }),
      goat("left in spring", { left: "2024-05-01" }),
      goat("came in summer", { entered: "2024-06-05" }),
      goat("still to come", { entered: "2024-08-01" }),
      // born on the first of December: half a year old on the last day of May, 182 days, and 183 the day after
      goat("kid", { born: "2023-12-01" }),
    ],
    pens: [
      { pen: "Yard", ground: "concrete" },
      { pen: "Meadow", ground: "pasture" },
    ],
    stays: [
      { animal: "a", pen: "Yard", from: "2024-01-01", to: "2024-06-01" },
      { animal: "a", pen: "Meadow", from: "2024-06-01" },
    ],
    gaits: ["2024-03-10", "2024-06-20"].map((date) => ({ animal: "a", date, gait: 1, gait_scale: "1-5" })),
  });

  test("counts the goats present on its last day, or on the flock's day within it", async () => {
    expect(await profileOf(flock, "2024-spring", "sex")).toEqual({ female: 2, male: 1 });
    // the flock's day is the 20th of June
    expect(await profileOf(flock, "2024-summer", "sex")).toEqual({ female: 3, male: 1 });
  });

  test("with the age and the pen of that day, and the unknown as a level of its own", async () => {
    expect(await profileOf(flock, "2024-spring", "age_band")).toEqual({ adult: 2, kid: 1 });
    expect(await profileOf(flock, "2024-summer", "age_band")).toEqual({ adult: 3, young: 1 });
    expect(await profileOf(flock, "2024-spring", "breed")).toEqual({ Alpine: 1, unknown: 2 });
    expect(await profileOf(flock, "2024-spring", "pen")).toEqual({ Yard: 1, unknown: 2 });
    expect(await profileOf(flock, "2024-summer", "ground")).toEqual({ pasture: 1, unknown: 3 });
  });
});
