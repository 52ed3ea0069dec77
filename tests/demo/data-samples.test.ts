import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join, relative } from "node:path";
import { describe, expect, test } from "vitest";
import { dataSamples } from "../../pipelines/data-sample-files.ts";
import { readSettings } from "../../src/records/settings.ts";

const root = join(import.meta.dirname, "../..");
const folder = join(root, "data-samples");
const samples = dataSamples();

function filesUnder(directory: string): string[] {
  return readdirSync(directory, { recursive: true, encoding: "utf8" })
    .map((name) => join(directory, name))
    .filter((path) => statSync(path).isFile())
    .map((path) => relative(folder, path).replaceAll("\\", "/"));
}

describe("the sample folders", () => {
  test("hold just what the seeds make, byte for byte, beside notes, settings and a picture", () => {
    const kept = filesUnder(folder).filter((name) => !/(^|\/)(README\.md|flock\.toml|page\.png)$/.test(name));
    expect(kept.sort()).toEqual(Object.keys(samples.files).sort());
    for (const [name, content] of Object.entries(samples.files)) {
      const bytes = readFileSync(join(folder, name));
      expect(bytes.equals(Buffer.from(content as string)), name).toBe(true);
    }
  });

  test("list what must be set aside from the first as the slips were planted", () => {
    expect(readFileSync(join(import.meta.dirname, "expected-set-aside.csv"), "utf8")).toBe(
      samples.expectedSetAside,
    );
  });

  test("each carry a note of what is odd, and settings that can be read", () => {
    const names = readdirSync(folder, { withFileTypes: true }).filter((entry) => entry.isDirectory());
    expect(names.length).toBe(8);
    for (const { name } of names) {
      expect(existsSync(join(folder, name, "README.md")), name).toBe(true);
      expect(readFileSync(join(folder, name, "README.md"), "utf8")).toContain("What is odd in it:");
    }
    for (const name of filesUnder(folder).filter((file) => file.endsWith("flock.toml"))) {
      expect(readSettings(readFileSync(join(folder, name), "utf8")), name).toHaveProperty("settings.id");
    }
  });

  test("stay small", () => {
    const bytes = filesUnder(folder).reduce((sum, name) => sum + readFileSync(join(folder, name)).length, 0);
    expect(bytes).toBeLessThan(3_000_000);
  });

  test("write Spanish letters as single bytes of code page 1252", () => {
    const bytes = samples.files["semicolon/recortes.csv"] as Uint8Array;
    const text = new TextDecoder("windows-1252").decode(bytes);
    expect(text.split("\r\n")[0]).toContain("Largo después (mm);");
    expect(() => new TextDecoder("utf-8", { fatal: true }).decode(bytes)).toThrow();
  });

  test("use the same tags on all three farms, and another gait scale on each", () => {
    const farms = ["hillside", "brookside", "moor-end"];
    const tags = farms.map((farm) => firstCells(String(samples.files[`three-farms/${farm}/animals.csv`])));
    expect(
      new Set(tags[0].filter((tag) => tags[1].includes(tag) && tags[2].includes(tag))).size,
    ).toBeGreaterThan(15);
    const scales = farms.map(
      (farm) => /(?<=,)\d-\d(?=,)/.exec(String(samples.files[`three-farms/${farm}/gaits.csv`]))?.[0],
    );
    expect(scales).toEqual(["1-5", "0-4", "0-3"]);
  });
});

function firstCells(csv: string): string[] {
  return csv
    .split("\n")
    .slice(1, -1)
    .map((line) => line.split(",")[0]);
}
