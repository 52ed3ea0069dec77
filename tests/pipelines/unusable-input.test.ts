import { existsSync, mkdirSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { openNativeBook } from "../../pipelines/native-book.ts";
import { call, scratchFolder } from "./recording-rim.ts";

const folder = scratchFolder();

function folderWith(name: string, files: Readonly<Record<string, string | Uint8Array>>): string {
  const path = join(folder, name);
  mkdirSync(path, { recursive: true });
  for (const [file, content] of Object.entries(files)) writeFileSync(join(path, file), content);
  return path;
}

describe("input that cannot be used", () => {
  test.each([
    ["a folder that is not there", () => join(folder, "nowhere"), /There is no file or folder/],
    [
      "a folder without sheets",
      () => folderWith("empty", { "README.md": "nothing here" }),
      /No sheet was found/,
    ],
    [
      "sheets without any thing done",
      () => folderWith("animals-only", { "animals.csv": "animal,sex\n001,female\n" }),
      /Nothing to report on/,
    ],
    [
      "a picture renamed .csv",
      () =>
        folderWith("picture", {
          "trims.csv": Uint8Array.of(
            0x89,
            0x50,
            0x4e,
            0x47,
            0x0d,
            0x0a,
            0x1a,
            0x0a,
            0,
            0,
            0,
            13,
            73,
            72,
            68,
            82,
          ),
        }),
      /Nothing to report on/,
    ],
    [
      "a sheet with no known column",
      () => folderWith("strange", { "x.csv": "alpha,beta\n1,2\n3,4\n" }),
      /Nothing to report on/,
    ],
    [
      "settings that are wrong",
      () =>
        folderWith("settings", { "flock.toml": 'unitz = "mm"', "trims.csv": "animal,date\n1,2024-01-01\n" }),
      /unitz.*nearest is units/,
    ],
  ])("%s gives exit 2, a plain sentence, and leaves the output folder alone", async (name, make, says) => {
    const out = join(folder, `out-${name.replace(/\W+/g, "-")}`);
    const { code, told, printed } = await call("run", make(), "--out", out);
    expect(told).toMatch(says);
    expect(code).toBe(2);
    expect(printed).toBe("");
    expect(told).not.toMatch(/\bat .*\.ts:\d+/);
    expect(existsSync(out)).toBe(false);
  });

  test.each([
    [["nosuch"], /has no verb nosuch/],
    [["reprot"], /did you mean report\?/],
    [["run"], /takes: FOLDER/],
    [["run", "x", "--oot", "y"], /no option --oot; did you mean --out\?/],
    [["worklist", "--on", "yesterday"], /--on is yesterday; write a day such as/],
    [["demo", "x", "--goats", "many"], /--goats is many; it must be a number/],
    [["analyse", "--book", "/nowhere/flock.duckdb"], /There is no book at/],
  ])("the words %j are refused with what to do", async (argv, says) => {
    const { code, told } = await call(...argv);
    expect(told).toMatch(says);
    expect(code).toBe(2);
  });

  test("a file that is no book is said to be none", async () => {
    const path = join(folder, "not-a-book.duckdb");
    writeFileSync(path, "this is no database ".repeat(1000));
    const { code, told } = await call("analyse", "--book", path);
    expect(told).toMatch(/is not a book/);
    expect(code).toBe(2);
  });
});

test("a book that an ingest begins and cannot fill is not left behind empty", async () => {
  const sheets = folderWith("begun", {
    "trims.csv": "animal,date,foot,claw,toe_before_mm,toe_after_mm\n1,2025-05-01,LF,inner,44,38\n",
    "flock.toml": "seasons = [",
  });
  const { code } = await call("ingest", sheets, "--book", join(sheets, "flock.duckdb"));
  expect(code).toBe(2);
  expect(readdirSync(sheets).sort()).toEqual(["flock.toml", "trims.csv"]);
});

test("results that were not computed, or by a version with other tables, are asked for", async () => {
  const sheets = folderWith("unanalysed", {
    "animals.csv": "animal,sex\n1,female\n",
    "trims.csv": "animal,date,foot,claw,toe_before_mm,toe_after_mm\n1,2025-05-01,LF,inner,44,38\n",
  });
  const path = join(sheets, "flock.duckdb");
  expect((await call("ingest", sheets, "--book", path)).code).toBe(0);
  const none = await call("report", "--book", path, "--out", join(sheets, "out"));
  expect(none.code).toBe(2);
  expect(none.told).toMatch(/holds no results yet. Run coronet analyse/);
  const book = await openNativeBook(path);
  await book.run("CREATE TABLE results.line (flock VARCHAR)");
  await book.close();
  const old = await call("worklist", "--book", path);
  expect(old.code).toBe(2);
  expect(old.told).toMatch(/another version of the program .* Run coronet analyse/);
});
