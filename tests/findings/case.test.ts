import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { quoteText } from "../../src/book/book.ts";
import { type CaseRow, cases, caseTable } from "../../src/findings/case.ts";
import { type CaseSummaryRow, caseSummary, caseSummaryTable } from "../../src/findings/case-summary.ts";
import { readTable } from "../../src/findings/read-table.ts";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { does, SmallFlocks, stand } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([cases, caseSummary]);
});
afterAll(() => book.close());

const START = parseIsoDay("2024-01-01")!;
const on = (day: number): string => isoDay(START + day);

const gait = (animal: string, day: number, score: number, scale = "1-5"): HerdRow => ({
  animal,
  date: on(day),
  gait: score,
  gait_scale: scale,
});
const lame = (animal: string, day: number): HerdRow => gait(animal, day, 3);
const sound = (animal: string, day: number): HerdRow => gait(animal, day, 1);
const found = (animal: string, day: number, lesion: string, more: HerdRow = {}): HerdRow => ({
  animal,
  date: on(day),
  lesion,
  foot: null,
  status: null,
  smell: null,
  severity: null,
  suspected: null,
  ...more,
});

type Told = Omit<CaseRow, "first_sign" | "last_sign" | "closed" | "first_treatment" | "repeat_of"> & {
  readonly first_sign: number;
  readonly last_sign: number;
  readonly closed: number | null;
  readonly first_treatment: number | null;
  readonly repeat_of: number | null;
};

/** The cases of an animal, their days counted from the first of January. */
async function casesOf(flock: string, animal: string): Promise<Told[]> {
  const rows = await readTable(
    book,
    caseTable,
    `flock = ${quoteText(flock)} AND animal = ${quoteText(animal)}`,
  );
  const day = (one: number | null): number | null => (one === null ? null : one - START);
  return rows.map((row) => ({
    ...row,
    first_sign: row.first_sign - START,
    last_sign: row.last_sign - START,
    closed: day(row.closed),
    first_treatment: day(row.first_treatment),
    repeat_of: day(row.repeat_of),
  }));
}

describe("a case", () => {
  const tags = [
    ...["mild", "silent", "gap", "past gap", "repeat", "no repeat", "both", "two feet", "not a sign"],
    ...[
      "same day",
      "healed",
      "left",
      "treated",
      "treated late",
      "treated before",
      "two scales",
      "clean foot",
    ],
    ...["walks sound", "cracked", "lame again"],
  ];
  const flock = flocks.add({
    animals: does(tags).map((row) => ({ ...row, left: row.animal === "left" ? on(20) : null })),
    gaits: [
      ...[sound("mild", 0), gait("mild", 10, 3), gait("mild", 20, 4), gait("mild", 30, 3), sound("mild", 40)],
      ...[lame("silent", 10), lame("lame again", 40), sound("lame again", 50)],
      // clean on day 20: a sign on day 50 is 30 days later, one on day 51 is 31
      ...[lame("gap", 10), sound("gap", 20), lame("gap", 50), sound("gap", 60)],
      ...[lame("past gap", 10), sound("past gap", 20), lame("past gap", 51)],
      ...[lame("repeat", 10), sound("repeat", 20), lame("repeat", 200)],
      ...[lame("no repeat", 10), sound("no repeat", 20), lame("no repeat", 201)],
      ...[lame("both", 12), lame("same day", 10), lame("left", 10), lame("clean foot", 10)],
      ...[lame("treated", 10), sound("treated", 20), lame("treated late", 10), sound("treated late", 20)],
      ...[lame("treated before", 10), gait("two scales", 10, 3), gait("two scales", 12, 3, "0-3")],
      ...[sound("walks sound", 15), sound("cracked", 15)],
    ],
    lesions: [
      found("both", 10, "footrot", { foot: "LF", smell: true }),
      found("both", 14, "crack", { foot: "LF" }),
      found("two feet", 10, "footrot", { foot: "LF", severity: "deep" }),
      found("two feet", 11, "footrot", { foot: "RH" }),
      found("not a sign", 10, "overgrowth"),
      found("not a sign", 11, "footrot", { suspected: true }),
      found("not a sign", 12, "none"),
      found("same day", 10, "none", { foot: "RF" }),
      found("healed", 10, "footrot"),
      found("healed", 20, "footrot", { status: "healing" }),
      found("healed", 30, "footrot", { status: "healed" }),
      found("clean foot", 20, "none"),
      found("walks sound", 10, "footrot"),
      found("cracked", 10, "crack"),
      found("lame again", 10, "footrot"),
      found("lame again", 20, "none"),
    ],
    treatments: [
      { animal: "treated", date: on(10), treatment: "bath" },
      { animal: "treated", date: on(14), treatment: "bath" },
      { animal: "treated late", date: on(25), treatment: "bath" },
      { animal: "treated before", date: on(5), treatment: "bath" },
      { animal: "treated before", date: on(13), treatment: "bath" },
    ],
  });

  test("opens at the first sign, keeps its worst score, and closes at the first sound look", async () => {
    expect(await casesOf(flock, "mild")).toMatchObject([
      { kind: "lame", first_sign: 10, last_sign: 30, closed: 40, severity: "4 of 1-5", lesions: null },
    ]);
  });

  test("is never closed by silence", async () => {
    expect(await casesOf(flock, "silent")).toMatchObject([{ first_sign: 10, last_sign: 10, closed: null }]);
  });

  test("goes on when a sign comes back within 30 days of the clean look", async () => {
    expect(await casesOf(flock, "gap")).toMatchObject([
      { first_sign: 10, last_sign: 50, closed: 60, repeat_of: null },
    ]);
  });

  test("is a new one after that, a repeat within 180 days", async () => {
    expect(await casesOf(flock, "past gap")).toMatchObject([
      { first_sign: 10, closed: 20, repeat_of: null },
      { first_sign: 51, closed: null, repeat_of: 10 },
    ]);
    expect(await casesOf(flock, "repeat")).toMatchObject([{ closed: 20 }, { repeat_of: 10 }]);
    expect(await casesOf(flock, "no repeat")).toMatchObject([{ closed: 20 }, { repeat_of: null }]);
  });

  test("joins lameness and lesions, and names the foot where all signs that name one agree", async () => {
    expect(await casesOf(flock, "both")).toMatchObject([
      {
        kind: "lame and lesion",
        lesions: "crack, footrot",
        foot: "LF",
        smell: true,
        first_sign: 10,
        last_sign: 14,
      },
    ]);
    expect(await casesOf(flock, "two feet")).toMatchObject([
      { kind: "lesion", foot: null, severity: "deep" },
    ]);
  });

  test("is opened by no overgrowth, no suspicion and no clean foot", async () => {
    expect(await casesOf(flock, "not a sign")).toEqual([]);
  });

  test("is not closed by a clean foot on the day of the sign", async () => {
    expect(await casesOf(flock, "same day")).toMatchObject([{ closed: null }]);
  });

  test("of a lesion goes on while healing and closes healed", async () => {
    expect(await casesOf(flock, "healed")).toMatchObject([{ last_sign: 20, closed: 30 }]);
  });

  test("of a lame goat closes when its feet are found clean", async () => {
    expect(await casesOf(flock, "clean foot")).toMatchObject([{ closed: 20 }]);
  });

  test("closes when the goat leaves", async () => {
    expect(await casesOf(flock, "left")).toMatchObject([{ first_sign: 10, closed: 20 }]);
  });

  test("counts its first treatment from the first sign on, while it is open", async () => {
    expect(await casesOf(flock, "treated")).toMatchObject([{ first_treatment: 10, days_to_treatment: 0 }]);
    expect(await casesOf(flock, "treated late")).toMatchObject([
      { first_treatment: null, days_to_treatment: null },
    ]);
    expect(await casesOf(flock, "treated before")).toMatchObject([
      { first_treatment: 13, days_to_treatment: 3 },
    ]);
  });

  test("is not measured across scales by the bare number", async () => {
    // both scores are 3: on 0-3 that is the worst there is, on 1-5 the mildest that is lame
    expect(await casesOf(flock, "two scales")).toMatchObject([{ severity: "3 of 0-3" }]);
  });

  test("of a sore foot is not closed by a sound gait: nobody looked at the foot", async () => {
    expect(await casesOf(flock, "walks sound")).toMatchObject([{ kind: "lesion", closed: null }]);
    // a crack neither spreads nor waits for the vet; a footrot that was seen clean is over when the goat limps again
    expect(await casesOf(flock, "cracked")).toMatchObject([{ kind: "lesion", closed: 15 }]);
    expect(await casesOf(flock, "lame again")).toMatchObject([{ last_sign: 40, closed: 50 }]);
  });
});

describe("cases counted", () => {
  const tags = ["a", "b", "c", "d", "e"];
  const flock = flocks.add({
    animals: does(tags),
    stays: [...stand(["a", "b"], "Near"), ...stand(["c", "d", "e"], "Far")],
    gaits: [
      // a: treated after 2 days, closed, back 40 days later and never treated
      ...[lame("a", 70), sound("a", 80), lame("a", 120)],
      // b: treated after 4 days; c: untreated for 3 days; d: untreated for 4 and closed; e: open since yesterday
      ...[lame("b", 70), sound("b", 90), lame("c", 70), sound("c", 73), lame("d", 70), sound("d", 74)],
      ...[lame("e", 129), sound("b", 130)],
    ],
    treatments: [
      { animal: "a", date: on(72), treatment: "bath" },
      { animal: "b", date: on(74), treatment: "bath" },
    ],
  });
  const summary = async (season: string, kind: string, value: string): Promise<CaseSummaryRow> => {
    const rows = await readTable(
      book,
      caseSummaryTable,
      `flock = ${quoteText(flock)} AND season = ${quoteText(season)}`,
    );
    return rows.find((row) => row.group_kind === kind && row.group_value === value)!;
  };

  test("over all seasons", async () => {
    expect(await summary("all", "flock", flock)).toMatchObject({
      cases: 6,
      animals: 5,
      open: 2,
      treated: 2,
      // the middle of 2 and 4
      median_days_to_treatment: 3,
      repeats: 1,
      // a's second (10 days), b (4), d (4); not c (3), not e (1)
      waited_lame: 3,
    });
  });

  test("by pen of the first sign", async () => {
    expect(await summary("all", "pen", "Near")).toMatchObject({ cases: 3, animals: 2, open: 1, treated: 2 });
    expect(await summary("all", "pen", "Far")).toMatchObject({
      cases: 3,
      treated: 0,
      median_days_to_treatment: null,
    });
  });

  test("by season of the first sign", async () => {
    // day 70 is the 11th of March, day 120 the 30th of April: all in spring
    expect(await summary("2024-spring", "flock", flock)).toMatchObject({ cases: 6 });
    expect(await summary("2023-winter", "flock", flock)).toBeUndefined();
  });
});
