import { describe, expect, test } from "vitest";
import { gaitScales, parseGaitScale } from "../../src/records/gait-scales.ts";
import type { Column } from "../../src/records/kind.ts";
import { columnOf, kindIds, kinds } from "../../src/records/kinds.ts";
import { nearest } from "../../src/records/nearest.ts";
import { findUnit, quantities, toKeptUnit } from "../../src/records/units.ts";

describe("units", () => {
  // International yard and pound agreement of 1959: 1 in = 25.4 mm, 1 lb = 453.59237 g; 1 °F step = 5/9 °C.
  test.each([
    ["length", 1, "in", 25.4],
    ["gramsPerDay", 1, "oz", 28.349523125],
    ["kilogramsPerDay", 1, "lb", 0.45359237],
    ["temperature", 212, "°F", 100],
    ["temperature", -40, "f", -40],
    ["share", 160, "g/kg", 16],
    ["traceMineral", 1, "ppm", 1],
    ["wind", 36, "km/h", 10],
    ["area", 1, "acre", 4046.8564224],
  ] as const)("%s: %d %s is %d kept", (quantity, value, spelling, kept) => {
    expect(toKeptUnit(value, findUnit(quantity, spelling)!)).toBeCloseTo(kept, 9);
  });

  test("a unit that the quantity lacks is not found", () => {
    expect(findUnit("length", "furlong")).toBeNull();
  });

  test("no unit of a quantity is spelled like another of it", () => {
    for (const [name, quantity] of Object.entries(quantities)) {
      const spellings = quantity.units.flatMap((unit) => [...unit.spellings]);
      expect(new Set(spellings).size, name).toBe(spellings.length);
    }
  });
});

describe("kinds", () => {
  test("every grain names columns of its kind", () => {
    for (const id of kindIds)
      for (const name of kinds[id].grain) expect(() => columnOf(id, name)).not.toThrow();
  });

  test("a column that a kind lacks is a programming error", () => {
    expect(() => columnOf("trims", "colour")).toThrow("kind trims has no column colour");
  });

  test("no header word of a kind means two of its columns in one language", () => {
    for (const id of kindIds) {
      for (const language of ["en", "es"] as const) {
        const meanings = new Map<string, Set<string>>();
        for (const column of kinds[id].columns as readonly Column[]) {
          for (const word of [column.name.replaceAll("_", " "), ...column.headers[language]]) {
            meanings.set(word, (meanings.get(word) ?? new Set<string>()).add(column.name));
          }
        }
        const twice = [...meanings]
          .filter(([, columns]) => columns.size > 1)
          .map(([word, columns]) => `${word}: ${[...columns]}`);
        expect(twice, `${id}, ${language}`).toEqual([]);
      }
    }
  });
});

describe("gait scales", () => {
  // Lame-from marks: Deeming 2018 (1-5, from memory), Jaques 2024 (0-4: clinical is 3 and 4), Angell 2015 (0-3), Kaler 2009 (0-6, from memory).
  test("lame-from marks are the published ones", () => {
    expect(Object.fromEntries(Object.entries(gaitScales).map(([id, scale]) => [id, scale.lameFrom]))).toEqual(
      { "1-5": 3, "0-4": 3, "0-3": 2, "0-6": 2 },
    );
  });

  test.each([
    ["1-5", "1-5"],
    ["scale 0–4", "0-4"],
    ["0 a 3", "0-3"],
    ["AWIN", null],
  ])("%s is %s", (text, id) => {
    expect(parseGaitScale(text)).toBe(id);
  });
});

describe("nearest word", () => {
  test.each([
    ["G4", ["G00004", "G00040"], "G00004"],
    ["footrto", ["footrot", "abscess"], "footrot"],
    ["éxito", ["exito"], "exito"],
    ["zzzzzz", ["footrot"], null],
    ["", ["a"], "a"],
  ])("%s among %j is %s", (word, known, expected) => {
    expect(nearest(word, known)).toBe(expected);
  });
});
