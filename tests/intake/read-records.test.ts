import { describe, expect, it } from "vitest";
import { readRecords } from "../../src/intake/read-records.ts";
import { parseIsoDay } from "../../src/records/days.ts";
import { contextOf, lines, type PlainReading, readPlain, sumsHold, tableOf } from "./table-of.ts";

const read = (text: string, context = contextOf(), more = {}): PlainReading => {
  const reading = readPlain(tableOf(lines(text), more), context);
  expect(sumsHold(reading)).toBe(true);
  return reading;
};
const day = (text: string): number => parseIsoDay(text)!;

describe("trims", () => {
  it("are trimmed where an after length is given, or the sheet has no length at all", () => {
    const withLengths = read(`tag|date|toe before (mm)|toe after (mm)|overhang after (mm)|trimmed
      A|2024-01-05|40|35||
      B|2024-01-05|40|||
      C|2024-01-05|40|||no
      D|2024-01-05|||1|
      E|2024-01-05||||yes`);
    expect(withLengths.records.trims!.map(({ trimmed }) => trimmed)).toEqual([true, null, false, true, true]);
    const without = read("tag|trim date|trimmer\nA|2024-01-05|Ann\nB|2024-01-05|");
    expect(without.records.trims!.map(({ trimmed }) => trimmed)).toEqual([true, true]);
  });

  it("are no trim dates where the remark denies it", () => {
    const { records, troubles } = read(`tag|trim date|remarks
      A|2024-01-05|fine
      B|2024-01-05|not trimmed, too close to kidding
      C|2024-01-05|skipped
      D|2024-01-05|no se recortó
      E|2024-01-05|no problems`);
    expect(records.trims!.map(({ animal }) => animal)).toEqual(["A", "E"]);
    expect(troubles.map(({ rowNo, reason }) => [rowNo, reason])).toEqual(
      [3, 4, 5].map((row) => [row, "remark_alone"]),
    );
  });

  it("that record nothing are set aside", () => {
    const { troubles, records } = read(
      "tag|date|foot|toe before (mm)|note\nA|2024-01-05|LF||fine\nB|2024-01-05|LF|40|",
    );
    expect(records.trims!.map(({ animal }) => animal)).toEqual(["B"]);
    expect(troubles).toMatchObject([
      { rowNo: 2, reason: "nothing_recorded", loses: "record", column: "toe before (mm)" },
    ]);
  });

  it("of several feet are one for each foot, unless a length says nothing of which", () => {
    const { records, troubles } = read(`tag|date|foot|overgrowth|toe before (mm)
      A|2024-01-05|LF, RF|1|
      B|2024-01-05|both hinds outer|2|
      C|2024-01-05|all four|0|
      D|2024-01-05|LF + RF|1|40
      E|2024-01-05|LF and tail|1|`);
    expect(records.trims!.map((one) => [one.animal, one.foot, one.claw, one.overgrowth, one.part])).toEqual([
      ["A", "LF", null, 1, 0],
      ["A", "RF", null, 1, 1],
      ["B", "LH", "outer", 2, 0],
      ["B", "RH", "outer", 2, 1],
      ...["LF", "RF", "LH", "RH"].map((foot, part) => ["C", foot, null, 0, part]),
    ]);
    expect(troubles.map(({ rowNo, column, value, reason }) => [rowNo, column, value, reason])).toEqual([
      [5, "foot", "LF + RF", "unknown_foot"],
      [6, "foot", "LF and tail", "unknown_foot"],
    ]);
  });

  it("lose a claw, not the row, to one bad cell", () => {
    const {
      records,
      troubles,
      read: counts,
    } = read(`tag|date|pen|LF inner before (mm)|LF inner after (mm)|LF outer before (mm)|RH outer before (mm)
      A|2024-01-05|P1|40|35|long|42
      B|bad date|P1|40|35||42
      C|2024-01-07|P1|||||`);
    expect(
      records.trims!.map((one) => [
        one.animal,
        one.foot,
        one.claw,
        one.toe_before_mm,
        one.toe_after_mm,
        one.pen,
        one.part,
      ]),
    ).toEqual([
      ["A", "LF", "inner", 40, 35, "P1", 0],
      ["A", "RH", "outer", 42, null, "P1", 2],
    ]);
    expect(troubles.map(({ rowNo, part, column, reason }) => [rowNo, part, column, reason])).toEqual([
      [2, 1, "LF outer before (mm)", "not_a_number"],
      [3, 0, "date", "not_a_date"],
      [3, 1, "date", "not_a_date"],
      [4, 0, "LF inner before (mm)", "nothing_recorded"],
    ]);
    expect(counts.trims).toBe(6);
  });

  it("keep what a wide row says of the whole animal apart from its claws", () => {
    const { records } = read(`tag|date|bled|LF before (mm)|RF before (mm)
      A|2024-01-05|yes|40|41
      B|2024-01-05||40|`);
    expect(records.trims!.map((one) => [one.animal, one.foot, one.bled])).toEqual([
      ["A", "LF", null],
      ["A", "RF", null],
      ["A", null, true],
      ["B", "LF", null],
    ]);
  });

  it("are dated by a wide row that marks only the trim", () => {
    const { records } = read(
      "tag|date|trimmed|LF before (mm)|RF before (mm)\nA|2024-01-05|yes||\nB|2024-01-06|yes|40|",
    );
    expect(records.trims!.map((one) => [one.animal, one.foot, one.trimmed])).toEqual([
      ["A", null, true],
      ["B", "LF", true],
    ]);
  });

  it("convert units of header and cell, and stay within bounds", () => {
    const { records, troubles } = read(`tag|date|toe before (in)
      A|2024-01-05|1 3/8
      B|2024-01-05|40 mm
      C|2024-01-05|4 cm
      D|2024-01-05|40
      E|2024-01-05|4 kg`);
    expect(records.trims!.map(({ toe_before_mm }) => toe_before_mm)).toEqual([34.925, 40, 40]);
    expect(troubles.map(({ reason }) => reason)).toEqual(["out_of_bounds(5,250)", "unknown_unit(kg)"]);
  });

  it("give a gait and a lesion too where the sheet has such columns", () => {
    const { records, understanding } =
      read(`tag|date|foot|toe before (mm)|gait (1-5)|problem|scorer|treated with
      A|2024-01-05|LF|40|3|scald|Ann|iodine
      A|2024-01-05|RF|41|3||Ann|
      B|2024-01-05|LF|40|||Ann|`);
    expect(understanding.kinds).toEqual(["trims", "gaits", "lesions", "treatments"]);
    expect(records.trims).toHaveLength(3);
    expect(records.gaits!.map((one) => [one.animal, one.gait, one.foot ?? null, one.scorer])).toEqual([
      ["A", 3, null, "Ann"],
      ["A", 3, null, "Ann"],
    ]);
    expect(records.lesions!.map((one) => [one.animal, one.foot, one.lesion])).toEqual([
      ["A", "LF", "sore between the toes"],
    ]);
    expect(records.treatments!.map((one) => [one.animal, one.foot, one.treatment])).toEqual([
      ["A", "LF", "iodine"],
    ]);
  });
});

describe("a scoring sheet with a mark for trims", () => {
  it("gives a trim only where it is marked, and loses no row", () => {
    const {
      records,
      troubles,
      read: counts,
    } = read(`tag|date|gait (1-5)|trimmed
      A|2024-01-05|2|
      B|2024-01-05|3|x
      C|2024-01-05||
      D|2024-01-05||x`);
    expect(records.gaits!.map(({ animal }) => animal)).toEqual(["A", "B"]);
    expect(records.trims!.map(({ animal, trimmed }) => [animal, trimmed])).toEqual([
      ["B", true],
      ["D", true],
    ]);
    expect(troubles).toMatchObject([{ rowNo: 4, reason: "nothing_recorded" }]);
    expect(counts).toEqual({ trims: 3, gaits: 2 });
  });

  it("may mark each foot", () => {
    const { records, troubles } = read("tag|date|LF|RF\nA|2024-01-05|x|\nB|2024-01-05||");
    expect(records.trims!.map(({ animal, foot }) => [animal, foot])).toEqual([["A", "LF"]]);
    expect(troubles).toMatchObject([{ rowNo: 3, reason: "nothing_recorded" }]);
  });
});

describe("lesions", () => {
  it("give a record for each finding and foot, and the words that are not known", () => {
    const {
      records,
      unmapped,
      read: counts,
      troubles,
    } = read(`tag|date|foot|problem|severity
      A|2024-01-05|LF|scald + mild footrot?|2
      B|2024-01-05||overgrown both hinds|
      C|2024-01-05||odd bump|
      D|2024-01-05|RF|scald LF|
      E|2024-01-05|RF||
      F|2024-01-05|RF||3`);
    expect(
      records.lesions!.map((one) => [
        one.animal,
        one.foot,
        one.lesion,
        one.lesion_text,
        one.suspected,
        one.severity,
      ]),
    ).toEqual([
      ["A", "LF", "sore between the toes", "scald", false, "2"],
      ["A", "LF", "footrot", "mild footrot?", true, "2"],
      ["B", "LH", "overgrowth", "overgrown both hinds", false, null],
      ["B", "RH", "overgrowth", "overgrown both hinds", false, null],
      ["C", null, "other", "odd bump", false, null],
    ]);
    expect(unmapped).toEqual([{ rowNo: 4, column: "problem", word: "odd bump" }]);
    expect(troubles.map(({ rowNo, reason }) => [rowNo, reason])).toEqual([
      [5, "foot_disagrees(RF)"],
      [6, "nothing_recorded"],
      [7, "missing_value(lesion)"],
    ]);
    expect(counts.lesions).toBe(8);
  });

  it("know a flock's own words", () => {
    const set = { lesions: { "odd bump": "other", vlekje: "footrot" } } as const;
    const { records, unmapped } = read("tag|date|problem\nA|2024-01-05|odd bump, Vlekje", contextOf({ set }));
    expect(records.lesions!.map(({ lesion }) => lesion)).toEqual(["other", "footrot"]);
    expect(unmapped).toEqual([]);
  });

  it("stand one a foot in a wide sheet", () => {
    const { records } = read("tag|date|LF problem|RH problem\nA|2024-01-05|none|scald, footrot");
    expect(records.lesions!.map(({ foot, lesion, part }) => [foot, lesion, part])).toEqual([
      ["LF", "none", 0],
      ["RH", "sore between the toes", 1],
      ["RH", "footrot", 2],
    ]);
  });
});

describe("animals and pens", () => {
  it("lose only the cell to a bad one, and the record to a missing tag", () => {
    const { records, troubles } = read(`tag|sex|born|age|sire|entered
      A|doe|soon|2 years|B1 / B2|2020-01-05
      |doe|2019||?|
      9.82E+14|doe|2019|||`);
    expect(records.animals).toEqual([
      {
        rowNo: 2,
        part: 0,
        animal: "A",
        sex: "female",
        born_earliest: null,
        born_latest: null,
        age_at_entry_days: 730.485,
        sire: "B1 / B2",
        entered: day("2020-01-05"),
      },
    ]);
    expect(troubles.map(({ rowNo, column, reason, loses }) => [rowNo, column, reason, loses])).toEqual([
      [2, "born", "not_a_date", "cell"],
      [3, "tag", "missing_value(animal)", "record"],
      [4, "tag", "digits_lost", "record"],
    ]);
  });

  it("keep a pen whose area has no unit", () => {
    const { records, troubles } = read("pen|ground|area\nP1|straw|120");
    expect(records.pens).toMatchObject([{ pen: "P1", ground: "bedded barn", area_m2: null }]);
    expect(troubles).toMatchObject([{ column: "area", reason: "unit_not_named", loses: "cell" }]);
  });
});

describe("grids", () => {
  it("may run animals down and dates across, of marks and remarks", () => {
    const { records, remarks, troubles, understanding } = read(`Hoof trims 2024
      Tag|Pen|5 Jan 2024|2 Mar 2024|Notes
      A|P1|x||
      B|P2|x limping|no|old doe
      C|P1|limping badly|✓|`);
    expect(understanding.layout).toBe("grid");
    expect(
      records.trims!.map((one) => [one.animal, one.date, one.trimmed, one.note, one.pen, one.part]),
    ).toEqual([
      ["A", day("2024-01-05"), true, null, "P1", 0],
      ["B", day("2024-01-05"), true, "limping", "P2", 0],
      ["B", day("2024-03-02"), false, "old doe", "P2", 1],
      ["C", day("2024-03-02"), true, null, "P1", 1],
    ]);
    expect(remarks.map(({ rowNo, remark }) => [rowNo, remark])).toEqual([
      [4, "x limping"],
      [5, "limping badly"],
    ]);
    expect(troubles).toMatchObject([{ rowNo: 5, part: 0, column: "5 Jan 2024", reason: "remark_alone" }]);
  });

  it("part a mark or a length from the remark behind it, and take no remark for a mark", () => {
    const marks = read("Hoof trims\nTag|2024-01-05|2024-03-02\nA|x, calm|no rot\nB|no, sold|x no rot");
    expect(marks.records.trims!.map((one) => [one.animal, one.trimmed, one.note])).toEqual([
      ["A", true, "calm"],
      ["B", false, "sold"],
      ["B", true, "no rot"],
    ]);
    expect(marks.troubles).toMatchObject([{ rowNo: 3, value: "no rot", reason: "remark_alone" }]);
    const lengths = read("Toe lengths (mm)\nTag|2024-01-05|2024-03-02\nA|40 limping|41,5\nB|38|sold");
    expect(lengths.records.trims!.map((one) => [one.toe_before_mm, one.note])).toEqual([
      [40, "limping"],
      [41.5, null],
      [38, null],
    ]);
    expect(lengths.remarks.map(({ remark }) => remark)).toEqual(["40 limping"]);
    expect(lengths.troubles).toMatchObject([{ rowNo: 4, reason: "remark_alone" }]);
  });

  it("may hold lengths or scores", () => {
    const lengths = read("Toe lengths before trimming (mm)\nTag|2024-01-05|2024-03-02\nA|40|44\nB|38|");
    expect(lengths.records.trims!.map((one) => one.toe_before_mm)).toEqual([40, 44, 38]);
    const scores = read(
      "Gait scores\nTag|2024-01-05|2024-03-02\nA|1|3\nB|2|",
      contextOf({ set: { gait_scale: "1-5" } }),
    );
    expect(scores.records.gaits!.map((one) => [one.animal, one.gait, one.gait_scale])).toEqual([
      ["A", 1, "1-5"],
      ["A", 3, "1-5"],
      ["B", 2, "1-5"],
    ]);
  });

  it("may run dates down and animals across", () => {
    const { records } = read(
      "Hoof trims\nDate|A1|A2|B7\n2024-01-05|x||x\n2024-03-02||x|",
      contextOf({ knownAnimals: new Set(["A1", "A2", "B7"]) }),
    );
    expect(records.trims!.map((one) => [one.animal, one.date])).toEqual([
      ["A1", day("2024-01-05")],
      ["B7", day("2024-01-05")],
      ["A2", day("2024-03-02")],
    ]);
  });
});

describe("a worksheet about one animal", () => {
  const rows = "Date|LF before (mm)|RF before (mm)\n2024-01-05|40|41";
  it("takes the tag from its name if it is known", () => {
    const known = contextOf({ knownAnimals: new Set(["A12"]) });
    const { records, understanding } = read(rows, known, { worksheet: "A12" });
    expect(understanding).toMatchObject({ layout: "sheet_per_animal", animal: "A12" });
    expect(records.trims!.map(({ animal }) => animal)).toEqual(["A12", "A12"]);
  });
  it("takes the tag from above the header", () => {
    const known = contextOf({ knownAnimals: new Set(["A12"]) });
    expect(read(`Goat: A12\n${rows}`, known).understanding.animal).toBe("A12");
    expect(read(`Tag|A12\n${rows}`, known).understanding.animal).toBe("A12");
    expect(read(`A12\n${rows}`, known).understanding.animal).toBe("A12");
  });
  it("takes an unknown tag only where the settings say that a sheet is an animal", () => {
    const set = contextOf({ set: { sheet_is_animal: true }, worksheetsInFile: 3 });
    expect(read(rows, set, { worksheet: "Daisy" }).understanding.animal).toBe("Daisy");
    expect(read(`Tag: 77\n${rows}`, set, { worksheet: "Daisy" }).understanding.animal).toBe("77");
  });
});

describe("blank below", () => {
  const sheet = "date|tag|foot|before (mm)\n2024-01-05|A|LF|40\n||RF|41\n|B|LF|42";
  it("means the same only where the settings say so", () => {
    const { records } = read(sheet, contextOf({ set: { fill_down: ["date", "animal"] } }));
    expect(records.trims!.map((one) => [one.animal, one.date, one.foot])).toEqual([
      ["A", day("2024-01-05"), "LF"],
      ["A", day("2024-01-05"), "RF"],
      ["B", day("2024-01-05"), "LF"],
    ]);
  });
  it("is offered otherwise, and the rows are set aside", () => {
    const { understanding, records, troubles } = read(sheet);
    expect(understanding.columns.filter(({ blankBelow }) => blankBelow).map(({ header }) => header)).toEqual([
      "date",
      "tag",
    ]);
    expect(records.trims).toHaveLength(1);
    expect(troubles.map(({ rowNo, reason }) => [rowNo, reason])).toEqual([
      [3, "missing_value(date)"],
      [3, "missing_value(animal)"],
      [4, "missing_value(date)"],
    ]);
  });
});

describe("rows for a group", () => {
  const known = new Set(["12", "13", "20", "A-1", "24-101"]);
  const sheet = `tag|trim date|pen
    all|2024-01-05|
    does|2024-01-05|
    pen A|2024-01-05|
    12-20|2024-01-05|
    12, 13|2024-01-05|
    24-101|2024-01-05|
    30-40|2024-01-05|`;
  it("are passed on with a mark, for all kinds that name animals", () => {
    const { records } = read(sheet, contextOf({ knownAnimals: known }));
    const groups = ["all", "does", "pen A", "12-20", "12, 13"].map((words) => `expand:${words}`);
    expect(records.trims!.map(({ animal }) => animal)).toEqual([...groups, "24-101", "30-40"]);
    const gaits = read("tag|date|gait (1-5)\nall|2024-01-05|1", contextOf({ knownAnimals: known }));
    expect(gaits.records.gaits!.map(({ animal }) => animal)).toEqual(["expand:all"]);
  });
  it("are marked for trim dates alone where the settings say so", () => {
    const set = { expand_groups: true };
    const { records } = read(sheet, contextOf({ knownAnimals: known, set }));
    expect(records.trims!.map(({ animal, origin }) => [animal, origin])).toEqual([
      ["expand:all", "group"],
      ["expand:does", "group"],
      ["expand:pen A", "group"],
      ["expand:12-20", "group"],
      ["expand:12, 13", "group"],
      ["24-101", null],
      ["30-40", null],
    ]);
    const measured = read(
      "tag|date|toe before (mm)|trimmed\nall|2024-01-05|40|\nall|2024-01-06||yes",
      contextOf({ knownAnimals: known, set }),
    );
    expect(measured.records.trims!.map(({ animal, origin }) => [animal, origin])).toEqual([
      ["expand:all", "group"],
    ]);
    expect(measured.troubles[0]!.reason).toContain("group_of_animals");
  });
});

describe("cells", () => {
  it("may name foot and claw together", () => {
    const inFoot = read("tag|date|foot|before (mm)\nA|2024-01-05|LF inner|40\nB|2024-01-05|RH|41");
    expect(inFoot.records.trims!.map(({ foot, claw }) => [foot, claw ?? null])).toEqual([
      ["LF", "inner"],
      ["RH", null],
    ]);
    const inClaw = read("tag|date|claw|before (mm)\nA|2024-01-05|LF inner|40");
    expect(inClaw.records.trims!.map(({ foot, claw }) => [foot, claw])).toEqual([["LF", "inner"]]);
    const both = read(
      "tag|date|foot|claw|before (mm)\nA|2024-01-05|LF inner|outer|40\nB|2024-01-05|LF inner||40",
    );
    expect(both.records.trims!.map(({ animal, claw }) => [animal, claw])).toEqual([["B", "inner"]]);
    expect(both.troubles).toMatchObject([{ rowNo: 2, reason: "unknown_claw" }]);
  });

  it("may name all four feet where the row measures none", () => {
    const treated = read(
      "tag|date|foot|treatment\nA|2024-01-05|all four|footbath\nB|2024-01-05|both fronts|footbath",
    );
    expect(treated.records.treatments!.map(({ animal, foot }) => [animal, foot])).toEqual([
      ["A", null],
      ["B", "LF"],
      ["B", "RF"],
    ]);
    const measured = read("tag|date|foot|before (mm)\nA|2024-01-05|all|40");
    expect(measured.troubles).toMatchObject([{ reason: "unknown_foot" }]);
  });

  it("inside merged cells are what the first of them says", () => {
    const rows = lines("tag|date|foot|before (mm)\nA|2024-01-05|LF|40\n||RF|41\n||LH|42");
    const mergedRanges = [
      { top: 2, left: 1, bottom: 3, right: 1 },
      { top: 2, left: 2, bottom: 4, right: 2 },
    ];
    const { records, troubles } = readPlain({ ...tableOf(rows), mergedRanges });
    expect(records.trims!.map(({ animal, foot }) => [animal, foot])).toEqual([
      ["A", "LF"],
      ["A", "RF"],
    ]);
    expect(troubles).toMatchObject([{ rowNo: 4, reason: "missing_value(animal)" }]);
  });

  it("count days from 1904 where the workbook does", () => {
    const note = { code: "dates_from_1904", row: null, column: null, count: 1, detail: "" } as const;
    const { records } = readPlain({ ...tableOf(lines("tag|trim date\nA|43898")), notes: [note] });
    // 1904 serial 43898 is 1900 serial 45360, 9 March 2024
    expect(records.trims).toMatchObject([{ date: day("2024-03-09") }]);
  });

  it("are read with the settings' own words for values", () => {
    const set = { values: { trimmed: { gedaan: "yes" }, "Foot no": { "1": "LF" } } };
    const { records } = read(
      "tag|date|Foot no|trimmed\nA|2024-01-05|1|Gedaan",
      contextOf({ set: { ...set, columns: { "Foot no": "foot" } } }),
    );
    expect(records.trims).toMatchObject([{ foot: "LF", trimmed: true }]);
  });

  it("give the flock that a row names", () => {
    const { records } = read("herd|tag|trim date\nElm|A|2024-01-05\n|B|2024-01-05");
    expect(records.trims!.map(({ flock }) => flock)).toEqual(["Elm", null]);
  });

  it("give both withdrawals where one date stands for both", () => {
    const { records } = read(
      "tag|date|treatment|withdrawal until\nA|2024-01-05|iodine|2024-02-01\nB|2024-01-05|iodine|",
    );
    expect(records.treatments!.map((one) => [one.withdrawal_milk_until, one.withdrawal_meat_until])).toEqual([
      [day("2024-02-01"), day("2024-02-01")],
      [null, null],
    ]);
  });

  it("come whole in the raw rows, header and titles too", () => {
    const rows = lines("Log\ntag|trim date\nA|2024-01-05\nTotal|");
    const table = tableOf(rows, { rowsABatch: 3 });
    const { understanding } = readPlain(table);
    const batches = [...readRecords(table, understanding, contextOf())];
    expect(batches.flatMap(({ rawCells }) => rawCells)).toEqual(rows);
    expect(batches.flatMap(({ rawRowNo }) => [...rawRowNo])).toEqual([1, 2, 3, 4]);
    expect(batches.map(({ read: counts }) => counts.trims ?? 0)).toEqual([1, 0]);
  });
});

describe("a foot cell that names several feet", () => {
  it("gives a lesion for each, and a treatment for each unless it names the whole animal", () => {
    const lesions = read(
      "tag|date|foot|lesion\nA|2024-01-05|LF, RF|scald + shelly\nB|2024-01-05|all four|none",
    );
    expect(lesions.records.lesions!.map((one) => [one.animal, one.foot, one.lesion])).toEqual([
      ["A", "LF", "sore between the toes"],
      ["A", "LF", "loose wall"],
      ["A", "RF", "sore between the toes"],
      ["A", "RF", "loose wall"],
      ...["LF", "RF", "LH", "RH"].map((foot) => ["B", foot, "none"]),
    ]);
    const treatments = read(
      "tag|date|foot|treatment\nA|2024-01-05|LF/RH|spray\nB|2024-01-05|all four|footbath",
    );
    expect(treatments.records.treatments!.map((one) => [one.animal, one.foot])).toEqual([
      ["A", "LF"],
      ["A", "RH"],
      ["B", null],
    ]);
  });

  it("loses every record of the row to a bad cell beside it, each counted", () => {
    const { records, troubles, read: counts } = read("tag|date|foot|lesion\nA|2024-02-30|LF, RF|scald");
    expect(records.lesions ?? []).toEqual([]);
    expect(counts.lesions).toBe(2);
    expect(troubles.map(({ part, column, value }) => [part, column, value])).toEqual([
      [0, "date", "2024-02-30"],
      [1, "date", "2024-02-30"],
    ]);
  });
});
