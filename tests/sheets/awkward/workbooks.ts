import type { AwkwardFile } from "../awkward-file.ts";

export const awkwardWorkbooks: readonly AwkwardFile[] = [
  {
    file: "days-from-1900.xlsx",
    odd: "every kind of date format, the day that never was, and numbers that are no day",
    tables: [
      {
        worksheet: "Sheet1",
        hidden: false,
        format: "xlsx",
        encoding: null,
        rows: [
          [
            1,
            "1900-01-00",
            "1900-01-01",
            "1900-02-28",
            "1900-02-29",
            "1900-03-01",
            "2008-01-01",
            "9999-12-31",
            "2958466",
            "-1",
          ],
          [
            2,
            "2008-01-01T14:30:00",
            "2008-01-01T14:30:00",
            "07:30",
            "26:30",
            "2008-01-01",
            "2008-01-01",
            "39448",
            "2008-01-02",
          ],
        ],
        notes: [["date_out_of_range", 1, 8, 2, "2958466"]],
      },
    ],
  },
  {
    file: "days-from-1904.xlsx",
    odd: "days counted from 1904; the same number without a date format stays a number",
    tables: [{ rows: [[1, "1904-01-01", "2011-07-05", "39267"]], notes: [["dates_from_1904", 1, 1, 2]] }],
  },
  {
    file: "percentages.xlsx",
    odd: "shares shown as percent, and one format that only writes the sign",
    tables: [
      {
        rows: [[1, "14%", "7%", "100%", "-12.5%", "0.05%", "0.14"]],
        notes: [["number_format_words", 1, 6, 1, "%"]],
      },
    ],
  },
  {
    file: "numbers-in-full.xlsx",
    odd: "numbers stored with seventeen digits, with exponents, and whole ones past what a spreadsheet keeps",
    tables: [
      {
        rows: [
          [1, "982000123456789", "0.1", "31.7", "982000123456789000", "98200012345678901", "-0.001", "1.5"],
        ],
        notes: [["digits_lost", 1, 4, 2, "982000123456789000"]],
      },
    ],
  },
  {
    file: "units-in-number-format.xlsx",
    odd: "the unit stands in the number format, not in the cell; a currency sign is none",
    tables: [
      {
        rows: [
          [1, "31.5", "1.375", "12"],
          [2, "30", "1.5", "12"],
        ],
        notes: [
          ["number_format_words", 1, 1, 2, "mm"],
          ["number_format_words", 1, 2, 2, '"'],
        ],
      },
    ],
  },
  {
    file: "text-of-every-kind.xlsx",
    odd: "shared, rich, inline and formula text, phonetic text, booleans, an error, an ISO date, escapes, CDATA",
    tables: [
      {
        rows: [
          [
            1,
            "plain",
            "rich ",
            "in line",
            "plainx",
            "TRUE",
            "FALSE",
            "#N/A",
            "2024-03-01",
            "a\r\nb <_x0041_> <&c",
            "2",
          ],
        ],
      },
    ],
  },
  {
    file: "formula-without-result.xlsx",
    odd: "formulas saved by a program that does not compute them",
    tables: [
      {
        rows: [
          [1, "toe"],
          [2, "", "5"],
        ],
        notes: [["formula_without_value", 2, 1, 2]],
      },
    ],
  },
  {
    file: "merged.xlsx",
    odd: "merged cells that still hold values nobody sees",
    tables: [
      {
        rows: [
          [1, "Spring"],
          [2, "animal", "note"],
          [3, "AB1", "x"],
          [4, "", "y"],
        ],
        notes: [
          ["merged_cells", 1, 1, 2, "A1:B1"],
          ["covered_values", 1, 2, 2],
        ],
      },
    ],
  },
  {
    file: "hidden-worksheets.xlsx",
    odd: "two hidden worksheets, one empty one, a reference in a name",
    tables: [
      { worksheet: "Trims & Co", hidden: false, rows: [[1, "seen"]] },
      { worksheet: "Old", hidden: true, rows: [[1, "hidden"]] },
      { worksheet: "Older", hidden: true, rows: [[1, "very"]] },
      { worksheet: "Empty", hidden: false, rows: [] },
    ],
  },
  {
    file: "hidden-rows.xlsx",
    odd: "a row hidden by a filter is read like any other",
    tables: [
      {
        rows: [
          [1, "animal"],
          [2, "AB1"],
          [3, "AB2"],
        ],
        notes: [["hidden_rows", 2, null, 1]],
      },
    ],
  },
  {
    file: "hidden-columns.xlsx",
    odd: "two hidden columns are read like any other",
    tables: [{ rows: [[1, "animal", "toe", "", "note"]], notes: [["hidden_columns", null, 2, 2]] }],
  },
  {
    file: "rows-far-apart.xlsx",
    odd: "the first cell far from A1, the last in the last corner of a worksheet",
    tables: [
      {
        rows: [
          [3, "", "", "animal"],
          [1_048_576, ...new Array<string>(16_383).fill(""), "end"],
        ],
      },
    ],
  },
  {
    file: "no-references.xlsx",
    odd: "rows and cells that do not say where they stand",
    tables: [
      {
        rows: [
          [1, "1", "a"],
          [2, "2"],
        ],
      },
    ],
  },
  {
    file: "rows-out-of-order.xlsx",
    odd: "rows and cells out of order, one row in two parts",
    tables: [
      {
        rows: [
          [1, "animal", "note"],
          [2, "AB1", "x"],
        ],
      },
    ],
  },
  { file: "strict-format.xlsx", odd: "the strict kind of the format", tables: [{ rows: [[1, "strict"]] }] },
  { file: "prefixed-names.xlsx", odd: "every XML name has a prefix", tables: [{ rows: [[1, "prefixed"]] }] },
  {
    file: "absolute-targets.xlsx",
    odd: "parts named from the root and in other letter case",
    tables: [{ rows: [[1, "absolute"]] }],
  },
  { file: "worksheet-in-utf-16.xlsx", odd: "a part in UTF-16", tables: [{ rows: [[1, "sechzehn"]] }] },
  {
    file: "path-out-of-archive.xlsx",
    odd: "a worksheet's path climbs out of the archive",
    tables: [{ worksheet: "Sheet2", rows: [[1, "fine"]] }],
    troubles: [{ code: "broken_workbook", worksheet: "Sheet1", detail: "missing part" }],
  },
  {
    file: "worksheet-elsewhere.xlsx",
    odd: "a worksheet outside of the workbook",
    troubles: [{ code: "broken_workbook", worksheet: "Sheet1", detail: "missing part" }],
  },
  {
    file: "entities.xlsx",
    odd: "a document type with entities in entities",
    troubles: [{ code: "broken_workbook", worksheet: "Sheet1", detail: "xml document type" }],
  },
  {
    file: "unknown-entity.xlsx",
    odd: "an entity that nothing declares",
    troubles: [{ code: "broken_workbook", worksheet: "Sheet1", detail: "xml entity" }],
  },
  {
    file: "worksheet-breaks-off.xlsx",
    odd: "a worksheet that breaks off is not read at all, the next one is",
    tables: [{ worksheet: "Sheet2", rows: [[1, "fine"]] }],
    troubles: [{ code: "broken_workbook", worksheet: "Sheet1", detail: "xml end" }],
  },
  {
    file: "shared-text-missing.xlsx",
    odd: "a cell refers to a text that is not there",
    troubles: [{ code: "broken_workbook", worksheet: "Sheet1", detail: "shared text" }],
  },
  { file: "chart-worksheet.xlsx", odd: "a sheet that is a chart", tables: [{ rows: [[1, "cells"]] }] },
  { file: "all-empty.xlsx", odd: "worksheets without any value", troubles: [{ code: "empty_file" }] },
  {
    file: "cut-short.xlsx",
    odd: "half of a workbook",
    troubles: [{ code: "broken_workbook", detail: "zip directory" }],
  },
  {
    file: "damaged-byte.xlsx",
    odd: "one bit of a worksheet is wrong",
    troubles: [{ code: "broken_workbook", worksheet: "Sheet1" }],
  },
];
