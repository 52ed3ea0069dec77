import { describe, expect, it } from "vitest";
import { crossScenarios, gait, trim } from "../cross-scenarios.ts";
import type { HandMadeSheet } from "../hand-made-sheets.ts";

const scenario = crossScenarios();

describe("tags", () => {
  const asOf = scenario("tags-as-of", [
    {
      file: "animals.csv",
      kind: "animals",
      records: [
        { animal: "A", other_tags: "old; 0A", left: null },
        { animal: "B", other_tags: null, left: null },
        { animal: "7", other_tags: null, left: "2020-06-30" },
      ],
    },
    {
      file: "tags.csv",
      kind: "tags",
      records: [
        { animal: "A", tag: "7", from: "2020-07-01", to: null },
        { animal: "A", tag: "9", from: "2022-01-01", to: "2023-01-01" },
        { animal: "B", tag: "9", from: "2022-06-01", to: null },
        { animal: "C", tag: "9", from: "2022-06-01", to: null },
      ],
    },
    {
      file: "trims.csv",
      kind: "trims",
      records: [
        trim("old", "2021-01-01"),
        trim("7", "2020-05-01"),
        trim("7", "2021-02-01"),
        trim("9", "2022-03-01"),
        trim("9", "2022-07-01"),
        trim("9", "2023-01-01"),
        trim("9", "2021-12-31"),
      ],
    },
  ]);
  it("are read as of the record's date; two owners that day are set aside with both", async () => {
    expect(await asOf.rows("SELECT row_no, animal FROM $herd.claw_record ORDER BY row_no")).toEqual([
      { row_no: 2, animal: "A" },
      { row_no: 3, animal: "7" },
      { row_no: 4, animal: "A" },
      { row_no: 5, animal: "A" },
      { row_no: 7, animal: "B" },
    ]);
    expect(await asOf.setAside()).toEqual([
      "tags.csv 5 tags animal: tag_unknown(–)",
      "trims.csv 6 trims animal: tag_of_two(A,B)",
      "trims.csv 8 trims animal: tag_unknown(–)",
    ]);
  });

  const near = scenario("tags-near", [
    {
      file: "animals.csv",
      kind: "animals",
      records: ["G01", "G010", "G100", "H7"].map((animal) => ({ animal })),
    },
    {
      file: "gaits.csv",
      kind: "gaits",
      records: [gait("g1", "2024-02-01", 1), gait("g1", "2024-03-01", 1), gait("ZZZ", "2024-03-01", 1)],
    },
  ]);
  it("that no animal has are never matched to a near one, but the nearest are told", async () => {
    expect(await near.setAside()).toEqual([
      "gaits.csv 2 gaits animal: tag_unknown(G01 / G010)",
      "gaits.csv 3 gaits animal: tag_unknown(G01 / G010)",
      "gaits.csv 4 gaits animal: tag_unknown(–)",
    ]);
    expect(
      await near.rows(
        "SELECT tag, records, day_no(last_day) - day_no(first_day) AS days FROM $intake.unlisted_animal ORDER BY tag",
      ),
    ).toEqual([
      { tag: "ZZZ", records: 1, days: 0 },
      { tag: "g1", records: 2, days: 29 },
    ]);
    expect(await near.rows("SELECT animal FROM $herd.gait")).toEqual([]);
  });

  const alone = scenario("tags-alone", [
    { file: "gaits.csv", kind: "gaits", records: [gait("X", "2024-03-01", 1), gait("X", "2024-02-01", 2)] },
  ]);
  it("make animals, by their first record, when there is no animals sheet", async () => {
    expect(await alone.rows("SELECT animal, row_no FROM $herd.animal")).toEqual([{ animal: "X", row_no: 3 }]);
  });

  const taking = scenario(
    "tags-taking",
    [
      { file: "animals.csv", kind: "animals", records: [{ animal: "Y" }] },
      { file: "gaits.csv", kind: "gaits", records: [gait("X", "2024-03-01", 1), gait("Y", "2024-02-01", 2)] },
    ],
    { unlisted_animals: "take" },
  );
  it("make animals when the flock takes unlisted ones", async () => {
    expect(await taking.setAside()).toEqual([]);
    expect(await taking.rows("SELECT animal FROM $herd.animal ORDER BY animal")).toEqual([
      { animal: "X" },
      { animal: "Y" },
    ]);
  });

  const north = scenario(
    "tags-north",
    [
      { file: "animals.csv", kind: "animals", records: [{ animal: "12" }, { animal: "5" }] },
      { file: "trims.csv", kind: "trims", records: [trim("12b", "2024-01-01"), trim("5", "2024-01-01")] },
    ],
    { same_animal: { "12b": "12", "5": "tags-south/5" } },
  );
  const south = scenario("tags-south", [
    { file: "animals.csv", kind: "animals", records: [{ animal: "5" }] },
  ]);
  it("that the settings call the same animal are one within a flock; animals of two flocks stay two", async () => {
    expect(await north.rows("SELECT animal FROM $herd.claw_record ORDER BY row_no")).toEqual([
      { animal: "12" },
      { animal: "5" },
    ]);
    expect(await north.rows("SELECT animal, same_flock, same_animal FROM $herd.same_animal")).toEqual([
      { animal: "5", same_flock: "tags-south", same_animal: "5" },
    ]);
    expect(await south.rows("SELECT animal FROM $herd.animal")).toEqual([{ animal: "5" }]);
  });
});

describe("group rows", () => {
  const sheets: readonly HandMadeSheet[] = [
    {
      file: "animals.csv",
      kind: "animals",
      records: [
        { animal: "1", sex: "female", entered: null },
        { animal: "2", sex: "female", entered: "2024-06-01" },
        { animal: "3", sex: "male", entered: null },
        { animal: "14", sex: "female", entered: null },
      ],
    },
    {
      file: "stays.csv",
      kind: "stays",
      records: [
        { animal: "1", pen: "A", from: "2020-01-01" },
        { animal: "3", pen: "B", from: "2020-01-01" },
        { animal: "14", pen: "B", from: "2020-01-01" },
      ],
    },
    {
      file: "trims.csv",
      kind: "trims",
      records: [
        { animal: "expand:does", date: "2024-02-01", toe_before_mm: null },
        { animal: "expand:pen B", date: "2024-03-01", toe_before_mm: null },
        { animal: "expand:1-3", date: "2024-07-01", toe_before_mm: null },
        { animal: "expand:all", date: "2024-08-01", toe_before_mm: 30 },
        { animal: "expand:milkers", date: "2024-09-01", toe_before_mm: null },
        { animal: "1", date: "2024-07-01", toe_before_mm: 31 },
      ].map((row) => ({ ...row, trimmed: true })),
    },
  ];
  const apart = scenario("groups-apart", sheets);
  it("are set aside with the number present", async () => {
    expect(await apart.setAside()).toEqual([
      "trims.csv 2 trims animal: group_of_animals(2)",
      "trims.csv 3 trims animal: group_of_animals(2)",
      "trims.csv 4 trims animal: group_of_animals(3)",
      "trims.csv 5 trims animal: group_of_animals(4)",
      "trims.csv 6 trims animal: group_of_animals(0)",
    ]);
  });

  const expanded = scenario("groups-expanded", sheets, { expand_groups: true });
  it("are taken for trim dates alone where the flock says so, but for those with a record of their own", async () => {
    expect(await expanded.setAside()).toEqual([
      "trims.csv 5 trims animal: group_of_animals(4)",
      "trims.csv 6 trims animal: group_of_animals(0)",
    ]);
    expect(
      await expanded.rows("SELECT row_no, animal, origin FROM $herd.claw_record ORDER BY row_no, animal"),
    ).toEqual([
      { row_no: 2, animal: "1", origin: "group" },
      { row_no: 2, animal: "14", origin: "group" },
      { row_no: 3, animal: "14", origin: "group" },
      { row_no: 3, animal: "3", origin: "group" },
      { row_no: 4, animal: "2", origin: "group" },
      { row_no: 4, animal: "3", origin: "group" },
      { row_no: 7, animal: "1", origin: null },
    ]);
  });
});

describe("flocks", () => {
  const named = scenario("flocks-rows", [
    {
      file: "animals.csv",
      kind: "animals",
      records: [
        { animal: "2", flock: "all" },
        { animal: "2", flock: "tags-suoth" },
      ],
    },
  ]);
  it("that rows name are set aside where the name is reserved or the folders know no such flock", async () => {
    expect(await named.setAside()).toEqual([
      "animals.csv 2 animals flock: reserved_name(all)",
      "animals.csv 3 animals flock: unknown_flock",
    ]);
  });
});
