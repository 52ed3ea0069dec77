import { afterAll, describe, expect, test } from "vitest";
import type { Book } from "../../../src/book/book.ts";
import { fillExposure } from "../../../src/exposure/fill-exposure.ts";
import { readFlocks } from "../../../src/exposure/flocks.ts";
import {
  type BreedingValueRow,
  breedingValueTable,
  lineTable,
} from "../../../src/findings/breeding/breeding-tables.ts";
import { type Mating, type MatingValue, mating, midParent } from "../../../src/findings/breeding/mating.ts";
import { createTable, insertRows } from "../../../src/findings/finding.ts";
import { varianceTable } from "../../../src/findings/variance.ts";
import { readCodes } from "../../../src/records/codes.ts";
import { type HerdRow, herdBook } from "../herd-book.ts";

const opened: Book[] = [];
afterAll(async () => {
  for (const book of opened) await book.close();
});

type Parents = Readonly<Record<string, readonly [string | null, string | null, string?]>>;

/** A book with a pedigree, and whatever breeding values are stored of it. */
async function pedigreeBook(
  parents: Parents,
  values: readonly Partial<BreedingValueRow>[] = [],
): Promise<Book> {
  const animals = Object.entries(parents).map(
    ([animal, [sire, dam, sex]]): HerdRow => ({ animal, sire, dam, sex: sex ?? null }),
  );
  const book = await herdBook({
    animals,
    gaits: [{ animal: animals[0]!.animal!, date: "2024-05-01", gait: 0, gait_scale: "0-3" }],
  });
  opened.push(book);
  await fillExposure(book, await readFlocks(book, 100_000, null));
  for (const table of [breedingValueTable, lineTable, varianceTable]) await book.run(createTable(table));
  await insertRows(
    book,
    breedingValueTable,
    values.map((row) => ({
      flock: "flock",
      trait: "growth",
      animal: "",
      line: null,
      sire: null,
      dam: null,
      inbreeding: 0,
      value: null,
      lo: null,
      hi: null,
      se: null,
      reliability: null,
      p_worse_than_flock: null,
      records: 3,
      caution: null,
      ...row,
    })),
  );
  return book;
}

async function told(book: Book, sire: string, dam: string): Promise<Mating> {
  const found = await mating(book, "flock", { sire, dam });
  if ("length" in found) throw new Error(found.map(({ code }) => code).join());
  return found;
}

const codesOf = (found: Mating): string[] => readCodes(found.caution).map(({ id }) => id);

const familyParents: Parents = {
  father: [null, null, "male"],
  mother: [null, null, "female"],
  other: [null, null, "female"],
  son: ["father", "mother", "male"],
  daughter: ["father", "mother", "female"],
  half: ["father", "other", "female"],
  outside: [null, null, "female"],
  grandson: ["son", "outside", "male"],
  granddaughter: ["daughter", null, "female"],
  wether: ["father", "mother", "wether"],
};

let family: Promise<Book> | undefined;
/** The family without stored values, made once. */
function familyBook(): Promise<Book> {
  family ??= pedigreeBook(familyParents);
  return family;
}

describe("expected inbreeding", () => {
  // By hand: half of the additive relationship of the parents (Wright 1922, Am. Nat. 56:330-338).
  test.each([
    ["full sibs", "son", "daughter", 1 / 4],
    ["half sibs", "son", "half", 1 / 8],
    ["father and daughter", "father", "daughter", 1 / 4],
    ["mother and son", "son", "mother", 1 / 4],
    ["father and granddaughter", "father", "granddaughter", 1 / 8],
    ["uncle and niece", "son", "granddaughter", 1 / 8],
    ["first cousins", "grandson", "granddaughter", 1 / 16],
    ["no kin", "son", "outside", 0],
  ])("%s", async (_, sire, dam, inbreeding) => {
    expect((await told(await familyBook(), sire, dam)).expectedInbreeding).toBeCloseTo(inbreeding, 12);
  });

  // Mrode 2014, Linear Models for the Prediction of Animal Breeding Values, 3rd ed., table 2.1: calves 5 (of 4 and 3)
  // and 6 (of 5 and 2) have an inbreeding coefficient of 0.125.
  test("Mrode's example 2.1", async () => {
    const book = await pedigreeBook({
      "1": [null, null],
      "2": [null, null],
      "3": ["1", "2"],
      "4": ["1", null],
      "5": ["4", "3"],
      "6": ["5", "2"],
    });
    expect((await told(book, "4", "3")).expectedInbreeding).toBeCloseTo(0.125, 12);
    expect((await told(book, "5", "2")).expectedInbreeding).toBeCloseTo(0.125, 12);
  });

  // Henderson 1976, Biometrics 32:69-83 (from memory): F of 5 (3 × 4), 6 (1 × 4), 7 (5 × 6); A67 = 0.90625, A57 = 0.84375.
  test("Henderson's example of 1976", async () => {
    const book = await pedigreeBook({
      "1": [null, null],
      "2": [null, null],
      "3": ["1", null],
      "4": ["1", "2"],
      "5": ["3", "4"],
      "6": ["1", "4"],
      "7": ["5", "6"],
    });
    expect((await told(book, "3", "4")).expectedInbreeding).toBeCloseTo(0.125, 12);
    expect((await told(book, "1", "4")).expectedInbreeding).toBeCloseTo(0.25, 12);
    expect((await told(book, "5", "6")).expectedInbreeding).toBeCloseTo(0.28125, 12);
    expect((await told(book, "7", "6")).expectedInbreeding).toBeCloseTo(0.90625 / 2, 12);
    expect((await told(book, "5", "7")).expectedInbreeding).toBeCloseTo(0.84375 / 2, 12);
  });

  test("kin as inbred as first cousins' kids are named, and so is a pedigree that stops short", async () => {
    const book = await familyBook();
    const cousins = await told(book, "grandson", "granddaughter");
    expect(codesOf(cousins)).toEqual(["kid_inbred", "ancestors_unknown", "ancestors_unknown"]);
    // grandson: both parents, both of the son's; granddaughter: dam, both of hers
    expect(
      readCodes(cousins.caution)
        .slice(1)
        .map(({ args }) => args),
    ).toEqual([
      ["grandson", "4", "6"],
      ["granddaughter", "3", "6"],
    ]);
    expect(codesOf(await told(book, "son", "outside"))).not.toContain("kid_inbred");
  });

  test("a sire who is one of two counts by his chance", async () => {
    const book = await pedigreeBook({
      a: [null, null, "male"],
      b: [null, null, "male"],
      son: ["a", null, "male"],
      daughter: [null, null, "female"],
    });
    await book.run(
      "INSERT INTO herd.parent BY NAME SELECT 'flock' AS flock, 'daughter' AS animal, unnest(['a', 'b']) AS parent, 'sire' AS role, 0.5 AS share, 1 AS source_id, 9 AS row_no",
    );
    const found = await told(book, "son", "daughter");
    // by hand: half sibs with probability one half
    expect(found.expectedInbreeding).toBeCloseTo(1 / 16, 12);
    expect(found.shared).toEqual([{ tag: "a", aboveSire: 1, aboveDam: 1, possible: true }]);
    expect(codesOf(found)).toContain("kin_by_candidates");
  });
});

test.each([
  [
    "son",
    "daughter",
    [
      ["father", 1, 1],
      ["mother", 1, 1],
    ],
  ],
  ["son", "half", [["father", 1, 1]]],
  ["father", "granddaughter", [["father", 0, 2]]],
  [
    "son",
    "granddaughter",
    [
      ["father", 1, 2],
      ["mother", 1, 2],
    ],
  ],
  [
    "grandson",
    "granddaughter",
    [
      ["father", 2, 2],
      ["mother", 2, 2],
    ],
  ],
  ["son", "outside", []],
])("the nearest shared ancestors of %s and %s", async (sire, dam, shared) => {
  const found = await told(await familyBook(), sire, dam);
  expect(found.shared.map(({ tag, aboveSire, aboveDam }) => [tag, aboveSire, aboveDam])).toEqual(shared);
});

describe("a call that cannot be answered", () => {
  test.each([
    ["son", "daugter", { code: "unknown_tag", tag: "daugter" }],
    ["son", "son", { code: "same_animal", tag: "son" }],
    ["daughter", "half", { code: "sire_is_doe", tag: "daughter" }],
    ["wether", "half", { code: "sire_is_wether", tag: "wether" }],
    ["son", "father", { code: "dam_is_no_doe", tag: "father" }],
  ])("%s with %s", async (sire, dam, trouble) => {
    expect(await mating(await familyBook(), "flock", { sire, dam })).toMatchObject([trouble]);
  });

  test("an unknown tag comes with the nearest ones first", async () => {
    const found = await mating(await familyBook(), "flock", { sire: "som", dam: "haf" });
    expect(found).toMatchObject([
      { code: "unknown_tag", tag: "som", nearest: expect.arrayContaining(["son"]) },
      { code: "unknown_tag", tag: "haf", nearest: expect.arrayContaining(["half"]) },
    ]);
  });

  test("the sex of a parent without a row of its own is that of its part in the pedigree", async () => {
    const book = await pedigreeBook({ kid: ["Old buck", "Old doe", "male"], doe: [null, null, "female"] });
    expect(await mating(book, "flock", { sire: "Old doe", dam: "doe" })).toMatchObject([
      { code: "sire_is_doe" },
    ]);
    expect(await mating(book, "flock", { sire: "kid", dam: "Old buck" })).toMatchObject([
      { code: "dam_is_no_doe" },
    ]);
    expect(codesOf(await told(book, "Old buck", "doe"))).toContain("no_own_row");
  });

  test("a book without results says so", async () => {
    const book = await herdBook({ animals: [{ animal: "a" }, { animal: "b" }] });
    opened.push(book);
    expect(await mating(book, "flock", { sire: "a", dam: "b" })).toEqual([{ code: "not_analysed" }]);
  });
});

describe("mid-parent values", () => {
  const value = (
    one: number,
    se: number,
    reliability: number | null,
    caution: string | null = null,
  ): MatingValue => ({
    told: { value: one, lo: one - 2 * se, hi: one + 2 * se, reliability },
    records: 4,
    caution,
  });

  // By hand: errors of 0.1 and 0.3 that do not go together make one of √(0.1² + 0.3²)/2 in the mean.
  test.each([
    ["do not go together", 0, Math.sqrt(0.1 ** 2 + 0.3 ** 2) / 2],
    ["are the same", 1, 0.2],
    ["take each other off", -1, 0.1],
  ])("the mean of both: errors that %s", (_, errorCorrelation, error) => {
    const errors = { errorCorrelation, reliability: 0.3 };
    const { told: mid } = midParent(value(0.4, 0.1, 0.6), value(-0.2, 0.3, 0.4), errors);
    expect(mid!.value).toBeCloseTo(0.1, 12);
    expect(mid!.hi - mid!.value).toBeCloseTo(2 * error, 12);
    expect(mid!.value - mid!.lo).toBeCloseTo(2 * error, 12);
    expect(mid!.reliability).toBe(0.3);
  });

  test("where it is not known how the errors go together the limits are the widest, without a reliability", () => {
    const mid = midParent(value(0.4, 0.1, 0.6), value(-0.2, 0.3, 0.4), null);
    expect(mid.told!.hi - mid.told!.value).toBeCloseTo(2 * 0.2, 12);
    expect(mid.told!.reliability).toBeNull();
    expect(mid.caution).toBe("pair_not_worked_out");
  });

  test("nothing is told where a parent's value may not be, and the reason stays", async () => {
    const book = await pedigreeBook(familyParents, [
      { animal: "son", value: 0.3, lo: 0.1, hi: 0.5, reliability: 0.5 },
      { animal: "half", value: 0.1, lo: -0.3, hi: 0.5, reliability: 0.4 },
      { animal: "son", trait: "lameness", caution: "reliability_too_low(0.2,40)" },
      { animal: "half", trait: "lameness", caution: "reliability_too_low(0.2,40)" },
    ]);
    const [growth, lameness] = (await told(book, "son", "half")).values;
    expect(growth!.midParent.told).toMatchObject({ value: 0.2, reliability: null });
    expect(growth!.midParent.caution).toBe("pair_not_worked_out");
    expect(lameness!.sire.told).toBeNull();
    expect(lameness!.midParent).toEqual({
      told: null,
      records: null,
      caution: "reliability_too_low(0.2,40)",
    });
  });

  test("values without a reliability are told without one, and the reason stays", async () => {
    const book = await pedigreeBook(familyParents, [
      { animal: "son", value: 0.3, lo: 0.1, hi: 0.5, caution: "not_heritable_here" },
      { animal: "outside", value: 0.1, lo: -0.3, hi: 0.5, caution: "not_heritable_here" },
    ]);
    const { midParent: mid } = (await told(book, "son", "outside")).values[0]!;
    expect(mid.told!.value).toBeCloseTo(0.2, 12);
    expect(mid.told!.reliability).toBeNull();
    expect(mid.caution).toContain("not_heritable_here");
  });

  test("an animal without a stored value is silent", async () => {
    const [growth] = (await told(await familyBook(), "son", "outside")).values;
    expect(growth!.sire).toEqual({ told: null, records: null, caution: "no_value_stored" });
  });
});
