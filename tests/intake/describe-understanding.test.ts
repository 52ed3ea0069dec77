import { describe, expect, it } from "vitest";
import { describeUnderstanding } from "../../src/intake/describe-understanding.ts";
import { lines, readPlain, tableOf } from "./table-of.ts";

const { understanding } = readPlain(
  tableOf(
    lines("tag|date|LF inner before|colour|\nA|25/3/2024|34,5|red|\n|26/3/2024|31,5||\n|27/3/2024|30||"),
  ),
);

describe("describeUnderstanding", () => {
  it("tells each column's meaning, unit, order, sample and how sure it is", () => {
    expect(describeUnderstanding(understanding, "en")).toMatchObject([
      {
        header: "tag",
        meaning: "trims: animal",
        sample: "A",
        sure: "a known word",
        offer: 'fill_down = ["animal"]',
      },
      { header: "date", meaning: "trims: date", reads: "day first", sure: "its own name", offer: "" },
      { header: "LF inner before", meaning: "trims: toe_before_mm, LF inner", reads: "mm (by size), 1,5" },
      { header: "colour", meaning: "not understood, kept as it is", explained: "", sample: "red", sure: "" },
    ]);
  });

  it("speaks Spanish too", () => {
    expect(describeUnderstanding(understanding, "es")[1]).toMatchObject({
      reads: "primero el día",
      explained: "El día en que se hizo o se vio",
    });
  });
});
