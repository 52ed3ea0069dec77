import { describe, expect, it } from "vitest";
import { crossScenarios, trim } from "../cross-scenarios.ts";
import type { HandMadeRecord } from "../hand-made-sheets.ts";

const scenario = crossScenarios({ repeats: 2 });

describe("records of one grain", () => {
  const lengths = (
    animal: string,
    before: number | null,
    after: number | null,
    more: HandMadeRecord = {},
  ): HandMadeRecord =>
    trim(animal, "2024-01-01", {
      toe_before_mm: before,
      toe_after_mm: after,
      note: null,
      measurer: null,
      ...more,
    });
  const twins = scenario("twins", [
    {
      file: "a.csv",
      kind: "trims",
      records: [
        lengths("A", 40, 35),
        lengths("B", 40, 35),
        lengths("C", 40, 35),
        lengths("D", 40, null),
        lengths("E", 40, 35, { measurer: "Wren" }),
      ],
    },
    {
      file: "b.csv",
      kind: "trims",
      records: [
        lengths("A", 40, 35, { note: "calm" }),
        lengths("B", 41, 35),
        lengths("C", 40, null),
        lengths("D", null, 35),
        lengths("E", 42, 36, { measurer: "Tobin" }),
      ],
    },
  ]);
  it("are repeats when they say the same or leave blank what another fills, and disagree otherwise", async () => {
    expect(await twins.setAside()).toEqual([
      "a.csv 3 trims -: rows_disagree(3%2C b.csv)",
      "a.csv 5 trims -: rows_disagree(5%2C b.csv)",
      "b.csv 3 trims -: rows_disagree(3%2C a.csv)",
      "b.csv 5 trims -: rows_disagree(5%2C a.csv)",
    ]);
    expect(
      await twins.rows("SELECT animal, note, toe_after_mm FROM $herd.claw_record ORDER BY animal, measurer"),
    ).toEqual([
      { animal: "A", note: "calm", toe_after_mm: 35 },
      { animal: "C", note: null, toe_after_mm: 35 },
      { animal: "E", note: null, toe_after_mm: 36 },
      { animal: "E", note: null, toe_after_mm: 35 },
    ]);
  });

  const animals = scenario("twin-animals", [
    {
      file: "a.csv",
      kind: "animals",
      records: [
        { animal: "A", sex: "female", line: null },
        { animal: "B", sex: "female", line: "Elm" },
      ],
    },
    {
      file: "b.csv",
      kind: "animals",
      records: [
        { animal: "A", sex: null, line: "Oak" },
        { animal: "B", sex: "male", line: "Elm" },
      ],
    },
    { file: "trims.csv", kind: "trims", records: [trim("B", "2024-01-01")] },
  ]);
  it("of one animal agree over two sheets, or are set aside while the animal stays known", async () => {
    expect(await animals.setAside()).toEqual([
      "a.csv 3 animals animal: rows_disagree(3%2C b.csv)",
      "b.csv 3 animals animal: rows_disagree(3%2C a.csv)",
    ]);
    expect(await animals.rows("SELECT animal, sex, line FROM $herd.animal ORDER BY animal")).toEqual([
      { animal: "A", sex: "female", line: "Oak" },
      { animal: "B", sex: null, line: "Elm" },
    ]);
    expect(await animals.rows("SELECT animal FROM $herd.claw_record")).toEqual([{ animal: "B" }]);
  });
});

describe("the pedigree", () => {
  const born = (animal: string, day: string | null, more: HandMadeRecord): HandMadeRecord => ({
    animal,
    born_earliest: day,
    born_latest: day,
    ...more,
  });
  const pedigree = scenario("pedigree", [
    {
      file: "animals.csv",
      kind: "animals",
      records: [
        born("D", "2018-01-01", { sex: "female" }),
        born("S", "2018-01-01", { sex: "male" }),
        born("K1", "2020-01-01", { sire: "S 70% / T 30%", dam: "D" }),
        born("K2", "2020-01-01", { sire: "D", dam: "Old Rose" }),
        born("K3", "2018-06-01", { dam: "D" }),
        born("X", null, { dam: "Y" }),
        born("Y", null, { dam: "Z" }),
        born("Z", null, { dam: "X" }),
        born("K4", "2021-01-01", { dam: "X", sire: "Old Rose" }),
        born("K5", null, { sire: "K5" }),
      ],
    },
  ]);
  it("loses the cell of a parent that cannot be, with the chain that shows it", async () => {
    expect(await pedigree.setAside()).toEqual([
      "animals.csv 5 animals dam: parent_of_wrong_sex(Old Rose,dam) (cell)",
      "animals.csv 5 animals sire: parent_of_wrong_sex(D,sire) (cell)",
      "animals.csv 6 animals dam: parent_too_young(D) (cell)",
      "animals.csv 7 animals dam: pedigree_loop(X > Y > Z > X) (cell)",
      "animals.csv 8 animals dam: pedigree_loop(X > Y > Z > X) (cell)",
      "animals.csv 9 animals dam: pedigree_loop(X > Y > Z > X) (cell)",
      "animals.csv 10 animals sire: parent_of_wrong_sex(Old Rose,sire) (cell)",
      "animals.csv 11 animals sire: pedigree_loop(K5 > K5) (cell)",
    ]);
  });
  it("keeps candidates with shares, and parents without a row as ancestors alone", async () => {
    expect(
      await pedigree.rows(
        "SELECT animal, role, parent, share FROM $herd.parent ORDER BY animal, role, parent",
      ),
    ).toEqual([
      { animal: "K1", role: "dam", parent: "D", share: 1 },
      { animal: "K1", role: "sire", parent: "S", share: 0.7 },
      { animal: "K1", role: "sire", parent: "T", share: 0.3 },
      { animal: "K4", role: "dam", parent: "X", share: 1 },
    ]);
    expect(await pedigree.rows("SELECT CAST(count(*) AS INTEGER) AS n FROM $herd.animal")).toEqual([
      { n: 10 },
    ]);
  });
});
