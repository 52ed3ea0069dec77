import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import type { Finding } from "../../src/findings/finding.ts";
import { trimSpell } from "../../src/findings/trim-spell.ts";
import { varianceTable } from "../../src/findings/variance.ts";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { does, SmallFlocks } from "./found-book.ts";
import type { HerdRow } from "./herd-book.ts";

/** No growth model: a reading then errs by the project's own 0.8 mm. */
const noModel: Finding = { tables: [varianceTable], fill: async () => {} };

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([noModel, trimSpell]);
});
afterAll(() => book.close());

interface Spell {
  readonly foot: string;
  readonly claw: string;
  readonly trimmed_on: number;
  readonly claws: number;
  readonly checks: number;
  readonly not_over_until: number;
  readonly over_by: number | null;
  readonly left_out: string | null;
}

/** Spells of an animal as a whole, or of its claws, in order of the trim. */
function spellsOf(flock: string, animal: string, of: "animal" | "claws" = "animal"): Promise<Spell[]> {
  return book.rows<Spell>(
    `SELECT foot, claw, day_no(trimmed_on) - ${START} AS trimmed_on, claws, checks, not_over_until, over_by, left_out
     FROM results.trim_spell WHERE flock = ${quoteText(flock)} AND animal = ${quoteText(animal)}
       AND foot ${of === "animal" ? "=" : "<>"} '' ORDER BY trimmed_on, foot, claw`,
  );
}

const START = parseIsoDay("2024-01-01")!;

interface Read {
  readonly claw?: string | null;
  readonly foot?: string | null;
  readonly over?: number;
  readonly toe?: number;
  readonly left?: number;
  readonly toeLeft?: number;
  readonly stage?: string;
  readonly trimmed?: boolean;
}

/** What was read of a claw so many days after the first: overhang or toe before, and what a trim left. */
function read(animal: string, day: number, of: Read): HerdRow {
  return {
    animal,
    date: isoDay(START + day),
    foot: of.foot === undefined ? "LF" : of.foot,
    claw: of.claw === undefined ? "inner" : of.claw,
    overhang_before_mm: of.over ?? null,
    toe_before_mm: of.toe ?? null,
    overhang_after_mm: of.left ?? null,
    toe_after_mm: of.toeLeft ?? null,
    trimmed: of.trimmed ?? (of.left !== undefined || of.toeLeft !== undefined),
    stage: of.stage ?? null,
  };
}

// Trimmed to 3 mm, over at 10 mm; one claw of each goat, so that nothing is drawn toward anything.
const settings = { trim_to_mm: 3, retrim_at_mm: 10 };

describe("when a claw passed the limit is known to lie between two checks", () => {
  const goats: Readonly<Record<string, readonly HerdRow[]>> = {
    between: [
      read("between", 0, { over: 12, left: 3 }),
      read("between", 30, { over: 6 }),
      read("between", 60, { over: 11 }),
    ],
    never: [read("never", 0, { left: 3 }), read("never", 30, { over: 6 }), read("never", 60, { over: 9.9 })],
    first: [read("first", 0, { left: 3 }), read("first", 30, { over: 12 }), read("first", 60, { over: 14 })],
    "at the limit": [read("at the limit", 0, { left: 3 }), read("at the limit", 30, { over: 10 })],
    "shorter later": [
      read("shorter later", 0, { left: 3 }),
      read("shorter later", 30, { over: 11 }),
      read("shorter later", 60, { over: 8 }),
    ],
    unchecked: [read("unchecked", 0, { left: 3 })],
    unread: [read("unread", 0, { left: 3 }), read("unread", 30, { trimmed: false })],
    "by toe": [
      read("by toe", 0, { toe: 38, toeLeft: 30 }),
      read("by toe", 30, { toe: 34 }),
      read("by toe", 60, { toe: 38 }),
    ],
    again: [
      read("again", 0, { left: 3 }),
      read("again", 30, { over: 6, left: 3 }),
      read("again", 75, { over: 13 }),
    ],
  };
  const flock = flocks.add(
    { animals: does(Object.keys(goats)), trims: Object.values(goats).flat() },
    settings,
  );

  test.each([
    ["between", "between the check at 30 and that at 60 days", 30, 60, 2],
    ["never", "not by the last check", 60, null, 2],
    ["first", "before the first check", 0, 30, 2],
    ["at the limit", "a wall at the limit is due", 0, 30, 1],
    ["shorter later", "a shorter reading later does not take it back", 0, 30, 2],
  ])("%s: %s", async (animal, _, not_over_until, over_by, checks) => {
    expect(await spellsOf(flock, animal)).toMatchObject([
      { trimmed_on: 0, claws: 1, checks, not_over_until, over_by, left_out: null },
    ]);
  });

  test("a trim that nobody checked or read later tells nothing", async () => {
    expect(await spellsOf(flock, "unchecked")).toEqual([]);
    expect(await spellsOf(flock, "unread")).toEqual([]);
  });

  test("where only the toe is read, the wall stands at the flock's mark and what the toe grew", async () => {
    // 3 and 34 - 30 are 7 mm after 30 days, 3 and 38 - 30 are 11 after 60
    expect(await spellsOf(flock, "by toe")).toMatchObject([{ not_over_until: 30, over_by: 60 }]);
  });

  test("the next trim ends a spell with its own look, and starts another", async () => {
    expect(await spellsOf(flock, "again")).toMatchObject([
      { trimmed_on: 0, not_over_until: 30, over_by: null, checks: 1 },
      { trimmed_on: 30, not_over_until: 0, over_by: 45, checks: 1 },
    ]);
  });
});

describe("spells that enter no curve, with the reason", () => {
  const starts: readonly [string, Read][] = [
    ["left over", { left: 10 }],
    ["stage", { left: 8, stage: "1 of 3" }],
    ["bare stage", { left: 8, stage: "2" }],
    ["last stage", { left: 3, stage: "3 of 3" }],
    ["done", { left: 3, stage: "done" }],
  ];
  const flock = flocks.add(
    {
      animals: does(starts.map(([animal]) => animal)),
      trims: starts.flatMap(([animal, start]) => [read(animal, 0, start), read(animal, 30, { over: 11 })]),
    },
    settings,
  );
  test.each([
    ["left over", "started over"],
    ["stage", "staged"],
    ["bare stage", "staged"],
    ["last stage", null],
    ["done", null],
  ])("%s: %s", async (animal, left_out) => {
    expect(await spellsOf(flock, animal)).toMatchObject([{ over_by: 30, left_out }]);
  });
});

describe("an animal's spell ends with the first of its claws", () => {
  const flock = flocks.add(
    {
      animals: does(["G0"]),
      trims: [
        read("G0", 0, { left: 3 }),
        read("G0", 0, { left: 3, claw: "outer" }),
        read("G0", 30, { over: 5 }),
        read("G0", 30, { over: 14, claw: "outer" }),
        read("G0", 60, { over: 16 }),
      ],
    },
    settings,
  );
  test("and each claw has its own", async () => {
    expect(await spellsOf(flock, "G0")).toMatchObject([{ claws: 2, checks: 2, over_by: 30 }]);
    expect(await spellsOf(flock, "G0", "claws")).toMatchObject([
      { foot: "LF", claw: "inner", not_over_until: 30, over_by: 60 },
      { foot: "LF", claw: "outer", not_over_until: 0, over_by: 30 },
    ]);
  });

  // The longest of several readings errs upward. By hand: the claws of the one visit vary by s² = 2·d² (d half their
  // difference) of which 0.8² is the reading's, so that departures shrink by √((s² - 0.64)/s²).
  const twoClaws = (short: number, long: number): string =>
    flocks.add(
      {
        animals: does(["G0"]),
        trims: [
          read("G0", 0, { left: 3 }),
          read("G0", 0, { left: 3, claw: "outer" }),
          read("G0", 30, { over: short }),
          read("G0", 30, { over: long, claw: "outer" }),
        ],
      },
      settings,
    );
  const barely = twoClaws(8.2, 10.1);
  const clearly = twoClaws(8, 10.4);
  test("its longest reading counts as far as it is not the ruler's", async () => {
    const drawn = (short: number, long: number): number => {
      const [mean, d] = [(short + long) / 2, (long - short) / 2];
      return mean + Math.sqrt((2 * d * d - 0.64) / (2 * d * d)) * d;
    };
    expect(drawn(8.2, 10.1)).toBeLessThan(10);
    expect(await spellsOf(barely, "G0")).toMatchObject([{ not_over_until: 30, over_by: null }]);
    expect(drawn(8, 10.4)).toBeGreaterThan(10);
    expect(await spellsOf(clearly, "G0")).toMatchObject([{ not_over_until: 0, over_by: 30 }]);
  });
});
