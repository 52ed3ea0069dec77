import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Book } from "../../../src/book/book.ts";
import { fillExposure } from "../../../src/exposure/fill-exposure.ts";
import { readFlocks } from "../../../src/exposure/flocks.ts";
import { type HerdPedigree, readHerdPedigree } from "../../../src/findings/breeding/herd-pedigree.ts";
import { expectedInbreeding, relationshipRow } from "../../../src/statistics/pedigree/relationship.ts";
import { groupShares } from "../../../src/statistics/pedigree/unknown-parent-groups.ts";
import { emptyTables, type HandMadeRecord, takeHandMade } from "../../intake/hand-made-sheets.ts";
import { openTestBook } from "../../intake/open-test-book.ts";

const opened: Book[] = [];
afterAll(async () => {
  for (const book of opened) await book.close();
});

/** The pedigree that an animals sheet gives once it was taken in. */
async function pedigreeOf(animals: readonly HandMadeRecord[]): Promise<HerdPedigree> {
  const book = await openTestBook();
  opened.push(book);
  await emptyTables(book);
  await takeHandMade(book, [
    { file: "animals.csv", kind: "animals", records: animals },
    {
      file: "gaits.csv",
      kind: "gaits",
      records: [{ animal: String(animals[0]!.animal), date: "2024-05-01", gait: 0, gait_scale: "0-3" }],
    },
  ]);
  await fillExposure(book, await readFlocks(book, 100_000, null));
  return readHerdPedigree(book, "flock");
}

describe("candidate sires of a sheet", () => {
  let herd: HerdPedigree;
  const relationship = (a: string, b: string): number =>
    relationshipRow(herd.pedigree, herd.kin, herd.place.get(a)!)[herd.place.get(b)!]!;
  beforeAll(async () => {
    herd = await pedigreeOf([
      { animal: "A", sex: "male" },
      { animal: "B", sex: "male" },
      { animal: "D", sex: "female" },
      { animal: "K", sex: "female", sire: "A / B", dam: "D" },
      { animal: "L", sex: "female", sire: "A 70% / B 30%", dam: "D" },
      { animal: "M", sex: "male", sire: "A" },
    ]);
  });

  // Averaged relationships (Henderson 1988, J. Dairy Sci. 71 suppl. 2, from memory), by hand: a kid is related to a
  // candidate by half of his chance, and two kids by the mean over both their candidates.
  test.each([
    ["K", "A", 0.25],
    ["L", "A", 0.35],
    ["L", "B", 0.15],
    ["K", "D", 0.5],
    // the dam's quarter, and a quarter of 0.5·0.7 + 0.5·0.3
    ["K", "L", 0.25 + 0.25 * 0.5],
    ["M", "L", 0.25 * 0.7],
  ])("%s and %s are related by %f", (a, b, expected) => {
    expect(relationship(a, b)).toBeCloseTo(expected, 12);
  });

  test("a kid of one of them and of his possible daughter is expected to be inbred by half of that", () => {
    expect(
      expectedInbreeding(herd.pedigree, herd.kin, herd.place.get("M")!, herd.place.get("L")!),
    ).toBeCloseTo(0.25 * 0.7 * 0.5, 12);
  });
});

test("a line that is not written down is the sire's, or that of the eldest known sire", async () => {
  const herd = await pedigreeOf([
    { animal: "1", sex: "male", line: "Ash" },
    { animal: "2", sex: "female", sire: "1" },
    { animal: "3", sex: "female", sire: "Old Tom" },
    { animal: "4", sex: "female" },
    { animal: "5", sex: "female", line: "Elm", sire: "1" },
  ]);
  const line = (tag: string): string | undefined => herd.lines[herd.lineOf[herd.place.get(tag)!]!];
  expect(["1", "2", "3", "4", "5", "Old Tom"].map(line)).toEqual([
    "Ash",
    "Ash",
    "Old Tom",
    undefined,
    "Elm",
    "Old Tom",
  ]);
  expect(["1", "2", "3", "5"].map((tag) => herd.inferred[herd.place.get(tag)!])).toEqual([
    false,
    true,
    true,
    false,
  ]);
});

describe("goats bought in of no known line", () => {
  const bought = (animal: string): HandMadeRecord => ({ animal, sex: "female", origin: "bought" });
  const home: readonly HandMadeRecord[] = [
    { animal: "1", sex: "male", line: "Ash" },
    { animal: "2", sex: "female", line: "Ash", sire: "1" },
    { animal: "9", sex: "female", origin: "home-bred" },
  ];

  test("three stand as one group more, and hand half of it to their kids", async () => {
    const herd = await pedigreeOf([
      ...home,
      bought("3"),
      bought("4"),
      bought("5"),
      { animal: "6", sex: "female", sire: "1", dam: "3" },
    ]);
    expect(herd.lines).toEqual(["Ash"]);
    expect(herd.groups.count).toBe(2);
    const { rowStart, column, value } = groupShares(herd.pedigree, herd.groups);
    const shares = (tag: string): readonly (readonly [number, number])[] => {
      const i = herd.place.get(tag)!;
      return Array.from({ length: rowStart[i + 1]! - rowStart[i]! }, (_, k): [number, number] => [
        column[rowStart[i]! + k]!,
        value[rowStart[i]! + k]!,
      ]).sort((a, b) => a[0] - b[0]);
    };
    expect(shares("3")).toEqual([[1, 1]]);
    // by hand: half from the sire of line Ash, half from the goat that was bought
    expect(shares("6")).toEqual([
      [0, 0.5],
      [1, 0.5],
    ]);
    expect(shares("9")).toEqual([]);
  });

  test("two are too few, and one with a line of its own belongs to that", async () => {
    const herd = await pedigreeOf([...home, bought("3"), bought("4"), { ...bought("5"), line: "Ash" }]);
    expect(herd.groups.count).toBe(1);
  });
});
