import type { AwkwardFile } from "../awkward-file.ts";

export const awkwardJsonFiles: readonly AwkwardFile[] = [
  {
    file: "objects.json",
    odd: "true, null, a number with a closing zero, an object and a list in a row",
    tables: [
      {
        format: "json",
        worksheet: null,
        rows: [
          [1, "animal", "toe", "ok", "note", "sides LF", "sides RF"],
          [2, "AB1", "31.50", "true", ""],
          [3, "AB2", "", "", "", "1", "2; 3"],
        ],
      },
    ],
  },
  {
    file: "lists-of-claws.json",
    odd: "the claws of a visit as a list of objects, with a remark of their own; a visit without claws",
    tables: [
      {
        rows: [
          [1, "animal", "date", "note", "foot", "toe", "claws note"],
          [2, "AB1", "2024-03-09", "calm", "LF", "31.5"],
          [3, "AB1", "2024-03-09", "calm", "RF", "30.0", "split"],
          [4, "AB2", "2024-03-10", ""],
        ],
      },
    ],
  },
  {
    file: "objects-on-end-with-lists.json",
    odd: "visits over several lines, one after another, each with a list",
    tables: [
      {
        rows: [
          [1, "animal", "foot"],
          [2, "AB1", "LF"],
          [3, "AB1", "RF"],
          [4, "AB2", "LH"],
        ],
      },
    ],
  },
  {
    file: "two-lists.json",
    odd: "two lists of objects side by side in one row, a list of lists in another",
    tables: [
      {
        rows: [
          [1, "animal", "claws", "found", "sides"],
          [2, "AB1", '[{"foot":"LF"}]', '[{"what":"scald"}]'],
          [3, "AB2", "", "", "[[1,2]]"],
        ],
      },
    ],
    troubles: [
      { code: "nested_values", row: 2, detail: "claws" },
      { code: "nested_values", row: 2, detail: "found" },
      { code: "nested_values", row: 3, detail: "sides" },
    ],
  },
  {
    file: "late-keys.json",
    odd: "keys that only later objects have; escapes",
    tables: [
      {
        rows: [
          [1, "b", "a", "c"],
          [2, "1"],
          [3, "3", "2"],
          [4, "", "", "x\né"],
        ],
      },
    ],
  },
  {
    file: "object-with-one-array.json",
    odd: "the array sits under a key, a value of its own beside it",
    tables: [
      {
        worksheet: "trims",
        rows: [
          [1, "animal"],
          [2, "AB1"],
        ],
        notes: [["other_members", null, null, 1, "flock"]],
      },
    ],
  },
  {
    file: "object-with-arrays.json",
    odd: "two arrays under keys, one of them deeper",
    tables: [
      {
        worksheet: "trims",
        rows: [
          [1, "animal"],
          [2, "AB1"],
        ],
        notes: [["other_members", null, null, 1, "made.by"]],
      },
      {
        worksheet: "made.animals",
        rows: [
          [1, "animal", "born"],
          [2, "AB1", "2019"],
        ],
        notes: [["other_members", null, null, 1, "made.by"]],
      },
    ],
  },
  {
    file: "arrays.json",
    odd: "arrays for rows, the first a header of their own",
    tables: [
      {
        rows: [
          [1, "animal", "toe"],
          [2, "AB1", "31.5"],
          [4, "AB2", ""],
        ],
      },
    ],
  },
  {
    file: "digits.json",
    odd: "more digits than a number holds, a closing zero, an exponent, NaN",
    tables: [
      {
        rows: [
          [1, "tag", "toe", "share", "gap"],
          [2, "982000123456789012345", "0.10", "1e-3", "NaN"],
        ],
      },
    ],
  },
  {
    file: "repeated-key.json",
    odd: "one key twice in an object",
    tables: [
      {
        rows: [
          [1, "animal"],
          [2, "AB2"],
        ],
        notes: [["repeated_key", 2, null, 1, "animal"]],
      },
    ],
  },
  {
    file: "odd-element.json",
    odd: "a number and a null among the objects",
    tables: [
      {
        rows: [
          [1, "animal"],
          [2, "AB1"],
          [5, "AB2"],
        ],
      },
    ],
    troubles: [{ code: "broken_json", row: 3, detail: "row" }],
  },
  {
    file: "objects-on-end.json",
    odd: "objects over several lines, one after another, in no array",
    tables: [
      {
        rows: [
          [1, "animal"],
          [2, "AB1"],
          [3, "AB2"],
        ],
      },
    ],
  },
  {
    file: "lines.ndjson",
    odd: "a blank line between the lines of JSON",
    tables: [
      {
        format: "ndjson",
        rows: [
          [1, "animal", "toe", "note"],
          [2, "AB1", "31.5"],
          [4, "AB2", "", "x"],
        ],
      },
    ],
  },
  {
    file: "lines-one-broken.ndjson",
    odd: "one line breaks off",
    tables: [
      {
        format: "ndjson",
        rows: [
          [1, "animal"],
          [2, "AB1"],
          [4, "AB3"],
        ],
      },
    ],
    troubles: [{ code: "broken_json", row: 3 }],
  },
  { file: "breaks-off.json", odd: "a document cut short", troubles: [{ code: "broken_json" }] },
  {
    file: "nested-deep.json",
    odd: "two hundred arrays in one another",
    troubles: [{ code: "json_too_deep" }],
  },
  { file: "numbers-only.json", odd: "no rows in it", troubles: [{ code: "not_a_sheet", detail: "json" }] },
];
