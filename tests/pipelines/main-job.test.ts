import { existsSync, readdirSync, readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { openNativeBook } from "../../pipelines/native-book.ts";
import { call, type Outcome, scratchFolder } from "./recording-rim.ts";

const folder = scratchFolder();
const out = join(folder, "out");

async function rows<Row extends object>(sql: string, book = join(out, "flock.duckdb")): Promise<Row[]> {
  const opened = await openNativeBook(book, { readOnly: true });
  try {
    return await opened.rows<Row>(sql);
  } finally {
    await opened.close();
  }
}

describe("the main job on the sample flock", () => {
  let outcome: Outcome;
  beforeAll(async () => {
    outcome = await call("run", "data-samples/long", "--out", out);
  });

  test("ends well and prints the sum of records and what to open", () => {
    expect(outcome.told).toBe("");
    expect(outcome.code).toBe(0);
    expect(outcome.printed).toMatch(/records read: \d+ taken, \d+ set aside, \d+ exact repeats\./);
    expect(outcome.printed).toMatch(/Open .*index\.html/);
  });

  test("every record is taken, set aside or a repeat", async () => {
    const [sum] = await rows<{ broken: number; read: number }>(
      "SELECT CAST(count(*) FILTER (read <> taken + set_aside + repeats) AS INTEGER) AS broken, CAST(sum(read) AS INTEGER) AS read FROM intake.record_sum",
    );
    expect(sum!.broken).toBe(0);
    expect(sum!.read).toBeGreaterThan(10_000);
  });

  test("writes the keeper's page, the lists and three readers' pages a season", async () => {
    for (const file of [
      "index.html",
      "worklist.html",
      "worklist.csv",
      "intake.html",
      "set-aside.csv",
      "animals-to-add.csv",
      "words-to-map.csv",
      "remarks-to-confirm.csv",
      "manifest.json",
    ]) {
      expect(existsSync(join(out, file)), file).toBe(true);
    }
    for (const season of ["2024-spring", "2025-autumn"]) {
      for (const reader of ["breeder", "extension", "vet"])
        expect(existsSync(join(out, season, `${reader}.html`))).toBe(true);
    }
  });

  test("the manifest holds inputs, settings and seconds as values; the book no seconds", async () => {
    const manifest = JSON.parse(readFileSync(join(out, "manifest.json"), "utf8"));
    expect(manifest.inputs).toContainEqual(
      expect.objectContaining({ flock: "elm-hollow", file: "trims.csv" }),
    );
    expect(manifest.settings["elm-hollow"]).toMatchObject({ units: "in", gait_scale: "1-5" });
    expect(manifest.seed).toBe(1);
    expect(Object.keys(manifest.seconds)).toEqual(
      expect.arrayContaining(["exposure", "growth_interval", "lameness"]),
    );
    for (const seconds of Object.values(manifest.seconds)) expect(seconds).toBeGreaterThanOrEqual(0);
    expect(await rows("SELECT seconds FROM results.manifest")).toEqual([{ seconds: "{}" }]);
  });

  test("result tables as CSV hold numbers as numbers, those below zero too", () => {
    const csv = readFileSync(join(out, "results", "line.csv"), "utf8");
    expect(csv).toMatch(/,-\d/);
    expect(csv).not.toMatch(/,'-\d/);
  });

  test("every row of a herd table leads back to the row it came from", async () => {
    const [lost] = await rows<{ n: number }>(
      "SELECT CAST(count(*) AS INTEGER) AS n FROM herd.claw_record c ANTI JOIN intake.raw_row r ON r.source_id = c.source_id AND r.row_no = c.row_no",
    );
    expect(lost!.n).toBe(0);
  });

  test("result tables hold only codes of the closed list", async () => {
    const wording = new Set(
      (await rows<{ code: string }>("SELECT DISTINCT code FROM results.wording")).map(({ code }) => code),
    );
    const columns = await rows<{ table: string; column: string }>(
      "SELECT table_name AS \"table\", column_name AS \"column\" FROM duckdb_columns() WHERE schema_name = 'results' AND column_name IN ('caution', 'reason', 'known')",
    );
    expect(columns.length).toBeGreaterThan(5);
    for (const { table, column } of columns) {
      const cells = await rows<{ cell: string }>(
        `SELECT DISTINCT "${column}" AS cell FROM results."${table}" WHERE "${column}" IS NOT NULL`,
      );
      for (const { cell } of cells) {
        for (const one of cell.split(";"))
          expect(wording, `${table}.${column}: ${cell}`).toContain(one.replace(/\(.*$/s, ""));
      }
    }
  });

  test("keeps the book before beside the new one and says what is gone", async () => {
    const { code, told } = await call("run", "data-samples/keepers-grid", "--out", out);
    expect(code).toBe(0);
    expect(told).toMatch(/No longer in the folder/);
    expect(existsSync(join(out, "flock.previous.duckdb"))).toBe(true);
  });
});

test("a sheet with little in it gives pages too", async () => {
  const target = join(folder, "trimmers-sheet");
  const { code, told } = await call("run", "data-samples/trimmers-sheet", "--out", target);
  expect(told).toBe("");
  expect(code).toBe(0);
  expect(pagesNamed("index.html", target)).toHaveLength(1);
});

describe("several flocks", () => {
  test("have a folder each, one first page, and a page of the study", async () => {
    const [sheets, target] = [join(folder, "farms"), join(folder, "farms-out")];
    const small = ["--goats", "4", "--days", "90", "--flocks", "2"];
    expect((await call("demo", sheets, ...small)).code).toBe(0);
    expect((await call("run", sheets, "--out", target)).code).toBe(0);
    expect(pagesNamed("index.html", target)).toHaveLength(3);
    expect(pagesNamed("extension.html", join(target, "pooled")).length).toBeGreaterThan(0);
  });
});

function pagesNamed(name: string, place: string): readonly string[] {
  return (readdirSync(place, { recursive: true }) as string[]).filter((file) => basename(file) === name);
}
