import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { defaultSettings, type Settings } from "../../src/records/settings.ts";
import { emptyTables, type HandMadeRecord, type HandMadeSheet, takeHandMade } from "./hand-made-sheets.ts";
import { openTestBook } from "./open-test-book.ts";
import { setAsideOf } from "./set-aside-of.ts";

/** Scenarios are taken together, each as a flock of its own: flocks know nothing of each other. */
let book: Book;
const scenarios = new Map<string, { sheets: readonly HandMadeSheet[]; settings: Partial<Settings> }>();

beforeAll(async () => {
  book = await openTestBook();
  await emptyTables(book);
  const all = [...scenarios];
  const sheets = all.flatMap(([flock, { sheets }]) =>
    sheets.map((sheet) => ({ flock, ...sheet, file: `${flock}/${sheet.file}` })),
  );
  const flocks = all.map(([flock, { settings }]) => ({
    flock,
    settings: { ...defaultSettings, ...settings },
    namedBy: "folder" as const,
  }));
  await takeHandMade(book, sheets, { flocks });
});
afterAll(() => book.close());

/** Adds a scenario and gives what the book then says of it; `$herd.x` stands for its rows of a table. */
function scenario(flock: string, sheets: readonly HandMadeSheet[], settings: Partial<Settings> = {}) {
  scenarios.set(flock, { sheets, settings });
  const own = (line: string): string => line.replaceAll(`${flock}/`, "");
  return {
    setAside: async () => (await setAsideOf(book)).filter((line) => line.startsWith(`${flock}/`)).map(own),
    rows: (sql: string) => book.rows(sql.replace(/\$([a-z_.]+)/g, `(FROM $1 WHERE flock = '${flock}')`)),
  };
}

const trim = (animal: string, date: string, more: HandMadeRecord = {}): HandMadeRecord => ({
  animal,
  date,
  foot: "LF",
  claw: "inner",
  trimmed: true,
  ...more,
});

const gait = (animal: string, date: string, score: number, scale: string | null = "1-5"): HandMadeRecord => ({
  animal,
  date,
  gait: score,
  gait_scale: scale,
});

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
  scenario("flocks-rows", [
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
    expect((await setAsideOf(book)).filter((line) => line.startsWith("flocks-rows/"))).toEqual([
      "flocks-rows/animals.csv 2 animals flock: reserved_name(all)",
      "flocks-rows/animals.csv 3 animals flock: unknown_flock",
    ]);
  });
});

it("every record is taken, set aside or a repeat, and the herd holds what is taken", async () => {
  const [sum] = await book.rows<{ read: number; taken: number; aside: number; repeats: number }>(
    `SELECT CAST(sum("read") AS INTEGER) AS "read", CAST(sum(taken) AS INTEGER) AS taken, CAST(sum(set_aside) AS INTEGER) AS aside,
       CAST(sum(repeats) AS INTEGER) AS repeats FROM intake.record_sum`,
  );
  const written = [...scenarios.values()].flatMap(({ sheets }) =>
    sheets.map(({ records }) => records.length),
  );
  expect(sum!.read).toBe(written.reduce((total, n) => total + n, 0));
  expect(sum!.taken + sum!.aside + sum!.repeats).toBe(sum!.read);
  expect(sum!.repeats).toBe(2);
});
