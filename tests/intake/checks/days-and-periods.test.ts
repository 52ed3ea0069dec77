import { describe, expect, it } from "vitest";
import { crossScenarios, trim } from "../cross-scenarios.ts";
import type { HandMadeRecord } from "../hand-made-sheets.ts";

const scenario = crossScenarios();

describe("days", () => {
  const born = { born_earliest: "2020-01-01", born_latest: "2020-12-31" };
  const away = scenario("days-away", [
    {
      file: "animals.csv",
      kind: "animals",
      records: [
        { animal: "A", ...born, entered: "2021-03-01", left: "2022-03-01" },
        { animal: "A", ...born, entered: "2023-01-01", left: null },
        { animal: "B", born_earliest: null, born_latest: null, entered: null, left: "2023-05-05" },
        { animal: "C", ...born, entered: null, left: "2019-01-01" },
      ],
    },
    {
      file: "trims.csv",
      kind: "trims",
      records: [
        trim("A", "2019-12-31"),
        trim("A", "2021-02-28"),
        trim("A", "2021-03-01"),
        trim("A", "2022-03-01"),
        trim("A", "2022-03-02"),
        trim("A", "2023-01-01"),
        trim("B", "2023-05-06"),
        trim("B", "2023-05-05"),
        trim("A", "2025-01-01"),
        trim("B", "1904-01-01"),
        trim("C", "2023-01-01"),
      ],
    },
    {
      file: "stays.csv",
      kind: "stays",
      records: [
        // a period counts as wrong only when all of it is
        { animal: "A", pen: "P", from: "2019-01-01", to: "2021-05-01" },
        { animal: "B", pen: "P", from: "2023-05-06", to: null },
      ],
    },
  ]);
  it("before birth, before entering, after leaving, in the future and long ago are set aside", async () => {
    expect(await away.setAside()).toEqual([
      "animals.csv 5 animals left: ends_before_it_starts (cell)",
      "stays.csv 3 stays from: after_leaving(2023-05-05)",
      "trims.csv 2 trims date: before_birth(2020-01-01)",
      "trims.csv 3 trims date: before_entering(2021-03-01)",
      "trims.csv 6 trims date: after_leaving(2022-03-01)",
      "trims.csv 8 trims date: after_leaving(2023-05-05)",
      "trims.csv 10 trims date: in_the_future",
      "trims.csv 11 trims date: before_records",
    ]);
  });
  it("of two spells in the flock give the animal two rows; a day of leaving that cannot be is lost alone", async () => {
    expect(
      await away.rows(
        'SELECT animal, CAST(count(*) AS INTEGER) AS spells, CAST(count("left") AS INTEGER) AS ends FROM $herd.animal GROUP BY animal ORDER BY animal',
      ),
    ).toEqual([
      { animal: "A", spells: 2, ends: 1 },
      { animal: "B", spells: 1, ends: 1 },
      { animal: "C", spells: 1, ends: 0 },
    ]);
  });
});

describe("periods", () => {
  const stay = (animal: string, pen: string, from: string, to: string | null): HandMadeRecord => ({
    animal,
    pen,
    from,
    to,
  });
  const crossing = scenario("periods", [
    {
      file: "stays.csv",
      kind: "stays",
      records: [
        stay("A", "P", "2024-01-01", "2024-03-01"),
        stay("A", "Q", "2024-02-01", "2024-04-01"),
        stay("A", "R", "2024-04-01", null),
        stay("B", "P", "2024-01-01", null),
        stay("B", "Q", "2024-02-01", null),
        stay("C", "P", "2024-03-01", "2024-02-01"),
      ],
    },
    {
      file: "feeds.csv",
      kind: "feeds",
      records: [
        { pen: "P", from: "2024-01-01", to: "2024-03-01", feed: "hay", kg_per_head_day: 1 },
        { pen: "P", from: "2024-02-01", to: "2024-04-01", feed: "oats", kg_per_head_day: 1 },
        { pen: "P", from: "2024-02-01", to: null, feed: "hay", kg_per_head_day: 2 },
      ],
    },
  ]);
  it("that cross are set aside both", async () => {
    expect(await crossing.setAside()).toEqual([
      "feeds.csv 2 feeds from: overlapping_period(4)",
      "feeds.csv 4 feeds from: overlapping_period(2)",
      "stays.csv 2 stays from: overlapping_stay(3)",
      "stays.csv 3 stays from: overlapping_stay(2)",
      "stays.csv 7 stays to: ends_before_it_starts",
    ]);
  });
  it("without an end last until the next starts", async () => {
    expect(
      await crossing.rows(
        `SELECT pen, day_no("to") - day_no("from") AS days FROM $herd.stay WHERE animal = 'B' ORDER BY pen`,
      ),
    ).toEqual([
      { pen: "P", days: 31 },
      { pen: "Q", days: null },
    ]);
  });
});
