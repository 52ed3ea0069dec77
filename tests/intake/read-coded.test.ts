import fc from "fast-check";
import { expect, test } from "vitest";
import { readRecords } from "../../src/intake/read-records.ts";
import type { ReadBatch } from "../../src/intake/reading.ts";
import { understandTable } from "../../src/intake/understand-table.ts";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import { writeDelimited } from "../../src/sheets/write-delimited.ts";
import { contextOf } from "./table-of.ts";

const header = [
  "animal",
  "date",
  "foot",
  "claw",
  "toe_before_mm",
  "toe_after_mm",
  "trimmed",
  "bled",
  "trimmer",
  "note",
];
const cell = (...texts: string[]): fc.Arbitrary<string> =>
  fc.oneof(
    { weight: 12, arbitrary: fc.constantFrom(...texts) },
    {
      weight: 1,
      arbitrary: fc.constantFrom("", "-", "?", 'a"b', "x,y", "back\\slash", "two\nlines", "\ud800"),
    },
  );
const row = fc.oneof(
  {
    weight: 12,
    arbitrary: fc.tuple(
      cell("G1", "g2 ", "007", "all", "12-14"),
      cell("2024-03-05", "5.3.2024", "2024-13-05", "45000"),
      cell("LF", "RF", "left hind", "LF inner", "both fronts"),
      cell("inner", "outer", "outer"),
      cell("41", "41,5", "1 5/8 in", "4000", "forty"),
      cell("38", "38.5", "", ""),
      cell("yes", "no", "", "x"),
      cell("no", "", "yes"),
      cell("Ana", "Ben"),
      cell("", "", "limping", "soft", "not trimmed", "blisters at the mouth"),
    ),
  },
  {
    weight: 1,
    arbitrary: fc.constantFrom(
      header,
      ["Total", "", "", "", "812"],
      ["G1"],
      ["G1", "2024-03-05", "LF", "", "40", "", "", "", "", "", "more"],
      [""],
    ),
  },
);

test("rows read by the numbers of their texts give what they give one by one", () => {
  fc.assert(
    fc.property(fc.array(row, { minLength: 1, maxLength: 40 }), fc.boolean(), (rows, expands) => {
      const bytes = new TextEncoder().encode(writeDelimited([header, ...rows], { delimiter: "," }));
      const table = readSheets("trims.csv", bytes).tables[0]!;
      const context = contextOf({ set: { expand_groups: expands } });
      const understanding = understandTable(table, context);
      if ("reason" in understanding) return;
      const { codedRows: _, ...rowByRow } = table;
      const together = [...readRecords(table, understanding, context)];
      expect(together.some(({ rawLines }) => rawLines !== undefined)).toBe(true);
      expect(told(together)).toEqual(told([...readRecords(rowByRow, understanding, context)]));
    }),
    { numRuns: 50, seed: 7 },
  );
});

/** All that batches hold, however they are cut. */
function told(batches: readonly ReadBatch[]) {
  const raw = batches.flatMap(({ rawRowNo, rawCells, rawLines }) => [
    ...rawCells.map((cells, i) => ({ row: rawRowNo[i]!, json: JSON.stringify(cells) })),
    ...(rawLines?.text.split("\n") ?? []).flatMap((line, i) =>
      line === ""
        ? []
        : [{ row: rawLines!.firstRow + i, json: `["${line.replaceAll(rawLines!.delimiter, '","')}"]` }],
    ),
  ]);
  const records = batches.flatMap((batch) =>
    batch.records.flatMap(({ kind, size, rowNo, part, columns }) =>
      Array.from({ length: size }, (_, i) => ({
        kind,
        row: rowNo[i],
        part: part[i],
        cells: Object.fromEntries(
          columns
            .map(({ name, values }) => [name, values[i] ?? null] as const)
            .filter(([, value]) => value !== null && !Number.isNaN(value)),
        ),
      })),
    ),
  );
  return {
    raw: raw.sort((a, b) => a.row - b.row),
    records,
    read: batches.reduce((sum, { read }) => sum + (read.trims ?? 0), 0),
    troubles: batches.flatMap(({ troubles }) => troubles),
    remarks: batches.flatMap(({ remarks }) => remarks),
    unmapped: batches.flatMap(({ unmapped }) => unmapped),
  };
}
