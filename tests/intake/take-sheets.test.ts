import fc from "fast-check";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { undo } from "../../src/intake/undo.ts";
import { emptyTables, type HandMadeRecord, type HandMadeSheet, takeHandMade } from "./hand-made-sheets.ts";
import { openTestBook } from "./open-test-book.ts";
import { derivedTables, setAsideOf } from "./set-aside-of.ts";

let book: Book;
beforeEach(async () => {
  book = await openTestBook();
  await emptyTables(book);
});
afterEach(() => book.close());

const trims = (file: string, records: readonly HandMadeRecord[]): HandMadeSheet => ({
  file,
  kind: "trims",
  records,
});
const dated = (animal: string, date: string, toe: number): HandMadeRecord => ({
  animal,
  date,
  foot: "LF",
  claw: "inner",
  toe_before_mm: toe,
});

describe("versions of a sheet", () => {
  const first = [dated("A", "2024-01-01", 40), dated("B", "2024-01-01", 41), dated("C", "2024-01-01", 42)];
  const second = [
    dated("A", "2024-01-01", 40),
    dated("B", "2024-01-01", 44),
    dated("D", "2024-02-01", 43),
    dated("E", "2024-02-01", 43),
  ];

  it("equal bytes change nothing, other bytes are shown and taken with replace, undo brings the first back", async () => {
    await takeHandMade(book, [trims("t.csv", first)]);
    const before = await derivedTables(book, { sourceIds: true });

    const again = await takeHandMade(book, [trims("t.csv", first)]);
    expect(again).toMatchObject({ ingestId: null, sheets: [{ fate: "unchanged", sourceId: 1 }] });

    const shown = await takeHandMade(book, [trims("t.csv", second)]);
    // B and the third row say something else now, where they stand; one row more
    expect(shown).toMatchObject({
      ingestId: null,
      sheets: [{ fate: "changed_not_taken", changes: { added: 1, changed: 2, gone: 0 } }],
    });
    expect(await derivedTables(book, { sourceIds: true })).toEqual(before);

    const replaced = await takeHandMade(book, [trims("t.csv", second)], { replace: true });
    expect(replaced).toMatchObject({ ingestId: 2, sheets: [{ fate: "replaced", sourceId: 2 }] });
    expect(
      await book.rows("SELECT animal, toe_before_mm AS toe FROM herd.claw_record ORDER BY animal"),
    ).toEqual([
      { animal: "A", toe: 40 },
      { animal: "B", toe: 44 },
      { animal: "D", toe: 43 },
      { animal: "E", toe: 43 },
    ]);

    expect(await undo(book, 2)).toBe(true);
    expect(await derivedTables(book, { sourceIds: true })).toEqual(before);
    expect(await undo(book, 2)).toBe(false);
  });

  it("a row taken out or put in does not make the rows below it changed", async () => {
    const rows = Array.from({ length: 8 }, (_, i) => dated(`G${i}`, "2024-01-01", 40 + i));
    await takeHandMade(book, [trims("t.csv", rows)]);
    const edited = [
      rows[0]!,
      ...rows.slice(2, 5),
      { ...rows[5]!, toe_before_mm: 50 },
      dated("N", "2024-01-01", 33),
      ...rows.slice(6),
    ];
    const { sheets } = await takeHandMade(book, [trims("t.csv", edited)]);
    expect(sheets[0]!.changes).toEqual({ added: 1, changed: 1, gone: 1 });
  });

  it("a worksheet that the replaced file no longer has is gone", async () => {
    const sheet = (worksheet: string, bytes: string, animal: string): HandMadeSheet => ({
      ...trims("b.xlsx", [dated(animal, "2024-01-01", 40)]),
      worksheet,
      bytes,
    });
    await takeHandMade(book, [sheet("one", "first", "A"), sheet("two", "first", "B")]);
    const taken = await takeHandMade(book, [sheet("one", "second", "A")], { replace: true });
    expect(taken.sheets.map(({ worksheet, fate, changes }) => [worksheet, fate, changes])).toEqual([
      ["one", "replaced", { added: 0, changed: 0, gone: 0 }],
      ["two", "gone", { added: 0, changed: 0, gone: 1 }],
    ]);
    expect(await book.rows("SELECT animal FROM herd.claw_record")).toEqual([{ animal: "A" }]);
  });

  it("what was set aside comes in when a later sheet makes it right", async () => {
    const animals = { file: "animals.csv", kind: "animals" as const, records: [{ animal: "A" }] };
    await takeHandMade(book, [animals, trims("t.csv", first)]);
    expect(await setAsideOf(book)).toEqual([
      "t.csv 3 trims animal: tag_unknown(–)",
      "t.csv 4 trims animal: tag_unknown(–)",
    ]);
    await takeHandMade(book, [
      { file: "more.csv", kind: "animals", records: [{ animal: "B" }, { animal: "C" }] },
    ]);
    expect(await setAsideOf(book)).toEqual([]);
    await undo(book, 2);
    expect(await setAsideOf(book)).toHaveLength(2);
  });

  it("settings that change what is made of equal bytes are taken", async () => {
    const animals = { file: "animals.csv", kind: "animals" as const, records: [{ animal: "A" }] };
    await takeHandMade(book, [animals, trims("t.csv", first)]);
    const taken = await takeHandMade(book, [animals], { settings: { unlisted_animals: "take" } });
    expect(taken).toMatchObject({ ingestId: 2, sheets: [{ fate: "unchanged" }] });
    expect(await setAsideOf(book)).toEqual([]);
    expect(
      (await takeHandMade(book, [animals], { settings: { unlisted_animals: "take" } })).ingestId,
    ).toBeNull();
  });
});

it("a fault of the readers' count stops the ingest and leaves the book as it was", async () => {
  await takeHandMade(book, [trims("t.csv", [dated("A", "2024-01-01", 40)])]);
  const before = await derivedTables(book, { sourceIds: true });
  const miscounted = { ...trims("u.csv", [dated("A", "2024-02-01", 41)]), claims: 2 };
  await expect(takeHandMade(book, [miscounted])).rejects.toThrow("do not add up");
  expect(await derivedTables(book, { sourceIds: true })).toEqual(before);
});

const animal = fc.constantFrom("A", "B", "C", "D", "X");
const day = fc.constantFrom(
  "2023-12-31",
  "2024-01-01",
  "2024-01-15",
  "2024-02-01",
  "2024-06-01",
  "2026-01-01",
);
const length = fc.constantFrom(null, 30, 38, 41, 160, 300);
const trimRecord = fc.record({
  animal,
  date: day,
  foot: fc.constantFrom(null, "LF", "RH"),
  claw: fc.constantFrom(null, "inner"),
  toe_before_mm: length,
  toe_after_mm: length,
  trimmed: fc.constantFrom(null, true, false),
});
const animalRecord = fc.record({
  animal,
  sex: fc.constantFrom(null, "female", "male"),
  born_earliest: fc.constantFrom(null, "2020-01-01", "2023-06-01"),
  sire: fc.constantFrom(null, "A", "B", "Z", "A / B"),
  dam: fc.constantFrom(null, "C", "D", "Y"),
  entered: fc.constantFrom(null, "2023-07-01", "2024-02-01"),
  left: fc.constantFrom(null, "2024-01-10"),
});
const gaitRecord = fc.record({
  animal,
  date: day,
  gait: fc.integer({ min: 0, max: 7 }),
  gait_scale: fc.constantFrom(null, "1-5", "0-4"),
});
const stayRecord = fc.record({
  animal,
  pen: fc.constantFrom("P", "Q"),
  from: day,
  to: fc.constantFrom(null, "2024-01-20", "2024-03-01"),
});

const sheetOf = (
  kind: HandMadeSheet["kind"],
  record: fc.Arbitrary<HandMadeRecord>,
): fc.Arbitrary<Omit<HandMadeSheet, "file">> =>
  fc
    .tuple(fc.array(record, { minLength: 1, maxLength: 12 }), fc.nat({ max: 3 }), fc.boolean())
    .map(([records, lost, wide]) => ({
      kind,
      records,
      // several records in one row, as wide sheets give them
      ...(wide ? { rows: records.map((_, i) => 2 + Math.floor(i / 3)) } : {}),
      troubles: Array.from({ length: lost }, (_, i) => ({
        rowNo: 2 + i,
        part: 100 + i,
        column: "date",
        value: "?",
        reason: "not_a_date",
        loses: "record" as const,
      })),
    }));

const sheets = fc
  .array(
    fc.oneof(
      sheetOf("trims", trimRecord),
      sheetOf("trims", trimRecord),
      sheetOf("animals", animalRecord),
      sheetOf("gaits", gaitRecord),
      sheetOf("stays", stayRecord),
    ),
    { minLength: 1, maxLength: 5 },
  )
  .map((all) => all.map((sheet, i): HandMadeSheet => ({ ...sheet, file: `${sheet.kind}-${i}.csv` })));

describe("whatever the sheets hold", () => {
  it("records add up, rows add up, and neither the order of files nor the number of ingests matters", async () => {
    await fc.assert(
      fc.asyncProperty(sheets, fc.nat(), async (all, turn) => {
        const other = await openTestBook();
        const fresh = await openTestBook();
        try {
          await emptyTables(fresh);
          await emptyTables(other);
          await takeHandMade(fresh, all);
          await addsUp(fresh, all);
          const split = turn % all.length;
          const turned = [...all.slice(split), ...all.slice(0, split)].reverse();
          await takeHandMade(other, turned.slice(0, 1));
          const before = await derivedTables(other, { sourceIds: true });
          if (turned.length > 1) {
            await takeHandMade(other, turned.slice(1));
            expect(await derivedTables(other, { sourceIds: false })).toEqual(
              await derivedTables(fresh, { sourceIds: false }),
            );
            await undo(other, 2);
            expect(await derivedTables(other, { sourceIds: true })).toEqual(before);
          }
        } finally {
          await other.close();
          await fresh.close();
        }
      }),
      { numRuns: 3 },
    );
  });
});

async function addsUp(held: Book, all: readonly HandMadeSheet[]): Promise<void> {
  const sums = await held.rows<Record<string, number> & { file: string }>(
    `SELECT s.file, r."read" AS records, taken, set_aside, repeats, rows_whole + rows_in_part + rows_none AS "rows"
     FROM intake.record_sum r JOIN intake.source s USING (source_id) ORDER BY s.file`,
  );
  for (const sheet of all) {
    const sum = sums.find(({ file }) => file === sheet.file)!;
    const lost = sheet.troubles ?? [];
    const rows = new Set([
      ...sheet.records.map((_, i) => sheet.rows?.[i] ?? i + 2),
      ...lost.map(({ rowNo }) => rowNo),
    ]);
    expect(sum.records).toBe(sheet.records.length + lost.length);
    expect(sum.taken! + sum.set_aside! + sum.repeats!).toBe(sum.records);
    expect(sum.rows).toBe(rows.size);
  }
  // every row of the herd leads back to a raw row
  const [strays] = await held.rows<{ n: number }>(
    `SELECT CAST(count(*) AS INTEGER) AS n FROM (
       SELECT source_id, row_no FROM herd.claw_record UNION ALL SELECT source_id, row_no FROM herd.animal
       UNION ALL SELECT source_id, row_no FROM herd.gait UNION ALL SELECT source_id, row_no FROM herd.stay
       UNION ALL SELECT source_id, row_no FROM herd.parent
     ) ANTI JOIN intake.raw_row USING (source_id, row_no)`,
  );
  expect(strays!.n).toBe(0);
}
