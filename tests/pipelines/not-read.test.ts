import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, expect, test } from "vitest";
import { call, scratchFolder } from "./recording-rim.ts";

const scratch = scratchFolder();
const sheets = join(scratch, "sheets");

beforeAll(() => {
  mkdirSync(sheets);
  writeFileSync(
    join(sheets, "trims.csv"),
    "animal,date,foot,claw,toe before (mm)\nB1,2025-02-03,LF,inner,43\n",
  );
  // a score of 2 stands on more than one scale
  writeFileSync(join(sheets, "gaits.csv"), "animal,date,gait\nB1,2025-02-03,2\n");
});

test("a sheet that is kept with a question is named with what to do, and counts as set aside", async () => {
  const book = join(scratch, "flock.duckdb");
  const { code, printed, told } = await call("ingest", sheets, "--book", book, "--strict");
  expect(told).toMatch(/^Not read: gaits\.csv: the gait scale is not named .*flock\.toml\.$/m);
  expect(printed).toContain("gaits.csv: kept as it came, not read");
  expect(printed).toContain("trims.csv: taken");
  expect(code).toBe(3);
});

test("a check says the same, and without --strict ends well", async () => {
  const strict = await call("check", sheets, "--strict");
  expect(strict.printed).toMatch(/^gaits\.csv: the gait scale is not named/m);
  expect(strict.code).toBe(3);
  expect((await call("check", sheets)).code).toBe(0);
});
