import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { SmallFlocks } from "../findings/found-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([]);
});
afterAll(() => book.close());

const BORN = "2020-01-01";
const later = (days: number, from = BORN): string => isoDay(parseIsoDay(from)! + days);

/** Scores of goats on some days, so that each has a state on that day. */
const scores = (days: Readonly<Record<string, readonly string[]>>) =>
  Object.entries(days).flatMap(([animal, dates]) =>
    dates.map((date) => ({ animal, date, gait: 1, gait_scale: "1-5" })),
  );

async function stateOn(flock: string, animal: string, date: string) {
  const [row] = await book.rows<{ age_band: string; class: string; days: number | null; arm: string | null }>(
    `SELECT age_band, class, days_since_kidding AS days, arm FROM exposure.animal_day
     WHERE flock = ${quoteText(flock)} AND animal = ${quoteText(animal)} AND day = DATE '${date}'`,
  );
  return row!;
}

describe("age bands", () => {
  // Half a year, one, two and six years: project defaults.
  const ages = [
    { days: 182, band: "kid" },
    { days: 183, band: "young" },
    { days: 364, band: "young" },
    { days: 365, band: "yearling" },
    { days: 730, band: "yearling" },
    { days: 731, band: "adult" },
    { days: 2191, band: "adult" },
    { days: 2192, band: "older" },
  ];
  const flock = flocks.add({
    animals: [
      { animal: "known", sex: "female", born: BORN },
      { animal: "unknown", sex: "female", born: null },
      // some day from the first of January to the 28th of December: the middle is the 30th of June
      { animal: "by year", sex: "female", born: "2020" },
    ],
    gaits: scores({
      known: ages.map(({ days }) => later(days)),
      unknown: [later(400)],
      "by year": ["2020-12-29", "2020-12-30", "2021-06-30"],
    }),
  });
  test.each(ages)("$days days after birth: $band", async ({ days, band }) => {
    expect(await stateOn(flock, "known", later(days))).toMatchObject({ age_band: band });
  });

  test("no birth is a band of its own; of a range the middle counts", async () => {
    expect(await stateOn(flock, "unknown", later(400))).toMatchObject({
      age_band: "unknown",
      class: "unknown",
    });
    expect(await stateOn(flock, "by year", "2020-12-29")).toMatchObject({ age_band: "kid" });
    expect(await stateOn(flock, "by year", "2020-12-30")).toMatchObject({ age_band: "young" });
    expect(await stateOn(flock, "by year", "2021-06-30")).toMatchObject({ age_band: "yearling" });
  });
});

describe("classes", () => {
  const KIDDED = "2023-03-01";
  const days = [-51, -50, -1, 0, 304, 305].map((day) => later(day, KIDDED));
  const flock = flocks.add({
    animals: [
      { animal: "doe", sex: "female", born: BORN },
      { animal: "dried", sex: "female", born: BORN },
      { animal: "buck", sex: "male", born: BORN },
      { animal: "wether", sex: "wether", born: BORN },
      { animal: "goatling", sex: "female", born: "2022-06-01" },
      { animal: "kid", sex: "male", born: "2023-03-01" },
    ],
    kiddings: [
      { animal: "doe", date: KIDDED, kids: 2, dried_off: null },
      { animal: "dried", date: KIDDED, kids: 1, dried_off: "2023-10-01" },
    ],
    trial: [
      { pen: null, animal: "doe", arm: "new", from: KIDDED, to: later(304, KIDDED) },
      { pen: null, animal: "buck", arm: "old", from: KIDDED, to: null },
      { pen: "Yard", animal: null, arm: "pen's", from: KIDDED, to: null },
    ],
    pens: [{ pen: "Yard" }, { pen: "Barn" }],
    stays: ["buck", "wether"].map((animal) => ({ animal, pen: "Yard", from: "2023-01-01" })),
    gaits: scores({
      doe: days,
      dried: ["2023-09-30", "2023-10-01"],
      buck: [KIDDED],
      wether: [KIDDED],
      goatling: [KIDDED],
      kid: ["2023-04-01"],
    }),
  });

  // 50 days before kidding and 305 days of milk: common practice, no source.
  test.each([
    [-51, "unknown", null],
    [-50, "late pregnant", null],
    [-1, "late pregnant", null],
    // on the day itself she has kidded
    [0, "milking", 0],
    [304, "milking", 304],
    [305, "dry", 305],
  ])("a doe %i days after kidding is %s", async (day, of, since) => {
    expect(await stateOn(flock, "doe", later(day, KIDDED))).toMatchObject({ class: of, days: since });
  });

  test("a doe dried off is dry from that day on", async () => {
    expect(await stateOn(flock, "dried", "2023-09-30")).toMatchObject({ class: "milking" });
    expect(await stateOn(flock, "dried", "2023-10-01")).toMatchObject({ class: "dry" });
  });

  test.each([
    ["buck", KIDDED, "buck"],
    ["wether", KIDDED, "wether"],
    ["goatling", KIDDED, "growing"],
    ["kid", "2023-04-01", "kid"],
  ])("%s", async (animal, date, of) => {
    expect(await stateOn(flock, animal, date)).toMatchObject({ class: of });
  });

  test("a study's arm holds from its first day until the day that no longer counts", async () => {
    expect(await stateOn(flock, "doe", later(-1, KIDDED))).toMatchObject({ arm: null });
    expect(await stateOn(flock, "doe", KIDDED)).toMatchObject({ arm: "new" });
    expect(await stateOn(flock, "doe", later(304, KIDDED))).toMatchObject({ arm: null });
    // the goat's own arm before that of its pen
    expect(await stateOn(flock, "buck", KIDDED)).toMatchObject({ arm: "old" });
    expect(await stateOn(flock, "wether", KIDDED)).toMatchObject({ arm: "pen's" });
  });
});
