import { describe, expect, it } from "vitest";
import { crossScenarios, gait, trim } from "../cross-scenarios.ts";
import type { HandMadeRecord } from "../hand-made-sheets.ts";

const scenario = crossScenarios();

describe("values", () => {
  const wrong = scenario("values-wrong", [
    {
      file: "trims.csv",
      kind: "trims",
      records: [
        trim("A", "2024-01-01", { toe_before_mm: 40, toe_after_mm: 45 }),
        trim("B", "2024-01-01", { toe_before_mm: 40, toe_after_mm: 41 }),
        trim("C", "2024-01-01", { toe_before_mm: 400, toe_after_mm: 41 }),
        trim("D", "2024-01-01", { toe_before_mm: 40, toe_after_mm: 35, trimmed: false }),
        trim("E", "2024-01-01", { toe_before_mm: 40, toe_after_mm: 40, trimmed: false }),
        trim("F", "2024-01-01", { overhang_before_mm: 3, overhang_after_mm: 12 }),
        trim("G", "2024-01-01", { trimmed: null, toe_before_mm: null }),
      ],
    },
    {
      file: "rounds.csv",
      kind: "rounds",
      records: [
        { date: "2024-01-01", pen: "P", looked_at: 10, lame: 11, severely_lame: 0 },
        { date: "2024-01-01", pen: "Q", looked_at: 10, lame: 2, severely_lame: 3 },
        { date: "2024-01-01", pen: "R", looked_at: 10, lame: 10, severely_lame: 1 },
        { date: "2024-01-01", pen: "S", looked_at: null, lame: null, severely_lame: null },
      ],
    },
    {
      file: "kiddings.csv",
      kind: "kiddings",
      records: [{ animal: "A", date: "2024-02-01", kids: 2, alive: 3 }],
    },
  ]);
  it("that cannot be are set aside", async () => {
    expect(await wrong.setAside()).toEqual([
      "kiddings.csv 2 kiddings alive: more_alive_than_born",
      "rounds.csv 2 rounds lame: more_lame_than_seen",
      "rounds.csv 3 rounds lame: more_lame_than_seen",
      "rounds.csv 5 rounds -: nothing_recorded",
      "trims.csv 2 trims toe_after_mm: after_longer_than_before",
      "trims.csv 4 trims toe_before_mm: out_of_bounds(5,250)",
      "trims.csv 5 trims trimmed: not_trimmed_yet_shorter",
      "trims.csv 7 trims overhang_after_mm: after_longer_than_before",
      "trims.csv 8 trims -: nothing_recorded",
    ]);
  });

  const blank = scenario("values-blank", [
    {
      file: "lengths.csv",
      kind: "trims",
      records: [
        trim("A", "2024-01-01", { trimmed: null, toe_before_mm: 40, toe_after_mm: 33 }),
        trim("B", "2024-01-01", { trimmed: null, toe_before_mm: 40 }),
      ],
    },
    { file: "dates.csv", kind: "trims", records: [{ animal: "C", date: "2024-01-01", trimmer: "Wren" }] },
  ]);
  it("blank 'trimmed' means yes beside a length after, and in a sheet without lengths", async () => {
    expect(await blank.rows("SELECT animal, trimmed FROM $herd.claw_record ORDER BY animal")).toEqual([
      { animal: "A", trimmed: true },
      { animal: "B", trimmed: null },
      { animal: "C", trimmed: true },
    ]);
  });
});

describe("gait scales", () => {
  const scores = (
    values: readonly number[],
    date: string,
    scale: string | null = null,
  ): readonly HandMadeRecord[] => values.map((score, i) => gait(`A${i}`, date, score, scale));

  const fitting = scenario("gaits-fitting", [
    { file: "a.csv", kind: "gaits", records: scores([1, 2, 2.5, 3.2, 6], "2024-01-01", "1-5") },
    { file: "b.csv", kind: "gaits", records: scores([0, 0, 6], "2024-01-02") },
    {
      file: "c.csv",
      kind: "gaits",
      records: scores(
        Array.from({ length: 30 }, (_, i) => 2 + (i % 3)),
        "2024-01-03",
      ),
    },
  ]);
  it("come from the row, or from scores that fit one scale only", async () => {
    expect(await fitting.setAside()).toEqual([
      "a.csv 5 gaits gait: off_the_scale(1-5)",
      "a.csv 6 gaits gait: off_the_scale(1-5)",
    ]);
    expect(
      await fitting.rows(
        `SELECT DISTINCT CAST("date" AS VARCHAR) AS day, gait_scale FROM $herd.gait ORDER BY day`,
      ),
    ).toEqual([
      { day: "2024-01-01", gait_scale: "1-5" },
      { day: "2024-01-02", gait_scale: "0-6" },
      // its scores fit 1-5, but none of thirty is sound on any scale: the flock's only named scale
      { day: "2024-01-03", gait_scale: "1-5" },
    ]);
  });

  const many = scenario("gaits-many", [
    {
      file: "a.csv",
      kind: "gaits",
      records: scores(
        Array.from({ length: 30 }, (_, i) => 1 + (i % 3)),
        "2024-01-01",
      ),
    },
  ]);
  it("are told by many scores of which none is sound on the other scales", async () => {
    expect(await many.rows("SELECT DISTINCT gait_scale FROM $herd.gait")).toEqual([{ gait_scale: "1-5" }]);
  });

  const unknown = scenario("gaits-unknown", [
    { file: "a.csv", kind: "gaits", records: scores([1, 2], "2024-01-01") },
  ]);
  const named = scenario(
    "gaits-named",
    [{ file: "a.csv", kind: "gaits", records: scores([1, 2, 4], "2024-01-01") }],
    {
      gait_scale: "0-3",
    },
  );
  it("that cannot be told set the scores aside; the settings name it", async () => {
    expect(await unknown.setAside()).toEqual([
      "a.csv 2 gaits gait: scale_not_known",
      "a.csv 3 gaits gait: scale_not_known",
    ]);
    expect(await named.setAside()).toEqual(["a.csv 4 gaits gait: off_the_scale(0-3)"]);
  });
});

describe("growth", () => {
  const series = (
    animal: string,
    lengths: readonly (readonly [number, number | null])[],
  ): readonly HandMadeRecord[] =>
    lengths.map(([before, after], i) =>
      trim(animal, `2024-0${1 + 2 * i}-01`, {
        toe_before_mm: before,
        toe_after_mm: after,
        trimmed: after !== null,
      }),
    );
  const grown = scenario("growth", [
    {
      file: "trims.csv",
      kind: "trims",
      records: [
        ...series("middle", [
          [40, 35],
          [96, 35],
          [41, 35],
        ]),
        ...series("untrimmed", [
          [30, null],
          [31, null],
          [95, null],
          [33, null],
        ]),
        ...series("first", [
          [10, null],
          [60, null],
          [62, null],
        ]),
        ...series("either", [
          [10, null],
          [60, null],
        ]),
        ...series("neglected", [
          [40, 35],
          [60, 35],
          [58, 35],
        ]),
        ...series("worn", [
          [60, null],
          [35, null],
          [36, null],
        ]),
      ],
    },
  ]);
  it("that no horn can do is laid on the record that its neighbours do not bear out", async () => {
    // horn worn, broken or cut unseen ('worn') is no reason to set a record aside
    expect(await grown.setAside()).toEqual([
      "trims.csv 3 trims toe_before_mm: growth_no_horn_can_do(30.5)",
      "trims.csv 7 trims toe_before_mm: growth_no_horn_can_do(31.5)",
      "trims.csv 9 trims toe_before_mm: growth_after_no_horn_can_do(25.0)",
      "trims.csv 12 trims toe_before_mm: growth_after_no_horn_can_do(25.0)",
      "trims.csv 13 trims toe_before_mm: growth_no_horn_can_do(25.0)",
    ]);
  });
});
