import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { takeIn } from "../../src/intake/take-in.ts";
import { parseIsoDay } from "../../src/records/days.ts";
import { openTestBook } from "./open-test-book.ts";

/** A clean flock by hand: every row of every sheet is taken. The header is row 1. */
const clean: Readonly<Record<string, string>> = {
  "animals.csv": `animal,sex,born,sire,dam,entered,left
D1,female,2019-03-01,,,2019-03-01,
S1,male,2019-04-01,,,2019-04-01,
A1,female,2021-03-01,S1,D1,2021-03-01,
A2,female,2021-03-05,S1,D1,2021-03-05,
A3,female,2022-02-10,S1,A1,2022-02-10,2024-06-30`,
  "stays.csv": `animal,pen,from,to
A1,P1,2023-01-01,2024-03-01
A1,P2,2024-03-01,
A2,P1,2023-01-01,
A3,P2,2023-01-01,2024-06-30`,
  "trims.csv": `animal,date,foot,claw,toe_before_mm,toe_after_mm,trimmed,note
A1,2024-01-10,LF,inner,45,38,,
A1,2024-03-20,LF,inner,44,38,,
A2,2024-01-10,RH,outer,46,39,,
A2,2024-03-20,RH,outer,45,39,,
A3,2024-01-10,LF,outer,44,38,,`,
  "gaits.csv": `animal,date,gait,gait_scale,foot
A1,2024-01-10,0,0-4,
A2,2024-01-10,2,0-4,RH
A3,2024-01-10,1,0-4,`,
  "lesions.csv": `animal,date,foot,lesion
A2,2024-01-10,RH,scald
A3,2024-01-10,LF,none`,
  "rations.csv": `pen,from,to,crude_protein_pct_dm,copper_mg_per_kg_dm
P1,2023-10-01,2024-02-01,14,12
P1,2024-02-01,2024-06-01,15,12
P2,2023-10-01,2024-06-01,13,11`,
  "treatments.csv": `animal,date,foot,treatment,withdrawal_milk_until
A2,2024-01-10,RH,spray,2024-01-14`,
  "kiddings.csv": `animal,date,kids,alive
D1,2023-03-01,2,2`,
};

interface Fault {
  readonly what: string;
  readonly file: string;
  /** Row of the sheet; one past the last is a row added. */
  readonly row: number;
  /** The row as the fault leaves it. */
  readonly now: string;
  /** Column and value that are named, and the reason's code. */
  readonly column: string;
  readonly value: string;
  readonly reason: string;
  /** Rows that are set aside when it is not that row alone. */
  readonly rows?: readonly number[];
}

const fault = (
  what: string,
  file: string,
  row: number,
  now: string,
  column: string,
  value: string,
  reason: string,
  rows?: readonly number[],
): Fault => ({ what, file, row, now, column, value, reason, ...(rows === undefined ? {} : { rows }) });

const T = "trims.csv";
const faults: readonly Fault[] = [
  fault("a day that is none", T, 2, "A1,2024-02-30,LF,inner,45,38,,", "date", "2024-02-30", "no_such_day"),
  fault("a word for a date", T, 2, "A1,spring,LF,inner,45,38,,", "date", "spring", "not_a_date"),
  fault("no date", T, 2, "A1,,LF,inner,45,38,,", "date", "", "missing_value"),
  fault("no animal", T, 2, ",2024-01-10,LF,inner,45,38,,", "animal", "", "missing_value"),
  fault("a tag nobody has", T, 2, "A9,2024-01-10,LF,inner,45,38,,", "animal", "A9", "tag_unknown"),
  fault(
    "a tag with its digits lost",
    T,
    2,
    "9.82E+14,2024-01-10,LF,inner,45,38,,",
    "animal",
    "9.82E+14",
    "digits_lost",
  ),
  fault("a foot that is none", T, 2, "A1,2024-01-10,tail,inner,45,38,,", "foot", "tail", "unknown_foot"),
  fault("a claw that is none", T, 2, "A1,2024-01-10,LF,middle,45,38,,", "claw", "middle", "unknown_claw"),
  fault(
    "a word for a length",
    T,
    2,
    "A1,2024-01-10,LF,inner,long,38,,",
    "toe_before_mm",
    "long",
    "not_a_number",
  ),
  fault(
    "a length no hoof has",
    T,
    2,
    "A1,2024-01-10,LF,inner,450,38,,",
    "toe_before_mm",
    "450",
    "out_of_bounds",
  ),
  fault(
    "a length below nothing",
    T,
    2,
    "A1,2024-01-10,LF,inner,-45,38,,",
    "toe_before_mm",
    "-45",
    "out_of_bounds",
  ),
  fault(
    "a length in a unit that is none",
    T,
    2,
    "A1,2024-01-10,LF,inner,45 parsecs,38,,",
    "toe_before_mm",
    "45 parsecs",
    "unknown_unit",
  ),
  fault(
    "an untrimmed claw with a length after",
    T,
    2,
    "A1,2024-01-10,LF,inner,45,38,no,",
    "trimmed",
    "no",
    "not_trimmed_yet_shorter",
  ),
  fault(
    "a claw longer after than before",
    T,
    2,
    "A1,2024-01-10,LF,inner,38,45,,",
    "toe_after_mm",
    "45",
    "after_longer_than_before",
  ),
  fault("a day to come", T, 2, "A1,2031-01-10,LF,inner,45,38,,", "date", "2031-01-10", "in_the_future"),
  fault("a day before birth", T, 6, "A3,2021-06-01,LF,outer,44,38,,", "date", "2021-06-01", "before_birth"),
  fault("a day after leaving", T, 6, "A3,2024-09-01,LF,outer,44,38,,", "date", "2024-09-01", "after_leaving"),
  fault("two rows that disagree", T, 7, "A1,2024-01-10,LF,inner,47,38,,", "", "", "rows_disagree", [2, 7]),
  fault("a score off its scale", "gaits.csv", 2, "A1,2024-01-10,7,0-4,", "gait", "7", "off_the_scale"),
  fault("a word for a score", "gaits.csv", 2, "A1,2024-01-10,fine,0-4,", "gait", "fine", "not_a_number"),
  fault("a scale that is none", "gaits.csv", 2, "A1,2024-01-10,0,2-9,", "gait_scale", "2-9", "unknown_word"),
  fault(
    "a lesion of an unknown animal",
    "lesions.csv",
    2,
    "A22,2024-01-10,RH,scald",
    "animal",
    "A22",
    "tag_unknown",
  ),
  fault("no lesion", "lesions.csv", 2, "A2,2024-01-10,RH,", "lesion", "", "nothing_recorded"),
  fault(
    "a ration that ends before it starts",
    "rations.csv",
    2,
    "P1,2023-10-01,2023-09-01,14,12",
    "to",
    "2023-09-01",
    "ends_before_it_starts",
  ),
  fault(
    "rations of one pen that overlap",
    "rations.csv",
    5,
    "P2,2024-05-01,2024-08-01,13,11",
    "",
    "",
    "overlapping_period",
    [4, 5],
  ),
  fault(
    "protein past the whole",
    "rations.csv",
    2,
    "P1,2023-10-01,2024-02-01,140,12",
    "crude_protein_pct_dm",
    "140",
    "out_of_bounds",
  ),
  fault(
    "a stay that ends before it starts",
    "stays.csv",
    4,
    "A2,P1,2023-01-01,2022-01-01",
    "to",
    "2022-01-01",
    "ends_before_it_starts",
  ),
  fault(
    "stays of one animal that overlap",
    "stays.csv",
    6,
    "A3,P1,2024-01-01,2024-03-01",
    "",
    "",
    "overlapping_stay",
    [5, 6],
  ),
  fault(
    "a withdrawal that is no date",
    "treatments.csv",
    2,
    "A2,2024-01-10,RH,spray,soon",
    "withdrawal_milk_until",
    "soon",
    "not_a_date",
  ),
  fault("part of a kid", "kiddings.csv", 2, "D1,2023-03-01,1.5,1", "kids", "1.5", "not_whole"),
  fault(
    "more kids alive than born",
    "kiddings.csv",
    2,
    "D1,2023-03-01,1,2",
    "alive",
    "2",
    "more_alive_than_born",
  ),
  fault(
    "a sex that is none",
    "animals.csv",
    4,
    "A1,femael,2021-03-01,S1,D1,2021-03-01,",
    "sex",
    "femael",
    "unknown_word",
  ),
  fault(
    "a birth that is no day",
    "animals.csv",
    4,
    "A1,female,2021-13-01,S1,D1,2021-03-01,",
    "born",
    "2021-13-01",
    "no_such_day",
  ),
];

const flockOf = (i: number): string => `flock-${String(i + 1).padStart(2, "0")}`;

describe("one fault in a clean flock", () => {
  let book: Book;
  const taken = new Map<string, number>();
  beforeAll(async () => {
    book = await openTestBook();
    const places = ["clean", ...faults.map((_, i) => flockOf(i))];
    const report = await takeIn(
      book,
      {
        settings: places.map((folder) => ({ folder, text: "" })),
        files: places.flatMap((folder, at) =>
          Object.entries(clean).map(([file, text]) => {
            const planted = faults[at - 1];
            const lines = text.split("\n");
            if (planted?.file === file) lines[planted.row - 1] = planted.now;
            return { path: `${folder}/${file}`, bytes: new TextEncoder().encode(lines.join("\n")) };
          }),
        ),
      },
      { now: parseIsoDay("2026-03-15")!, version: "test", verb: "run", replace: true },
    );
    expect(report).not.toHaveProperty("troubles");
    const sums = await book.rows<{ flock: string; taken: number }>(
      "SELECT flock, CAST(sum(taken) AS INTEGER) AS taken FROM intake.record_sum JOIN intake.source USING (source_id) GROUP BY flock",
    );
    for (const sum of sums) taken.set(sum.flock, sum.taken);
  });
  afterAll(() => book.close());

  const asideOf = (
    flock: string,
  ): Promise<{ file: string; row: number; column: string; value: string; reason: string; loses: string }[]> =>
    book.rows(
      `SELECT s.file, a.row_no AS row, coalesce(a.column_name, '') AS "column", coalesce(a.value, '') AS value, a.reason, a.loses
       FROM intake.set_aside a JOIN intake.source s USING (source_id) WHERE s.flock = ? ORDER BY ALL`,
      [flock],
    );

  test("none: every row is taken", async () => {
    expect(await asideOf("clean")).toEqual([]);
    const rows = Object.values(clean).reduce((sum, text) => sum + text.split("\n").length - 1, 0);
    expect(taken.get("clean")).toBe(rows);
  });

  test.each(faults.map((one, i) => [one.what, one, flockOf(i)] as const))("%s", async (_, planted, flock) => {
    const { file, row, rows = [row], column, value, reason } = planted;
    const aside = await asideOf(flock);
    expect(aside.map((one) => [one.file, one.row])).toEqual(rows.map((no) => [`${flock}/${file}`, no]));
    for (const one of aside) {
      expect(one.reason.replace(/\(.*/s, "")).toBe(reason);
      if (column !== "") expect([one.column, one.value]).toEqual([column, value]);
    }
    const lost = aside.filter(({ loses }) => loses === "record").length;
    const added = row > clean[file]!.split("\n").length ? 1 : 0;
    expect(taken.get(flock)).toBe(taken.get("clean")! + added - lost);
  });
});
