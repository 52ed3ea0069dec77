import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { readTable } from "../../src/findings/read-table.ts";
import {
  type TrialBaselineRow,
  type TrialEffectRow,
  trialBaselineTable,
  trialEffect,
  trialEffectTable,
} from "../../src/findings/trial-effect.ts";
import { does, SmallFlocks } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([trialEffect]);
});
afterAll(() => book.close());

async function effectOf(flock: string, outcome = "growth"): Promise<TrialEffectRow> {
  const rows = await readTable(
    book,
    trialEffectTable,
    `flock = ${quoteText(flock)} AND outcome = ${quoteText(outcome)}`,
  );
  expect(rows).toHaveLength(1);
  return rows[0]!;
}

const baselineOf = (flock: string): Promise<TrialBaselineRow[]> =>
  readTable(book, trialBaselineTable, `flock = ${quoteText(flock)}`);

const tagsOf = (pen: string): string[] => [1, 2].map((k) => `${pen}-${k}`);

/** Toe read untrimmed at some days of a goat that grew by so much in each step between them. */
function grown(animal: string, dates: readonly string[], steps: readonly number[]): HerdRow[] {
  let toe = 30;
  return dates.map((date, i) => {
    if (i > 0) toe += steps[i - 1]!;
    return { animal, date, foot: "LF", claw: "inner", trimmed: false, toe_before_mm: toe };
  });
}

interface Pen {
  readonly arm: string;
  /** mm of its two goats in the 30 days before the study, where anybody measured, and in the 30 days of it. */
  readonly before?: readonly [number, number];
  readonly during: readonly [number, number];
}

/** Pens of two goats in a study of growth that starts on the first of May. */
function study(pens: Readonly<Record<string, Pen>>): string {
  const names = Object.keys(pens);
  return flocks.add({
    animals: does(names.flatMap(tagsOf)),
    stays: names.flatMap((pen) => tagsOf(pen).map((animal) => ({ animal, pen, from: "2024-01-01" }))),
    trial: names.map((pen) => ({ pen, arm: pens[pen]!.arm, from: "2024-05-01", to: "2024-06-01" })),
    trims: names.flatMap((pen) =>
      tagsOf(pen).flatMap((animal, k) => {
        const { before, during } = pens[pen]!;
        return before === undefined
          ? grown(animal, ["2024-05-01", "2024-05-31"], [during[k]!])
          : grown(animal, ["2024-04-01", "2024-05-01", "2024-05-31"], [before[k]!, during[k]!]);
      }),
    ),
  });
}

/** Two-sided 95 % point of Student's t, any table. */
const t95: Readonly<Record<number, number>> = { 3: 3.182446305284263, 4: 2.7764451051977987 };

describe("three pens a side", () => {
  // Pens come to 4, 5, 6 on the new ration and 3, 3, 6 on the old: means 5 and 4, squares about them 2 and 6.
  const after = study({
    A: { arm: "new", during: [3, 5] },
    B: { arm: "new", during: [5, 5] },
    C: { arm: "new", during: [6, 6] },
    D: { arm: "old", during: [2, 4] },
    E: { arm: "old", during: [3, 3] },
    F: { arm: "old", during: [5, 7] },
  });
  test("differ by the means of pens: t on six pens, not on twelve goats", async () => {
    const row = await effectOf(after);
    expect(row).toMatchObject({
      arm: "old",
      against: "new",
      unit: "pen",
      units_per_arm: 3,
      df: 4,
      before_after: false,
      caution: "no_records_before",
    });
    expect(row.difference).toBeCloseTo(-1, 9);
    // pooled variance (2 + 6)/4, of a difference of two means of three 2·2/3
    const half = t95[4]! * Math.sqrt((2 * 2) / 3);
    expect(row.lo).toBeCloseTo(-1 - half, 6);
    expect(row.hi).toBeCloseTo(-1 + half, 6);
    expect(row.p).toBeGreaterThan(0.05);
  });

  test("are told at the start: pens, goats, and no growth where nobody measured", async () => {
    expect(await baselineOf(after)).toMatchObject([
      { arm: "new", unit: "pen", units: 3, animals: 6, growth_before_mm_30d: null },
      { arm: "old", unit: "pen", units: 3, animals: 6, growth_before_mm_30d: null },
    ]);
  });

  // Changes of the pens: 1, 1, 2 on the new ration and 0, 0, 1 on the old, whatever they started from.
  const beforeAfter = study({
    A: { arm: "new", before: [3, 3], during: [4, 4] },
    B: { arm: "new", before: [6, 6], during: [7, 7] },
    C: { arm: "new", before: [4, 4], during: [6, 6] },
    D: { arm: "old", before: [8, 8], during: [8, 8] },
    E: { arm: "old", before: [5, 5], during: [5, 5] },
    F: { arm: "old", before: [9, 9], during: [10, 10] },
  });
  test("each less its own start, where all have one", async () => {
    const row = await effectOf(beforeAfter);
    expect(row).toMatchObject({ before_after: true, df: 4, caution: null });
    expect(row.difference).toBeCloseTo(-1, 9);
    // squares about 4/3 and 1/3: 2/3 each
    expect(row.hi! - row.difference!).toBeCloseTo(t95[4]! * Math.sqrt(((2 / 3 + 2 / 3) / 4) * (2 / 3)), 6);
    const [fresh] = await baselineOf(beforeAfter);
    expect(fresh!.growth_before_mm_30d).toBeCloseTo((3 + 6 + 4) / 3, 9);
  });
});

describe("too few or unlike units", () => {
  const pairOnly = study({
    A: { arm: "new", during: [4, 4] },
    B: { arm: "new", during: [5, 5] },
    C: { arm: "old", during: [3, 3] },
    D: { arm: "old", during: [2, 2] },
  });
  test("two pens a side give no interval, however many goats", async () => {
    const row = await effectOf(pairOnly);
    expect(row).toMatchObject({ difference: null, lo: null, p: null, units_per_arm: 2 });
    expect(row.caution).toContain("too_few_units(2,3)");
  });

  const allAlike = study({
    A: { arm: "new", during: [4, 4] },
    B: { arm: "new", during: [4, 4] },
    C: { arm: "new", during: [4, 4] },
    D: { arm: "old", during: [3, 3] },
    E: { arm: "old", during: [3, 3] },
    F: { arm: "old", during: [3, 3] },
  });
  test("enough pens of which nothing varies are not called too few", async () => {
    const row = await effectOf(allAlike);
    expect(row).toMatchObject({ difference: null, units_per_arm: 3 });
    expect(row.caution).toContain("too_little_contrast");
    expect(row.caution).not.toContain("too_few");
  });

  const oneWithout = study({
    A: { arm: "new", before: [3, 3], during: [4, 4] },
    B: { arm: "new", before: [6, 6], during: [7, 7] },
    C: { arm: "new", before: [4, 4], during: [6, 6] },
    D: { arm: "old", during: [3, 3] },
    E: { arm: "old", before: [5, 5], during: [5, 5] },
  });
  test("one pen without records before leaves no change to compare, and the page says so", async () => {
    const row = await effectOf(oneWithout);
    expect(row).toMatchObject({ before_after: false, caution: "no_records_before", df: 3, units_per_arm: 2 });
    // pens of 4, 7, 6 against 3, 5
    expect(row.difference).toBeCloseTo(4 - 17 / 3, 9);
  });

  const across = flocks.add({
    animals: does(["A-1", "B-1"]),
    stays: ["A", "B"].map((pen) => ({ animal: `${pen}-1`, pen, from: "2024-01-01" })),
    trial: [
      { pen: "A", arm: "new", from: "2024-05-01", to: "2024-06-01" },
      { pen: "B", arm: "old", from: "2024-05-01", to: "2024-06-01" },
    ],
    // from April into the study, and a step of it afterwards
    trims: ["A-1", "B-1"].flatMap((animal) =>
      grown(animal, ["2024-04-15", "2024-05-15", "2024-06-14"], [4, 4]),
    ),
  });
  test("an interval that reaches over the start counts on neither side", async () => {
    const [row] = await baselineOf(across);
    expect(row!.growth_before_mm_30d).toBeNull();
    expect(await effectOf(across)).toMatchObject({ units_per_arm: 1, difference: null });
  });

  const both = flocks.add({
    animals: does(["a", "b"]),
    stays: [
      { animal: "a", pen: "A", from: "2024-01-01" },
      { animal: "b", pen: "B", from: "2024-01-01" },
    ],
    trial: [
      { pen: "A", animal: null, arm: "new", from: "2024-05-01" },
      { pen: "B", animal: null, arm: "old", from: "2024-05-01" },
      { pen: null, animal: "a", arm: "new", from: "2024-05-01" },
      { pen: null, animal: "b", arm: "old", from: "2024-05-01" },
    ],
    trims: ["a", "b"].flatMap((animal) => grown(animal, ["2024-05-01", "2024-05-31"], [4])),
  });
  test("pens and single goats assigned to arms of one name are two studies", async () => {
    const rows = await readTable(book, trialEffectTable, `flock = ${quoteText(both)} AND outcome = 'growth'`);
    expect(rows.map(({ unit }) => unit).sort()).toEqual(["animal", "pen"]);
    expect((await baselineOf(both)).map(({ arm, unit }) => `${arm} ${unit}`).sort()).toEqual([
      "new animal",
      "new pen",
      "old animal",
      "old pen",
    ]);
  });

  const swapped = flocks.add({
    animals: does(["a", "b", "c", "d", "e", "f", "g"]),
    trial: [
      ...["a", "b", "c"].map((animal) => ({ animal, arm: "new", from: "2024-05-01", to: "2024-06-01" })),
      ...["d", "e", "f"].map((animal) => ({ animal, arm: "old", from: "2024-05-01", to: "2024-06-01" })),
      { animal: "g", arm: "new", from: "2024-05-01", to: "2024-05-15" },
      { animal: "g", arm: "old", from: "2024-05-15", to: "2024-06-01" },
    ],
    gaits: [...["a", "b", "c", "d", "e", "f", "g"]].flatMap((animal) =>
      ["2024-05-05", "2024-05-20"].map((date, i) => ({
        animal,
        date,
        gait: animal === "d" || animal === "g" || (animal === "e" && i === 0) ? 4 : 1,
        gait_scale: "1-5",
      })),
    ),
  });
  test("goats assigned one by one are the units, one that changed arms left out", async () => {
    const row = await effectOf(swapped, "lame");
    expect(row).toMatchObject({ unit: "animal", units_per_arm: 3, arm: "old", against: "new", df: 4 });
    // shares 1, 0.5, 0 against none
    expect(row.difference).toBeCloseTo(0.5, 12);
    expect(row.hi! - 0.5).toBeCloseTo(t95[4]! * Math.sqrt((0.5 / 4) * (2 / 3)), 6);
  });
});

describe("goats assigned one by one", () => {
  /** Goats of two pens, one fed and grown unlike the other; each grew by so much in May. */
  const penned = (
    pens: Readonly<Record<string, readonly (readonly [arm: string, mm: number])[]>>,
  ): string => {
    const goats = Object.entries(pens).flatMap(([pen, own]) =>
      own.map(([arm, mm], k) => ({ animal: `${pen}-${k}`, pen, arm, mm })),
    );
    return flocks.add({
      animals: does(goats.map(({ animal }) => animal)),
      stays: goats.map(({ animal, pen }) => ({ animal, pen, from: "2024-01-01" })),
      trial: goats.map(({ animal, arm }) => ({ animal, arm, from: "2024-05-01", to: "2024-06-01" })),
      trims: goats.flatMap(({ animal, mm }) => grown(animal, ["2024-05-01", "2024-05-31"], [mm])),
    });
  };

  const halved = penned({
    A: [
      ["old", 5],
      ["old", 7],
      ["new", 4],
    ],
    B: [
      ["old", 13],
      ["new", 12],
      ["new", 11],
    ],
  });
  test("are compared within their pens, whatever the pens differ by", async () => {
    const row = await effectOf(halved);
    // 6 − 4 in the one pen and 13 − 11.5 in the other, weights alike; six goats less two pens less one
    expect(row).toMatchObject({ unit: "animal", blocks: 2, df: 3, units_per_arm: 3 });
    expect(row.difference).toBeCloseTo(1.75, 9);
    expect(row.hi! - 1.75).toBeCloseTo(t95[3]! * Math.sqrt((2.5 + 1 / 12) / 3 / (4 / 3)), 6);
  });

  const apart = penned({
    A: [
      ["old", 5],
      ["old", 7],
      ["old", 6],
    ],
    B: [
      ["new", 12],
      ["new", 11],
      ["new", 9],
    ],
  });
  test("whose arms fill whole pens are not compared, and the page says why", async () => {
    const row = await effectOf(apart);
    expect(row).toMatchObject({ difference: null, lo: null, units_per_arm: 3, blocks: 2 });
    expect(row.caution).toContain("arms_in_separate_pens");
  });
});
