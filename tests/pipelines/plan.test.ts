import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { openNativeBook } from "../../pipelines/native-book.ts";
import { call, scratchFolder } from "./recording-rim.ts";

const folder = scratchFolder();
const book = join(folder, "flock.duckdb");

/** A goat's scores in May and June 2025: too few for any fit. */
beforeAll(async () => {
  writeFileSync(
    join(folder, "gaits.csv"),
    "animal,date,gait,scale,pen\n001,2025-05-01,2,0-3,A\n001,2025-06-01,0,0-3,A\n002,2025-05-01,0,0-3,A\n",
  );
  await call("ingest", join(folder, "gaits.csv"), "--book", book);
});

test("before an analysis the call says what to run", async () => {
  const { code, told } = await call("plan", "--book", book);
  expect(told).toMatch(/coronet analyse/);
  expect(code).toBe(2);
});

describe("on an analysed book", () => {
  beforeAll(async () => {
    await call("analyse", "--book", book);
  });

  test("without a fit there is no plan, with the reason", async () => {
    const growth = await call("plan", "--book", book);
    expect(growth.code).toBe(2);
    expect(growth.told).toMatch(/^No plan: /);
    expect(growth.printed).toBe("");
    expect((await call("plan", "--outcome", "lame", "--book", book)).told).toMatch(/^No plan/);
    expect((await call("plan", "--book", book, "--language", "es")).told).toMatch(/^Sin plan: /);
  });

  test.each([
    [["--outcome", "milk"], /--outcome is milk; it can be growth or lame/],
    [["--unit", "cow"], /--unit is cow; it can be pen or animal/],
    [["--pens", "6,x"], /--pens is 6,x; it must be a number, or several such as 6,8,12/],
    [["--outcome", "lame", "--effect", "0"], /ratio of odds; it must be above 0/],
  ])("%j is refused with what to do", async (words, says) => {
    const { code, told } = await call("plan", ...words, "--book", book);
    expect(told).toMatch(says);
    expect(code).toBe(2);
  });

  describe("with a fit", () => {
    beforeAll(async () => {
      const opened = await openNativeBook(book);
      await opened.run(`
        DELETE FROM results.model_fit; DELETE FROM results.variance;
        INSERT INTO results.model_fit SELECT flock, 'growth', 'fit', '', NULL, NULL, NULL, 'converged', 900, 60, 6 FROM results.study_basis;
        INSERT INTO results.variance SELECT flock, 'growth', 'growth', component, v, NULL, NULL, NULL, NULL, NULL
          FROM results.study_basis, (VALUES ('animal', 0.3), ('pen', 0.2), ('pen_month', 0.2), ('residual', 0.9)) x(component, v)`);
      await opened.close();
    });
    const words = [
      "--pens",
      "12,6",
      "--goats",
      "10",
      "--visits",
      "4",
      "--simulations",
      "100",
      "--book",
      book,
    ];

    test("a row for each design and effect, smaller designs first", async () => {
      const { code, printed } = await call("plan", ...words, "--effect", "0,2");
      expect(code).toBe(0);
      const rows = printed.split("\n").filter((line) => /^\s*(6|12) {2}/.test(line));
      expect(rows.map((row) => row.trim().split(/\s+/).slice(0, 5))).toEqual([
        ["6", "10", "6", "4", "0.00"],
        ["6", "10", "6", "4", "2.00"],
        ["12", "10", "6", "4", "0.00"],
        ["12", "10", "6", "4", "2.00"],
      ]);
      expect(printed).toMatch(/60 goats, 6 pens/);
    });

    test("in Spanish, and the same seed gives the same bytes", async () => {
      const once = await call("plan", ...words, "--language", "es");
      expect(once.printed).toContain("corrales enteros");
      expect((await call("plan", ...words, "--language", "es")).printed).toBe(once.printed);
    });

    test("a lever out of range is refused with its range", async () => {
      const { code, told } = await call("plan", "--visits", "1", "--book", book);
      expect(told).toMatch(/--visits is 1; it can be a whole number from 2 to 240/);
      expect(code).toBe(2);
    });
  });

  test("--help tells the levers", async () => {
    const { printed } = await call("plan", "--help");
    for (const lever of ["pens", "goats", "months", "visits", "effect", "unit", "outcome"]) {
      expect(printed).toContain(`--${lever} `);
    }
  });
});
