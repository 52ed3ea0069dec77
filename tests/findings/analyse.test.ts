import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Book, quoteName, quoteText } from "../../src/book/book.ts";
import { analyse, findings } from "../../src/findings/analyse.ts";
import { does } from "./found-book.ts";
import { type HerdRow, type HerdSheets, herdBook, loadHerd } from "./herd-book.ts";

const one: HerdRow = { animal: "a", date: "2024-05-01" };
const pair = (row: HerdRow): HerdRow[] => [row, { ...row, animal: "b" }];

/** Flocks that each keep one kind of record alone. */
const flocks: Readonly<Record<string, HerdSheets>> = {
  "trim dates": { trims: pair({ ...one, trimmed: true }) },
  "one length": { trims: pair({ ...one, foot: "LF", claw: "inner", toe_before_mm: 40, trimmed: false }) },
  "whole animals": { trims: pair({ ...one, overhang_before_mm: 9, overhang_after_mm: 3, trimmed: true }) },
  gaits: { gaits: pair({ ...one, gait: 3, gait_scale: "1-5" }) },
  "gaits of no scale": { gaits: pair({ ...one, gait: 3 }) },
  rounds: { rounds: [{ date: "2024-05-01", lame: 1, looked_at: 2, gait_scale: "1-5", others_sound: true }] },
  lesions: { lesions: pair({ ...one, lesion: "footrot" }) },
  treatments: { treatments: pair({ ...one, treatment: "bath" }) },
  ground: { ground: [{ date: "2024-05-01", pen: "Yard", wetness: "2" }] },
};

let book: Book;
beforeAll(async () => {
  const [first, ...others] = Object.entries(flocks);
  book = await herdBook({ animals: does(["a", "b"]), ...first![1] }, {}, first![0]);
  for (const [name, sheets] of others)
    await loadHerd(book, { animals: does(["a", "b"]), ...sheets }, {}, name);
  await analyse(book, { calendarDay: 100_000, on: null, seed: 1, version: "test", madeAt: "" });
});
afterAll(() => book.close());

describe("a flock that keeps one kind of record alone", () => {
  test.each(Object.keys(flocks))(
    "%s: both goats are on the work list, and nothing is said of how they grow",
    async (flock) => {
      const [list] = await book.rows(
        `SELECT CAST(count(*) AS INTEGER) AS goats, CAST(count(p_over_limit_on_check_by) AS INTEGER) AS chances FROM results.next_check WHERE flock = ${quoteText(flock)}`,
      );
      expect(list).toEqual({ goats: 2, chances: 0 });
      const [growth] = await book.rows(
        `SELECT CAST(count(rate_mm_30d) AS INTEGER) AS rates FROM results.growth_summary WHERE flock = ${quoteText(flock)}`,
      );
      expect(growth).toEqual({ rates: 0 });
    },
  );

  test("no number of any result is one that is not", async () => {
    for (const table of findings.flatMap(({ tables }) => tables)) {
      const numbers = Object.entries(table.columns).filter(([, column]) => column.type === "number");
      for (const [name] of numbers) {
        const [row] = await book.rows<{ bad: number }>(
          `SELECT CAST(count(*) AS INTEGER) AS bad FROM ${table.schema}.${quoteName(table.name)} WHERE isnan(${quoteName(name)}) OR isinf(${quoteName(name)})`,
        );
        expect(row, `${table.name}.${name}`).toEqual({ bad: 0 });
      }
    }
  });

  test("a share needs five animals: two give none", async () => {
    for (const [table, share] of [
      ["lameness", "prevalence"],
      ["lesion", "prevalence"],
    ] as const) {
      const rows = await book.rows(
        `SELECT 1 AS one FROM results.${table} WHERE ${share} IS NOT NULL AND flock <> 'all'`,
      );
      expect(rows).toEqual([]);
    }
  });
});
