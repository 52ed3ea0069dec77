import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { describeUnderstanding } from "../../src/intake/describe-understanding.ts";
import { readRecords } from "../../src/intake/read-records.ts";
import { understandTable } from "../../src/intake/understand-table.ts";
import { readCodes } from "../../src/records/codes.ts";
import { kindIds, kinds } from "../../src/records/kinds.ts";
import { defaultSettings, type Settings } from "../../src/records/settings.ts";
import { contextOf, readPlain, sumsHold, tableOf } from "./table-of.ts";

const headers = fc.oneof(
  fc.constantFrom(
    ...kindIds.flatMap((kind) =>
      kinds[kind].columns.flatMap(({ name, headers: words }) => [name, ...words.en, ...words.es]),
    ),
  ),
  fc.constantFrom(
    "LF inner before (in)",
    "RH out",
    "LF",
    "2024-01-05",
    "3/4/2024",
    "x",
    "",
    "A1",
    "before (mm)",
    "gait (0-4)",
  ),
);
const cells = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.constantFrom(
      "A1",
      "A2",
      "2024-01-05",
      "13/4/2024",
      "3/4/24",
      "40",
      "1 3/8",
      "1,5",
      "x",
      "no",
      "LF",
      "inner",
      "scald?",
      "no rot",
      "",
      "all",
      "limping",
      "P1",
    ),
  },
  { weight: 1, arbitrary: fc.string({ maxLength: 12 }) },
);
const settings: fc.Arbitrary<Partial<Settings>> = fc.record(
  {
    day_first: fc.boolean(),
    units: fc.constantFrom("mm", "in"),
    expand_groups: fc.boolean(),
    sheet_is_animal: fc.boolean(),
    fill_down: fc.constantFrom([], ["date"], ["animal", "date"]),
    gait_scale: fc.constantFrom("1-5", "0-4"),
    kinds: fc.constantFrom(...kindIds).map((kind) => ({ "sheet.csv": kind })),
  },
  { requiredKeys: [] },
);

/** The needed columns of some kind, and anything beside them. */
const headerRows = fc
  .tuple(fc.constantFrom(...kindIds), fc.array(headers, { maxLength: 4 }))
  .chain(([kind, others]) => {
    const needed = kinds[kind].columns.filter(({ required }) => required).map(({ name }) => name);
    return fc.shuffledSubarray([...needed, ...others], {
      minLength: Math.min(1, needed.length + others.length),
    });
  });

const tables = headerRows.chain((header) =>
  fc.tuple(
    fc.array(fc.array(cells, { maxLength: 2 }), { maxLength: 2 }),
    fc.constant(header),
    fc.array(fc.array(cells, { maxLength: header.length + 1 }), { minLength: 1, maxLength: 8 }),
  ),
);

describe("any cells at all", () => {
  it("are understood or asked about, and every record is taken or set aside once", () => {
    let understood = 0;
    fc.assert(
      fc.property(tables, settings, ([titles, header, rows], set) => {
        const table = tableOf([...titles, header, ...rows], { rowsABatch: 3 });
        const context = contextOf({
          set: { ...defaultSettings, ...set },
          knownAnimals: new Set(["A1", "A2"]),
        });
        const understanding = understandTable(table, context);
        if ("reason" in understanding) {
          expect(readCodes(understanding.reason)).toHaveLength(1);
          return;
        }
        understood++;
        const reading = readPlain(table, context);
        expect(sumsHold(reading)).toBe(true);
        for (const { reason, value } of reading.troubles) {
          expect(readCodes(reason)).toHaveLength(1);
          expect(typeof value).toBe("string");
        }
        for (const batch of readRecords(table, understanding, context)) {
          for (const { size, columns } of batch.records) {
            for (const { values } of columns) expect(values).toHaveLength(size);
          }
        }
        expect(JSON.parse(JSON.stringify(understanding))).toEqual(understanding);
        describeUnderstanding(understanding, "en");
      }),
      { numRuns: 300 },
    );
    // the property would be empty if nothing were ever understood
    expect(understood).toBeGreaterThan(30);
  });
});
