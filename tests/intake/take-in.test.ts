import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { remarkColumns } from "../../src/intake/confirmed-remarks.ts";
import {
  animalsToAdd,
  remarksToConfirm,
  setAsideByReason,
  setAsideSheets,
  sheetsUnderstood,
} from "../../src/intake/intake-report.ts";
import { takeIn, tryIntake } from "../../src/intake/take-in.ts";
import { undo } from "../../src/intake/undo.ts";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { openTestBook } from "./open-test-book.ts";
import { setAsideOf } from "./set-aside-of.ts";

let book: Book;
beforeEach(async () => {
  book = await openTestBook();
});
afterEach(() => book.close());

const options = { now: parseIsoDay("2024-12-31")!, version: "test", verb: "ingest", replace: false } as const;

function input(files: Record<string, string>, settings: Record<string, string> = {}) {
  return {
    files: Object.entries(files).map(([path, text]) => ({ path, bytes: new TextEncoder().encode(text) })),
    settings: Object.entries(settings).map(([folder, text]) => ({ folder, text })),
  };
}

const lines = (...rows: readonly string[]): string => `${rows.join("\n")}\n`;

const goats = lines("animal,sex,born", "G1,doe,2020-02-01", "G2,doe,2019");
const trims = lines(
  "animal,date,foot,claw,toe before (mm),toe after (mm),note",
  "G1,2024-03-09,LF,inner,41,35,",
  "G1,2024-05-09,LF,inner,41,36,limping on left fore",
  "G3,2024-05-09,LF,inner,40,35,",
  "G2,2024-05-09,LF,inner,4o,35,",
);

describe("the sheets of one flock", () => {
  it("are understood by their columns, checked and kept with where every row came from", async () => {
    const report = await takeIn(
      book,
      input({ "list.csv": goats, "work.csv": trims }, { "": 'id = "elm"' }),
      options,
    );
    expect(report).toMatchObject({ ingestId: 1, sheets: [{ fate: "new" }, { fate: "new" }] });
    expect(
      await book.rows(
        `SELECT c.flock, c.animal, c.toe_before_mm AS before, s.file, c.row_no, r.cells FROM herd.claw_record c
         JOIN intake.source s USING (source_id) JOIN intake.raw_row r ON r.source_id = c.source_id AND r.row_no = c.row_no ORDER BY c.row_no`,
      ),
    ).toEqual([
      {
        flock: "elm",
        animal: "G1",
        before: 41,
        file: "work.csv",
        row_no: 2,
        cells: '["G1","2024-03-09","LF","inner","41","35",""]',
      },
      {
        flock: "elm",
        animal: "G1",
        before: 41,
        file: "work.csv",
        row_no: 3,
        cells: '["G1","2024-05-09","LF","inner","41","36","limping on left fore"]',
      },
    ]);
    expect(await animalsToAdd(book, "elm")).toMatchObject([{ animal: "G3", records: 1, nearest: "G1 / G2" }]);
    const [sheet] = await setAsideSheets(book, null, "en");
    expect(sheet).toMatchObject({
      file: "work.csv",
      headers: ["animal", "date", "foot", "claw", "toe before (mm)", "toe after (mm)", "note"],
      rows: [
        { row: 4, cells: ["G3", "2024-05-09", "LF", "inner", "40", "35", ""] },
        { row: 5, cells: ["G2", "2024-05-09", "LF", "inner", "4o", "35", ""] },
      ],
    });
    const groups = await setAsideByReason(book, "elm", "es");
    expect(groups.map(({ code, records }) => [code, records])).toContainEqual(["tag_unknown", 1]);
    expect((await sheetsUnderstood(book, null)).map(({ file, rows }) => [file, rows])).toEqual([
      ["list.csv", 3],
      ["work.csv", 5],
    ]);
  });

  it("put right and taken again beside the first leave nothing set aside twice", async () => {
    await takeIn(book, input({ "list.csv": goats, "work.csv": trims }), options);
    const fixed = lines(
      "animal,date,foot,claw,toe before (mm),toe after (mm),note",
      "G2,2024-05-09,LF,inner,40,35,",
    );
    await takeIn(book, input({ "fixed.csv": fixed }), options);
    expect(
      await book.rows("SELECT animal FROM herd.claw_record WHERE row_no = 2 AND animal = 'G2'"),
    ).toHaveLength(1);
  });

  it("a trial shows what would be taken and leaves the book as it was", async () => {
    const seen = await tryIntake(book, input({ "list.csv": goats, "work.csv": trims }), options, () =>
      setAsideOf(book),
    );
    expect("seen" in seen && seen.seen).toHaveLength(2);
    expect(await book.rows("SELECT animal FROM herd.animal")).toEqual([]);
    expect(await book.rows("SELECT source_id FROM intake.source")).toEqual([]);
  });
});

describe("visits as another program keeps them", () => {
  it("give the claws of their lists and inner objects, and set aside what makes no record", async () => {
    const visits = [
      {
        animal: "G1",
        date: "2024-03-09",
        claws: [
          { foot: "LF", claw: "inner", toe_before_mm: 41, toe_after_mm: 36 },
          { foot: "LF", claw: "outer", toe_before_mm: "forty", toe_after_mm: 36 },
        ],
      },
      { animal: "G2", date: "2024-03-09", claws: [[1, 2]] },
    ];
    const inner = {
      animal: "G1",
      date: "2024-05-09",
      toe_before_mm: { "LF inner": 42, "LF outer": 43 },
      toe_after_mm: { "LF inner": 37, "LF outer": 38 },
    };
    await takeIn(
      book,
      input({ "visits.json": JSON.stringify(visits), "inner.json": JSON.stringify([inner]) }),
      options,
    );
    expect(
      await book.rows(
        `SELECT animal, strftime(date, '%m') AS month, foot, claw, toe_before_mm AS before, toe_after_mm AS after
         FROM herd.claw_record ORDER BY date, claw`,
      ),
    ).toEqual([
      { animal: "G1", month: "03", foot: "LF", claw: "inner", before: 41, after: 36 },
      { animal: "G1", month: "05", foot: "LF", claw: "inner", before: 42, after: 37 },
      { animal: "G1", month: "05", foot: "LF", claw: "outer", before: 43, after: 38 },
    ]);
    expect(
      await book.rows("SELECT row_no, reason, loses FROM intake.set_aside ORDER BY row_no, loses"),
    ).toEqual([
      { row_no: 3, reason: "not_a_number", loses: "record" },
      { row_no: 4, reason: "nothing_recorded", loses: "record" },
      { row_no: 4, reason: "nested_values(claws)", loses: "sheet" },
    ]);
  });
});

describe("corrections", () => {
  const corrections = lines(
    "file,row,column,was,now,why,who",
    "work.csv,5,toe before (mm),4o,40,misread,Wren",
    "work.csv,2,toe before (mm),99,40,misread,Wren",
    "work.csv,99,toe before (mm),1,40,misread,Wren",
  );

  it("change the cell that says what they say, and no other; the raw row stays", async () => {
    await takeIn(
      book,
      input({ "list.csv": goats, "work.csv": trims, "corrections.csv": corrections }),
      options,
    );
    expect(await setAsideOf(book)).toEqual([
      "corrections.csv 3 corrections was: correction_does_not_fit(41)",
      "corrections.csv 4 corrections was: correction_without_cell",
      "work.csv 4 trims animal: tag_unknown(G1 / G2)",
    ]);
    expect(await book.rows("SELECT toe_before_mm AS toe FROM herd.claw_record WHERE animal = 'G2'")).toEqual([
      { toe: 40 },
    ]);
    expect(await book.rows("SELECT cells FROM intake.raw_row WHERE row_no = 5")).toEqual([
      { cells: '["G2","2024-05-09","LF","inner","4o","35",""]' },
    ]);
  });

  it("that come later reach the sheets that the book holds, and leave with their ingest", async () => {
    await takeIn(book, input({ "list.csv": goats, "work.csv": trims }), options);
    const later = await takeIn(book, input({ "corrections.csv": corrections }), options);
    expect(later).toMatchObject({
      sheets: [
        { file: "corrections.csv", fate: "new" },
        { file: "work.csv", fate: "read_again" },
      ],
    });
    expect(await book.rows("SELECT toe_before_mm AS toe FROM herd.claw_record WHERE animal = 'G2'")).toEqual([
      { toe: 40 },
    ]);
    expect(await takeIn(book, input({ "work.csv": trims }), options)).toMatchObject({
      ingestId: null,
      sheets: [{ fate: "unchanged" }],
    });
    await undo(book, 2);
    expect(await book.rows("SELECT animal FROM herd.claw_record WHERE animal = 'G2'")).toEqual([]);
  });
});

describe("signs of notifiable disease", () => {
  it("are noticed in a finding and in what was treated, and ask nobody to confirm what is data already", async () => {
    const lesions = lines(
      "animal,date,foot,lesion",
      "G1,2024-05-09,LF,blisters on the mouth",
      "G2,2024-05-09,LF,footrot",
    );
    const treatments = lines(
      "animal,date,treatment,reason",
      "G2,2024-05-10,looked at,drooling and lame",
      "G1,2024-05-10,looked at,no fever",
    );
    await takeIn(
      book,
      input({ "list.csv": goats, "found.csv": lesions, "treated.csv": treatments }),
      options,
    );
    expect(
      await book.rows(
        `SELECT r.animal, r.remark, CAST(r."date" AS VARCHAR) AS day, r.notifiable FROM intake.remark r ORDER BY ALL`,
      ),
    ).toEqual([
      { animal: "G1", remark: "blisters on the mouth", day: "2024-05-09", notifiable: true },
      { animal: "G2", remark: "drooling and lame", day: "2024-05-10", notifiable: true },
    ]);
    expect(await remarksToConfirm(book, null)).toEqual([]);
  });
});

describe("remarks", () => {
  it("are no records until a keeper confirms them", async () => {
    const settings = { "": 'gait_scale = "1-5"' };
    await takeIn(book, input({ "list.csv": goats, "work.csv": trims }, settings), options);
    expect(await book.rows("SELECT animal FROM herd.gait")).toEqual([]);
    const [remark] = await remarksToConfirm(book, null);
    expect(remark).toMatchObject({
      file: "work.csv",
      row: 3,
      animal: "G1",
      remark: "limping on left fore",
      record: "gaits: lame",
    });
    const line = [
      remark!.file,
      "",
      remark!.row,
      remark!.flock,
      remark!.animal,
      isoDay(remark!.date!),
      `"${remark!.remark}"`,
      remark!.record,
    ];
    const confirmed = lines(remarkColumns.join(","), [...line, "yes"].join(","));
    await takeIn(book, input({ "remarks-to-confirm.csv": confirmed }), options);
    expect(
      await book.rows(
        `SELECT animal, gait, gait_scale, CAST("date" AS VARCHAR) AS day, origin, note FROM herd.gait`,
      ),
    ).toEqual([
      {
        animal: "G1",
        gait: 3,
        gait_scale: "1-5",
        day: "2024-05-09",
        origin: "remark",
        note: "limping on left fore",
      },
    ]);
    expect(await remarksToConfirm(book, null)).toEqual([]);
  });

  it("of a grid speak of the day above their cell", async () => {
    const grid = lines(
      "Hoof trims,,",
      "Goat,2024-03-29,2024-05-31",
      "G1,x,x",
      'G2,x,"x, limping"',
      'G3,"x, limping",x',
      "G4,x,",
    );
    await takeIn(book, input({ "grid.csv": grid }), options);
    const remarks = await remarksToConfirm(book, null);
    expect(remarks.map(({ animal, date, record }) => [animal, isoDay(date!), record])).toEqual([
      ["G2", "2024-05-31", "gaits: lame"],
      ["G3", "2024-03-29", "gaits: lame"],
    ]);
  });

  it("answered with no, or not at all, stay no records", async () => {
    const list = lines(
      remarkColumns.join(","),
      "work.csv,,3,flock,G1,2024-05-09,limping,gaits: lame,no",
      "work.csv,,4,flock,G1,2024-05-09,rot,lesions: footrot,",
      "work.csv,,5,flock,G1,2024-05-09,rot,lesions: footrot,sí",
    );
    await takeIn(book, input({ "answers.csv": list, "list.csv": goats }), options);
    expect(await book.rows("SELECT animal FROM herd.gait")).toEqual([]);
    expect(await book.rows("SELECT row_no, lesion, origin FROM herd.lesion")).toEqual([
      { row_no: 4, lesion: "footrot", origin: "remark" },
    ]);
  });
});

describe("flocks", () => {
  const sheet = lines("animal,date,gait,gait scale", "1,2024-03-09,1,1-5");

  it("two folders with sheets of one kind are a question, which settings or a column answer", async () => {
    const files = { "north/a.csv": sheet, "south/b.csv": sheet };
    expect(await takeIn(book, input(files), options)).toEqual({
      troubles: [{ code: "flocks_unclear", kind: "gaits", folders: ["north", "south"] }],
    });
    expect(await book.rows("SELECT source_id FROM intake.source")).toEqual([]);
    await takeIn(book, input(files, { "": 'flocks = "by_folder"' }), options);
    expect(await book.rows("SELECT flock, animal FROM herd.animal ORDER BY flock")).toEqual([
      { flock: "north", animal: "1" },
      { flock: "south", animal: "1" },
    ]);
  });

  it("a folder with settings of its own is a flock, on top of those above it", async () => {
    await takeIn(
      book,
      input(
        { "north/a.csv": sheet, "b.csv": sheet },
        { "": 'id = "home"\ntrim_to_mm = 4', north: 'name = "North"\nretrim_at_mm = 8' },
      ),
      options,
    );
    const flocks = await book.rows<{ flock: string; settings: string }>(
      "SELECT flock, settings FROM herd.flock ORDER BY flock",
    );
    expect(flocks.map(({ flock, settings }) => [flock, JSON.parse(settings)])).toMatchObject([
      ["home", { trim_to_mm: 4, retrim_at_mm: 9.5 }],
      ["north", { trim_to_mm: 4, retrim_at_mm: 8, name: "North" }],
    ]);
  });

  it("a sheet that comes alone joins the only flock of the book", async () => {
    await takeIn(book, input({ "a.csv": sheet }, { "": 'id = "home"' }), options);
    await takeIn(
      book,
      input({ "b.csv": lines("animal,date,gait,gait scale", "2,2024-03-09,1,1-5") }),
      options,
    );
    expect(await book.rows("SELECT DISTINCT flock FROM herd.gait")).toEqual([{ flock: "home" }]);
  });

  it("reserved names, broken settings and no sheets at all make the call unusable", async () => {
    expect(await takeIn(book, input({ "all/a.csv": sheet }, { all: 'name = "All"' }), options)).toMatchObject(
      {
        troubles: [{ code: "reserved_flock", name: "all" }],
      },
    );
    expect(await takeIn(book, input({ "a.csv": sheet }, { "": "day_frist = true" }), options)).toMatchObject({
      troubles: [{ code: "settings", file: "flock.toml", key: "day_frist" }],
    });
    expect(await takeIn(book, input({}), options)).toEqual({ troubles: [{ code: "nothing_given" }] });
  });
});

it("what cannot be read at all is set aside as a sheet, with why", async () => {
  await takeIn(book, input({ "a.csv": "", "b.csv": goats }), options);
  expect(await setAsideOf(book)).toEqual(["a.csv 0 - -: empty_file (sheet)"]);
});
