import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { call, scratchFolder } from "./recording-rim.ts";

const folder = scratchFolder();
const book = join(folder, "flock.duckdb");

beforeAll(async () => {
  writeFileSync(
    join(folder, "animals.csv"),
    [
      "animal,sex,sire,dam",
      "001,buck,,",
      "002,doe,,",
      "003,buck,001,002",
      "004,doe,001,002",
      "005,doe,001,",
      "006,doe,,004",
    ].join("\n"),
  );
  writeFileSync(
    join(folder, "gaits.csv"),
    "animal,date,gait,scale\n003,2025-05-01,1,0-3\n004,2025-05-01,0,0-3\n",
  );
  await call("ingest", join(folder, "animals.csv"), join(folder, "gaits.csv"), "--book", book);
});

test("before an analysis the call says what to run", async () => {
  const { code, told } = await call("mating", "003", "004", "--book", book);
  expect(told).toMatch(/coronet analyse/);
  expect(code).toBe(2);
});

describe("on an analysed book", () => {
  beforeAll(async () => {
    await call("analyse", "--book", book);
  });

  test("kinship, values and cautions in words, and never what to do", async () => {
    const { code, printed } = await call("mating", "003", "004", "--book", book);
    expect(code).toBe(0);
    expect(printed).toContain("0.250 (1 in 4)");
    expect(printed).toContain("They share both parents: 001 and 002.");
    expect(printed).toMatch(/growth, mm a month\s+mid-parent/);
    expect(printed).not.toMatch(/\b(keep|cull|mate|should|recommend)\b/i);
  });

  test.each([
    ["003", "005", /They share a parent: 001\./],
    ["001", "006", /001 is a grandparent of 006\./],
    ["003", "006", /001 is a parent of 003 and a grandparent of 006\./],
  ])("%s with %s", async (sire, dam, says) => {
    expect((await call("mating", sire, dam, "--book", book)).printed).toMatch(says);
  });

  test("in Spanish", async () => {
    const { printed } = await call("mating", "003", "005", "--book", book, "--language", "es");
    expect(printed).toContain("0.125 (1 de 8)");
    expect(printed).toContain("promedio de padres");
  });

  test.each([
    [["003", "04"], /No goat 04 .*Nearest: 004/],
    [["004", "003"], /004 is recorded as a doe[\s\S]*003 is not recorded as a doe/],
    [["003", "003"], /named twice/],
    [["003"], /takes: SIRE DAM/],
    [["003", "004", "--flock", "nowhere"], /holds no flock nowhere/],
  ])("%j is refused with what to do", async (words, says) => {
    const { code, told, printed } = await call("mating", ...words, "--book", book);
    expect(told).toMatch(says);
    expect(code).toBe(2);
    expect(printed).toBe("");
  });

  test("--help tells the words", async () => {
    expect((await call("mating", "--help")).printed).toContain("coronet mating SIRE DAM");
  });
});
