import { describe, expect, test } from "vitest";
import { sampleFlock } from "../../src/demo/sample-flock.ts";
import { setAsideReasons } from "../../src/records/codes/set-aside.ts";
import { kindIds, kinds } from "../../src/records/kinds.ts";

const sample = sampleFlock();

describe("slips planted in the sample flock", () => {
  test("stand in the row, the column and with the value that the list says", () => {
    for (const { kind, row, column, value } of sample.faults) {
      const cells = sample.sheets[kind][row - 2];
      if (column !== "") expect(String(cells[column] ?? "")).toBe(value);
    }
  });

  test("carry reasons that the set-aside list knows, an exact repeat aside", () => {
    for (const { reason } of sample.faults) {
      const id = reason.replace(/\(.*/s, "");
      if (id !== "exact_repeat") expect(Object.keys(setAsideReasons)).toContain(id);
    }
  });

  test("name tags that no goat has, one letter from one that a goat has", () => {
    const tags = sample.sheets.animals.map((row) => String(row.animal));
    const misspelt = sample.faults.filter(({ reason }) => reason === "tag_unknown");
    expect(misspelt.length).toBe(3);
    for (const { value } of misspelt) {
      expect(tags).not.toContain(value);
      const lettersOff = tags.map((tag) => [...value].filter((letter, k) => letter !== tag[k]).length);
      expect(Math.min(...lettersOff)).toBe(1);
    }
  });

  test("leave every other record named once", () => {
    for (const kind of kindIds) {
      const spoilt = new Set(sample.faults.filter((fault) => fault.kind === kind).map(({ row }) => row - 2));
      const keys = sample.sheets[kind]
        .filter((_, k) => !spoilt.has(k))
        .map((row) => kinds[kind].grain.map((column) => row[column]).join("|"));
      expect(new Set(keys).size, kind).toBe(keys.length);
    }
  });

  test("repeat, where they repeat, the very row before", () => {
    const repeats = sample.faults.filter(({ reason }) => reason === "exact_repeat");
    expect(repeats.length).toBe(3);
    for (const { kind, row } of repeats) {
      expect(sample.sheets[kind][row - 2]).toEqual(sample.sheets[kind][row - 3]);
    }
  });

  test("come with one more whose correction names the cell it corrects", () => {
    const [correction] = sample.sheets.corrections;
    const at = Number(correction.row) - 2;
    const column = String(correction.column);
    expect(String(sample.sheets.trims[at][column])).toBe(correction.was);
    expect(Number(correction.now)).toBeCloseTo(10 * Number(correction.was), 6);
    expect(sample.faults.some(({ kind, row }) => kind === "trims" && row === correction.row)).toBe(false);
  });

  test("hide nothing of two goats that wore other tags", () => {
    const worn = new Map(sample.sheets.tags.map((row) => [row.tag, row]));
    expect(worn.size).toBe(2);
    for (const row of sample.sheets.trims) {
      const tag = worn.get(row.animal);
      if (tag) expect(String(row.date) < String(tag.to)).toBe(true);
    }
    for (const { animal, tag } of worn.values()) {
      for (const name of [animal, tag]) {
        expect(sample.sheets.trims.filter((row) => row.animal === name).length).toBeGreaterThan(8);
      }
    }
  });
});
