import { afterAll, beforeAll, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { quality, qualityTable } from "../../src/findings/quality.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { recordFlow, recordFlowTable } from "../../src/findings/record-flow.ts";
import { SmallFlocks, stand } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([recordFlow, quality]);
});
afterAll(() => book.close());

const trim = (animal: string, date: string, more: HerdRow = {}): HerdRow => ({
  animal,
  date,
  foot: "LF",
  claw: "inner",
  trimmed: true,
  toe_before_mm: null,
  toe_after_mm: null,
  ...more,
});
const gait = (animal: string, date: string, more: HerdRow = {}): HerdRow => ({
  animal,
  date,
  gait: 1,
  gait_scale: "1-5",
  scorer: "Ann",
  for_cause: null,
  ...more,
});

const tags = ["a", "b", "c", "d"];
const flock = flocks.add({
  animals: [
    ...tags.map((animal) => ({ animal, sex: "female", born: "2019-01-01", left: null })),
    { animal: "unseen", sex: "female", born: "2019-01-01", left: null },
  ],
  pens: [{ pen: "Yard" }, { pen: "Barn" }],
  stays: stand(["a", "b"], "Yard"),
  trims: [
    // a: intervals of 61 days (used), 5 days (short), 30 days of 60 mm (no horn)
    trim("a", "2024-03-10", { toe_after_mm: 30 }),
    trim("a", "2024-05-10", { toe_before_mm: 37, toe_after_mm: 31 }),
    trim("a", "2024-05-15", { toe_before_mm: 32, toe_after_mm: 31 }),
    trim("a", "2024-06-14", { toe_before_mm: 91 }),
    // b: two dates without a length; c: one interval whose pen nobody knows, its middle in summer
    trim("b", "2024-03-10"),
    trim("b", "2024-05-10"),
    trim("c", "2024-05-20", { toe_after_mm: 30 }),
    trim("c", "2024-07-19", { toe_before_mm: 38 }),
  ],
  gaits: [
    gait("a", "2024-03-10"),
    gait("a", "2024-03-10", { scorer: "Bob" }),
    gait("b", "2024-03-10", { gait: 4, for_cause: true }),
    gait("c", "2024-07-19"),
  ],
  rounds: [{ date: "2024-03-10", pen: null, gait_scale: "1-5", others_sound: true }],
  lesions: [
    { animal: "a", date: "2024-03-10", lesion: "none", suspected: null },
    { animal: "b", date: "2024-03-10", lesion: "crack", suspected: true },
  ],
  treatments: [{ animal: "b", date: "2024-03-11", treatment: "bath" }],
});

async function flowOf(season: string): Promise<Record<string, readonly [rows: number, animals: number]>> {
  const rows = await readTable(
    book,
    recordFlowTable,
    `flock = ${quoteText(flock)} AND season = ${quoteText(season)}`,
  );
  return Object.fromEntries(rows.map((row) => [row.step, [row.rows, row.animals]]));
}

test("every step counts its rows and animals", async () => {
  expect(await flowOf("all")).toEqual({
    claw_records: [8, 3],
    claw_lengths: [6, 2],
    growth_intervals: [4, 2],
    intervals_short: [1, 1],
    intervals_not_horn: [1, 1],
    intervals_used: [2, 2],
    gait_scores: [4, 3],
    // two scorers of one goat on one day are one
    gait_days: [3, 3],
    // c, d and the goat that is never looked at
    gait_assumed: [3, 3],
    gait_for_cause: [1, 1],
    foot_examinations: [2, 2],
    lesions_suspected: [1, 1],
    treatments: [1, 1],
  });
});

test("steps of intervals add up, in every season, and an interval counts by its middle day", async () => {
  const [spring, summer] = [await flowOf("2024-spring"), await flowOf("2024-summer")];
  for (const flow of [spring, summer, await flowOf("all")]) {
    const sum = flow.intervals_short![0] + flow.intervals_not_horn![0] + flow.intervals_used![0];
    expect(sum).toBe(flow.growth_intervals![0]);
  }
  // 2024-05-20 to 2024-07-19 has its middle on 2024-06-19; 2024-05-15 to 2024-06-14 on 2024-05-30
  expect(summer.growth_intervals).toEqual([1, 1]);
  expect(spring.growth_intervals).toEqual([3, 1]);
  expect(spring.claw_records).toEqual([6, 3]);
  expect(summer.gait_days).toEqual([1, 1]);
});

test("what a careful reader would have checked: looked at, flagged, one of them by name", async () => {
  const rows = await readTable(book, qualityTable, `flock = ${quoteText(flock)}`);
  const found = Object.fromEntries(
    rows.map((row) => [row.check_name, [row.rows_looked_at, row.rows_flagged, row.example]]),
  );
  expect(found).toMatchObject({
    "intervals too short to tell growth": [4, 1, "a, 2024-05-10 to 2024-05-15"],
    "changes of length that no horn can do": [4, 1, "a, 2024-05-15 to 2024-06-14: 60.0 mm"],
    "intervals whose pen is not known": [4, 1, "c, 2024-05-20 to 2024-07-19"],
    // 37, 32, 91, 38: none stands at a five
    "lengths that end in the same digit too often": [4, 0, null],
    "trims without any length": [8, 2, "b, 2024-03-10"],
    "gait scores given by more than one scorer a day": [3, 1, "a, 2024-03-10"],
    // a round's word on the others is no look
    "animals present but never looked at": [5, 2, "d"],
  });
});

const unseen = flocks.add({
  animals: ["a", "b", "c"].map((animal) => ({ animal, sex: "female", born: "2019-01-01" })),
  gaits: [gait("a", "2024-03-10")],
  lesions: [{ animal: "c", date: "2024-03-10", lesion: "none" }],
});
test("a goat that nobody scored, trimmed or examined is named", async () => {
  const rows = await readTable(book, qualityTable, `flock = ${quoteText(unseen)}`);
  expect(rows.find((row) => row.check_name === "animals present but never looked at")).toMatchObject({
    rows_looked_at: 3,
    rows_flagged: 1,
    example: "b",
  });
});
