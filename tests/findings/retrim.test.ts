import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { quoteText } from "../../src/book/book.ts";
import type { Finding } from "../../src/findings/finding.ts";
import { readTable } from "../../src/findings/read-table.ts";
import {
  type RetrimCurveRow,
  type RetrimSummaryRow,
  retrim,
  retrimCurveTable,
  retrimSummaryTable,
} from "../../src/findings/retrim.ts";
import { trimSpell } from "../../src/findings/trim-spell.ts";
import { withChemotherapy } from "../reference/breast-cosmesis.ts";
import { does, SmallFlocks } from "./found-book.ts";

/** Days of the last check that found no claw over, and of the first that did, of a goat's spell. */
interface Spell {
  readonly animal: string;
  readonly left: number;
  readonly right: number;
  readonly left_out?: string;
  readonly foot?: string;
  readonly claw?: string;
}

const told = new Map<string, readonly Spell[]>();

/** Spells as they stand, in place of those that checks would give. */
const givenSpells: Finding = {
  tables: trimSpell.tables,
  async fill({ book }) {
    const rows = [...told].flatMap(([flock, spells]) =>
      spells.map(
        ({ animal, left, right, left_out, foot, claw }) =>
          `('${flock}', '${animal}', '${foot ?? ""}', '${claw ?? ""}', DATE '2024-01-01', 1, 1, ${left}, ${Number.isFinite(right) ? right : "NULL"}, ${left_out ? `'${left_out}'` : "NULL"})`,
      ),
    );
    await book.run(`INSERT INTO results.trim_spell VALUES ${rows.join(", ")}`);
  },
};

const flocks = new SmallFlocks();
let book: Book;
beforeAll(async () => {
  book = await flocks.find([givenSpells, retrim]);
});
afterAll(() => book.close());

/** A flock of goats trimmed on the first of January in the pens named. */
function spells(given: readonly Spell[], protein: number | null = null): string {
  const tags = [...new Set(given.map(({ animal }) => animal))];
  const flock = flocks.add({
    animals: does(tags),
    pens: [{ pen: "Yard", ground: "pasture" }],
    stays: tags.map((animal) => ({ animal, pen: "Yard", from: "2023-01-01" })),
    trims: tags.map((animal) => ({ animal, date: "2024-01-01", trimmed: true })),
    rations: protein === null ? [] : [{ pen: "Yard", from: "2023-01-01", crude_protein_pct_dm: protein }],
  });
  told.set(flock, given);
  return flock;
}

async function summaryOf(flock: string, kind = "flock", value = flock): Promise<RetrimSummaryRow> {
  const rows = await readTable(
    book,
    retrimSummaryTable,
    `flock = ${quoteText(flock)} AND group_kind = ${quoteText(kind)} AND group_value = ${quoteText(value)}`,
  );
  return rows[0]!;
}

async function curveOf(flock: string, method: string): Promise<Map<number, RetrimCurveRow>> {
  const rows = await readTable(
    book,
    retrimCurveTable,
    `flock = ${quoteText(flock)} AND group_kind = 'flock' AND method = ${quoteText(method)}`,
  );
  return new Map(rows.map((row) => [row.day, row]));
}

const each = (count: number, left: number, right: number, from: number): Spell[] =>
  Array.from({ length: count }, (_, i) => ({ animal: `G${from + i}`, left, right }));

describe("ten goats checked after 30, 60 and 90 days", () => {
  // Over by the first check 1, by the second 5, by the third 2, not by the last 2.
  const flock = spells([
    ...each(1, 0, 30, 0),
    ...each(5, 30, 60, 1),
    ...each(2, 60, 90, 6),
    ...each(2, 90, Number.POSITIVE_INFINITY, 8),
  ]);

  test("Turnbull's curve is the share of each step; nothing is told beyond the last check", async () => {
    expect(await summaryOf(flock)).toMatchObject({
      spells: 10,
      animals: 10,
      events: 8,
      left_out: 0,
      turnbull_median_days: 60,
    });
    const curve = await curveOf(flock, "turnbull");
    expect(Math.max(...curve.keys())).toBe(84);
    // within a step the higher edge, and the days between which the checks do not tell
    expect(curve.get(28)).toMatchObject({ not_yet_due: 1, known: "not_known_between(0,30)" });
    expect(curve.get(35)!.not_yet_due).toBeCloseTo(0.9, 9);
    expect(curve.get(35)!.known).toBe("not_known_between(30,60)");
    expect(curve.get(63)!.not_yet_due).toBeCloseTo(0.4, 9);
    for (const { lo, hi, not_yet_due } of curve.values()) {
      expect(lo).toBeLessThanOrEqual(not_yet_due!);
      expect(hi).toBeGreaterThanOrEqual(not_yet_due!);
    }
  });

  test("the median and its limits come from a model, which crosses one half there", async () => {
    const row = await summaryOf(flock);
    expect(["weibull", "lognormal", "loglogistic"]).toContain(row.method);
    expect(row.median_days).toBeGreaterThan(30);
    expect(row.median_days).toBeLessThan(90);
    expect(row.lo).toBeLessThan(row.median_days!);
    expect(row.hi).toBeGreaterThan(row.median_days!);
    const curve = await curveOf(flock, row.method!);
    const before = 7 * Math.floor(row.median_days! / 7);
    expect(curve.get(before)!.not_yet_due).toBeGreaterThanOrEqual(0.5);
    expect(curve.get(before + 7)!.not_yet_due).toBeLessThan(0.5);
    // nine in ten were never seen over: the model's own day lies beyond the last check
    expect(row.days_to_10pct).toBeLessThan(row.median_days!);
    expect(row.days_to_90pct).toBeNull();
  });
});

// Finkelstein and Wolfe 1985 (Biometrics 41:933-945), months as days; masses as printed by Fay and Shaw 2010 (J. Stat.
// Softw. 36(2), from memory): .0433 in (4,5], .0433 in (5,8], .0692 in (11,12], .1454 in (16,17], .1411 in (18,19],
// .1157 in (19,20], .0999 in (24,25], .0709 in (30,31], .1608 in (35,36], .0552 in (44,48] and in (48,60].
describe("published times of an event seen between visits", () => {
  const flock = spells(
    withChemotherapy.left.map((left, i) => ({ animal: `P${i}`, left, right: withChemotherapy.right[i]! })),
  );
  test("give the published curve", async () => {
    expect(await summaryOf(flock)).toMatchObject({
      spells: 48,
      events: 35,
      // .4423 are over after 19 and .558 after 20
      turnbull_median_days: 20,
    });
    const curve = await curveOf(flock, "turnbull");
    expect(curve.get(7)!.not_yet_due).toBeCloseTo(1 - 0.0433, 3);
    expect(curve.get(7)!.known).toBe("not_known_between(5,8)");
    expect(curve.get(14)!.not_yet_due).toBeCloseTo(1 - 0.1558, 3);
    expect(curve.get(21)!.not_yet_due).toBeCloseTo(1 - 0.558, 3);
    expect(curve.get(28)!.not_yet_due).toBeCloseTo(1 - 0.6579, 3);
    expect(curve.get(42)!.not_yet_due).toBeCloseTo(1 - 0.8896, 3);
    expect(curve.get(42)!.known).toBeNull();
  });
});

describe("what is too little, and what is left out", () => {
  const seven = spells([...each(7, 30, 60, 0)]);
  const fourEvents = spells([...each(4, 30, 60, 0), ...each(8, 60, Number.POSITIVE_INFINITY, 4)]);
  test("seven goats, or four events, say so and give nothing", async () => {
    expect(await summaryOf(seven)).toMatchObject({
      animals: 7,
      median_days: null,
      turnbull_median_days: null,
      caution: "too_few_animals(7,8)",
    });
    expect(await summaryOf(fourEvents)).toMatchObject({
      events: 4,
      median_days: null,
      caution: "too_few_events(4,5)",
    });
    expect((await curveOf(fourEvents, "turnbull")).size).toBe(0);
  });

  const withStarts = spells([
    ...each(5, 0, 30, 0),
    ...each(5, 30, 60, 5),
    { animal: "G10", left: 0, right: 1, left_out: "started over" },
    { animal: "G11", left: 0, right: 5, left_out: "staged" },
  ]);
  test("spells that started over or staged are counted and enter no curve", async () => {
    const row = await summaryOf(withStarts);
    expect(row).toMatchObject({ spells: 10, left_out: 2, turnbull_median_days: 30 });
    expect(row.caution).toContain("starts_left_out(2)");
  });

  const rarely = spells([...each(5, 0, 30, 0), ...each(8, 60, Number.POSITIVE_INFINITY, 5)]);
  test("a median that no check reached is not guessed at", async () => {
    const row = await summaryOf(rarely);
    // 5 of 13 over: the curve stays above one half up to the last check
    expect(row.turnbull_median_days).toBeNull();
    expect(row.turnbull_hi).toBeNull();
    expect(row.caution).toContain("not_seen_beyond(60)");
  });
});

describe("groups", () => {
  const flock = spells(
    Array.from({ length: 10 }, (_, i) => [
      { animal: `G${i}`, left: 30, right: 60 },
      { animal: `G${i}`, foot: "LF", claw: "inner", left: 30, right: 60 },
      { animal: `G${i}`, foot: "RH", claw: "inner", left: 60, right: 90 },
    ]).flat(),
    12,
  );
  const edge = spells(each(1, 30, 60, 0), 11.9);
  test("the flock and its pens count goats, feet and claws their own spells", async () => {
    expect(await summaryOf(flock)).toMatchObject({ spells: 10, turnbull_median_days: 60 });
    expect(await summaryOf(flock, "pen", "Yard")).toMatchObject({ spells: 10 });
    expect(await summaryOf(flock, "ground", "pasture")).toMatchObject({ spells: 10 });
    expect(await summaryOf(flock, "foot", "RH")).toMatchObject({ spells: 10, turnbull_median_days: 90 });
    // two claws of each goat: twenty spells of ten animals
    expect(await summaryOf(flock, "claw", "inner")).toMatchObject({ spells: 20, animals: 10 });
  });

  test("a ration is its band of protein on the day of the trim, the lower end within", async () => {
    expect(await summaryOf(flock, "ration", "12-14 % protein")).toMatchObject({ spells: 10 });
    expect(await summaryOf(edge, "ration", "10-12 % protein")).toMatchObject({ spells: 1 });
  });
});
