import { describe, expect, test } from "vitest";
import { readSettings, type Settings } from "../../src/records/settings.ts";

const settings = (toml: string): Settings => {
  const read = readSettings(toml);
  if ("troubles" in read) throw new Error(JSON.stringify(read.troubles));
  return read.settings;
};
const troubles = (toml: string): readonly string[] => {
  const read = readSettings(toml);
  return "troubles" in read ? read.troubles.map(({ key, says }) => `${key}: ${says}`) : [];
};

describe("flock.toml", () => {
  test("an empty file gives the practice values: 1/8 inch after a trim, checks every 6 to 10 weeks (common practice, no source)", () => {
    const empty = settings("");
    expect(empty.trim_to_mm).toBeCloseTo(25.4 / 8, 1);
    expect(empty.check_weeks).toEqual([6, 10]);
  });

  test("the retrim limit is about eight weeks of ordinary growth after a trim: the published sheep rate (Shelton et al. 2011, 3.3 mm a month) reaches it in 6 to 10 weeks", () => {
    const { trim_to_mm, retrim_at_mm } = settings("");
    const weeks = ((retrim_at_mm - trim_to_mm) / 3.3) * (30 / 7);
    expect(weeks).toBeGreaterThan(6);
    expect(weeks).toBeLessThan(10);
  });

  test("an unknown key names the nearest known one", () => {
    expect(troubles("day_frist = true")).toEqual(["day_frist: no such setting; the nearest is day_first"]);
  });

  test("all troubles are told, not the first alone", () => {
    expect(troubles('units = "furlong"\nlatitude = 120')).toHaveLength(2);
  });

  test("a file that is not TOML is refused with line and column", () => {
    expect(troubles("units = ")[0]).toMatch(/line 1, column/);
  });

  test("a flock cannot be named all or pooled", () => {
    expect(troubles('id = "all"')).toHaveLength(1);
    expect(troubles('id = "pooled"')).toHaveLength(1);
  });

  test("seasons must have names that folders can tell apart, and days of their own", () => {
    const two = (a: string, b: string): readonly string[] =>
      troubles(
        `seasons = [{ name = ${JSON.stringify(a)}, starts = "03-01" }, { name = ${JSON.stringify(b)}, starts = "09-01" }]`,
      );
    expect(two("grazing", "housed")).toEqual([]);
    expect(two("../up", "UP")).toEqual(["seasons: two seasons of one name"]);
    expect(two("../..", "housed")).toEqual(["seasons.0.name: a name without a letter or digit"]);
    expect(two("x".repeat(300), "housed")).toEqual(["seasons.0.name: longer than 40 characters"]);
    expect(
      troubles('seasons = [{ name = "a", starts = "03-01" }, { name = "b", starts = "03-01" }]'),
    ).toEqual(["seasons: two seasons that start on one day"]);
  });

  test("a gait scale may be written in several ways", () => {
    expect(settings('gait_scale = "0 to 3"').gait_scale).toBe("0-3");
    expect(troubles('gait_scale = "2-9"')[0]).toContain("1-5");
  });

  test("tables of words are read", () => {
    const read = settings(
      '[columns]\n"Hoof trouble" = "lesion"\n[values.wetness]\nswampy = "3"\n[lesions]\nstinky = "footrot"',
    );
    expect(read.columns).toEqual({ "Hoof trouble": "lesion" });
    expect(read.values).toEqual({ wetness: { swampy: "3" } });
    expect(read.lesions).toEqual({ stinky: "footrot" });
  });
});
