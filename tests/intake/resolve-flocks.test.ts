import { describe, expect, it } from "vitest";
import { resolveFlocks } from "../../src/intake/resolve-flocks.ts";
import { defaultSettings } from "../../src/records/settings.ts";

function flocksOf(files: readonly string[], settings: Record<string, string>): Record<string, string> {
  const flocks = resolveFlocks(
    files,
    Object.entries(settings).map(([folder, text]) => ({ folder, text })),
  );
  if ("troubles" in flocks) throw new Error(JSON.stringify(flocks.troubles));
  return Object.fromEntries(files.map((file) => [file, flocks.of(file).flock]));
}

function troublesOf(files: readonly string[], settings: Record<string, string>) {
  const flocks = resolveFlocks(
    files,
    Object.entries(settings).map(([folder, text]) => ({ folder, text })),
  );
  return "troubles" in flocks ? flocks.troubles : [];
}

describe("which flock a file belongs to", () => {
  const files = ["a.csv", "north/b.csv", "north/2024/c.csv", "south/d.csv"];

  it("is one for all, named by the settings or 'flock'", () => {
    expect(new Set(Object.values(flocksOf(files, {})))).toEqual(new Set(["flock"]));
    expect(new Set(Object.values(flocksOf(files, { "": 'id = "elm"' })))).toEqual(new Set(["elm"]));
  });

  it("is the nearest folder with settings of its own, by its id or the folder's name", () => {
    expect(
      flocksOf(files, { "": 'id = "elm"', north: "", south: 'id = "Moor"', "north/2024": 'id = "old"' }),
    ).toEqual({
      "a.csv": "elm",
      "north/b.csv": "north",
      "north/2024/c.csv": "old",
      "south/d.csv": "Moor",
    });
  });

  it("is every subfolder where the top settings say so", () => {
    expect(flocksOf(files, { "": 'flocks = "by_folder"' })).toEqual({
      "a.csv": "flock",
      "north/b.csv": "north",
      "north/2024/c.csv": "north",
      "south/d.csv": "south",
    });
  });

  it("is the one that a book holds already, when nothing else says", () => {
    const standing = { flock: "home", settings: defaultSettings, namedBy: "settings" as const };
    const flocks = resolveFlocks(["a.csv"], [], standing);
    expect("of" in flocks && flocks.of("a.csv").flock).toBe("home");
  });
});

describe("settings", () => {
  it("of a folder stand on the top ones, key by key, tables included; who the flock is does not carry down", () => {
    const flocks = resolveFlocks(
      ["north/a.csv"],
      [
        { folder: "", text: 'id = "elm"\nunits = "in"\ntrim_to_mm = 4\n[columns]\nx = "date"\ny = "animal"' },
        { folder: "north", text: 'trim_to_mm = 5\n[columns]\ny = "pen"' },
      ],
    );
    expect("of" in flocks && flocks.of("north/a.csv")).toMatchObject({
      flock: "north",
      settings: { units: "in", trim_to_mm: 5, columns: { x: "date", y: "pen" } },
    });
  });

  it("name what is wrong and where: unknown keys, reserved names, one name for two flocks", () => {
    expect(troublesOf(["a.csv"], { north: "day_frist = true" })).toMatchObject([
      { code: "settings", file: "north/flock.toml", key: "day_frist" },
    ]);
    expect(troublesOf(["pooled/a.csv"], { "": 'flocks = "by_folder"' })).toMatchObject([
      { code: "reserved_flock", name: "pooled" },
    ]);
    // once a folder, not once a file: toMatchObject holds arrays to their length
    expect(troublesOf(["n/a.csv", "s/a.csv", "s/b.csv"], { n: 'id = "x"', s: 'id = "x"' })).toMatchObject([
      { code: "flock_named_twice", name: "x", where: "s" },
    ]);
  });
});
