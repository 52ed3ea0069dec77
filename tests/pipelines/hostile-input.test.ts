import { mkdirSync, readdirSync, readFileSync, statSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import { call, type Outcome, scratchFolder } from "./recording-rim.ts";

const scratch = scratchFolder();

/** What a name can hold that a page, a spreadsheet, a disk or a terminal would take for something else. */
const names = {
  flocks: ["../../climbs <script>alert('flock')</script>", "NUL", "=2+5+cmd|' /C calc'!A0"],
  animals: ['=HYPERLINK("http://example.org","A")', "<img src=x onerror=alert(1)>", "../\u202e4A"],
  pens: ["</td><script>alert('pen')</script>", "-2+3", "@P\u2066x"],
} as const;

const quoted = (text: string): string => `"${text.replaceAll('"', '""')}"`;

function everyFile(folder: string): readonly string[] {
  return readdirSync(folder, { recursive: true, encoding: "utf8" })
    .map((path) => join(folder, path))
    .filter((path) => statSync(path).isFile());
}

describe("a flock whose every name is hostile", () => {
  const out = join(scratch, "deep", "er", "out");
  let outcome: Outcome;
  let files: readonly string[];
  beforeAll(async () => {
    const folder = join(scratch, "sheets");
    mkdirSync(folder);
    const rows = names.flocks.flatMap((flock, f) =>
      ["2025-02-01", "2025-03-20"].map((day, d) =>
        [
          flock,
          names.animals[f]!,
          names.pens[f]!,
          day,
          "LF",
          "inner",
          String(45 + d),
          "38",
          "=1+1 limping <b>",
        ]
          .map(quoted)
          .join(","),
      ),
    );
    writeFileSync(
      join(folder, "trims <b>.csv"),
      ["flock,animal,pen,date,foot,claw,toe_before_mm,toe_after_mm,note", ...rows, ""].join("\n"),
    );
    outcome = await call("run", folder, "--out", out);
    files = everyFile(scratch).filter((file) => !file.startsWith(folder));
  });

  test("gives pages all the same, a folder for each, and nothing outside the output folder", () => {
    expect(outcome.told).toBe("");
    expect(outcome.code).toBe(0);
    expect(files.filter((file) => !file.startsWith(out))).toEqual([]);
    expect(files.filter((file) => file.endsWith("breeder.html")).length).toBeGreaterThanOrEqual(
      names.flocks.length,
    );
    for (const file of files) expect(file.slice(out.length)).toMatch(/^[\p{L}\p{N} /._-]+$/u);
  });

  test("shows names as text on every page, in the order of their letters", () => {
    for (const file of files.filter((one) => one.endsWith(".html"))) {
      const page = readFileSync(file, "utf8");
      expect(page, file).not.toMatch(/<script|<img|<b>|<\/td><\/?script/i);
      expect(page, file).not.toMatch(/[\u202a-\u202e\u2066-\u2069\0]/);
    }
    expect(files.some((file) => readFileSync(file, "utf8").includes("&lt;script"))).toBe(true);
  });

  test("writes no cell that a spreadsheet would run", () => {
    let guarded = 0;
    for (const file of files.filter((one) => one.endsWith(".csv"))) {
      for (const table of readSheets(file, new Uint8Array(readFileSync(file))).tables) {
        for (const { rows } of table.batches()) {
          const cells = rows.flat();
          const run = cells.filter((one) => /^[=+\-@\t\r]/.test(one) && Number.isNaN(Number(one)));
          expect(run, file).toEqual([]);
          guarded += cells.filter((one) => /^'[=+\-@]/.test(one)).length;
        }
      }
    }
    expect(guarded).toBeGreaterThan(10);
  });
});

describe("sheets of no ordinary kind", () => {
  test("10,000 columns are understood one by one", async () => {
    const header = Array.from(
      { length: 10_000 },
      (_, i) => ["animal", "date", "toe before (mm)"][i] ?? `c${i}`,
    );
    const row = header.map((_, i) => ["A1", "2025-01-05", "45"][i] ?? "7");
    const path = join(scratch, "wide.csv");
    writeFileSync(path, `${header.join(",")}\n${row.join(",")}\n`);
    const { code, printed } = await call("check", path);
    expect(printed).toMatch(/1 records read: 1 taken/);
    expect(code).toBe(0);
  });

  test.skipIf(process.platform === "win32")("a device under a sheet's name is not waited for", async () => {
    const folder = join(scratch, "device");
    mkdirSync(folder);
    symlinkSync("/dev/zero", join(folder, "trims.csv"));
    const { code, told } = await call("check", folder);
    expect(told).toMatch(/trims\.csv is not a file that can be read\. Take it out of the folder\./);
    expect(code).toBe(2);
  });
});
