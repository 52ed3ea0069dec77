import type { AwkwardFile } from "../awkward-file.ts";

/** Three rows that many of the files hold, so that the oddity alone differs. */
const plainRows = [
  [1, "animal", "date", "note"],
  [2, "AB1", "2024-03-01", "sound"],
  [3, "AB2", "2024-03-02", "lame"],
] as const;

const utf16Rows = [
  [1, "animal", "date", "note"],
  [2, "Ñandú", "2024-03-01", "3 µm – fine"],
] as const;

export const awkwardDelimitedFiles: readonly AwkwardFile[] = [
  {
    file: "mark-utf-8.csv",
    odd: "a byte order mark before the first header",
    tables: [{ format: "csv", encoding: "utf-8", worksheet: null, hidden: false, rows: plainRows }],
  },
  {
    file: "utf-16-little-marked.txt",
    odd: "UTF-16, little end first, tabs",
    tables: [{ format: "tsv", encoding: "utf-16le", rows: utf16Rows }],
  },
  {
    file: "utf-16-big-marked.txt",
    odd: "UTF-16, big end first, tabs",
    tables: [{ format: "tsv", encoding: "utf-16be", rows: utf16Rows }],
  },
  {
    file: "utf-16-little-unmarked.txt",
    odd: "UTF-16, little end first, without a mark",
    tables: [{ format: "tsv", encoding: "utf-16le", rows: utf16Rows }],
  },
  {
    file: "utf-16-big-unmarked.txt",
    odd: "UTF-16, big end first, without a mark",
    tables: [{ format: "tsv", encoding: "utf-16be", rows: utf16Rows }],
  },
  {
    file: "windows-1252.csv",
    odd: "Windows-1252 with curly quotes, a dash, the euro and a fraction",
    tables: [
      {
        format: "semicolon",
        encoding: "windows-1252",
        rows: [
          [1, "animal", "nota", "medida"],
          [2, "Cabra Ñ", "“coja” – 2 €", "3½ µm"],
        ],
      },
    ],
  },
  {
    file: "windows-1252-undefined-bytes.csv",
    odd: "all five bytes that Windows-1252 leaves undefined",
    tables: [
      {
        encoding: "windows-1252",
        rows: [
          [1, "animal", "note"],
          [2, "AB1", "café \u0081\u008d\u008f\u0090\u009d."],
        ],
      },
    ],
  },
  {
    file: "two-encodings.csv",
    odd: "one line in Windows-1252 among lines in UTF-8",
    tables: [
      {
        encoding: "utf-8",
        rows: [
          [1, "animal", "note"],
          [2, "AB1", "señal"],
          [3, "AB2", "añadir más"],
          [4, "AB3", "coja año"],
          [5, "AB4", "café"],
        ],
        notes: [["mixed_encoding", 4, null, 1]],
      },
    ],
  },
  {
    file: "semicolons-decimal-commas.csv",
    odd: "as many decimal commas as semicolons",
    tables: [
      {
        format: "semicolon",
        rows: [
          [1, "animal", "toe_mm", "heel_mm"],
          [2, "AB1", "31,5", "12,0"],
          [3, "AB2", "30,25", "11,5"],
        ],
      },
    ],
  },
  {
    file: "semicolons-decimal-commas-no-header.csv",
    odd: "numbers only: more decimal commas than semicolons in every line",
    tables: [
      {
        format: "semicolon",
        rows: [
          [1, "31,5", "12,0", "8,5"],
          [2, "30,25", "11,5", "9,0"],
        ],
      },
    ],
  },
  {
    file: "semicolons-comma-in-header.csv",
    odd: "exactly one comma in every line, the header's before a unit",
    tables: [
      {
        format: "semicolon",
        rows: [
          [1, "Tier", "Datum", "Länge, mm"],
          [2, "AB1", "01.03.2024", "31,5"],
          [3, "AB2", "02.03.2024", "30,0"],
        ],
      },
    ],
  },
  {
    file: "commas-semicolons-in-remarks.csv",
    odd: "semicolons between lesions in a comma file",
    tables: [
      {
        format: "csv",
        rows: [
          [1, "animal", "date", "lesion"],
          [2, "AB1", "2024-03-01", "white line; crack"],
          [3, "AB2", "2024-03-02", "none"],
          [4, "AB3", "2024-03-02", "sore; smell; swollen"],
        ],
      },
    ],
  },
  {
    file: "tabs-named-csv.csv",
    odd: "tabs, whatever the name says",
    tables: [
      {
        format: "tsv",
        rows: [
          [1, "animal", "note"],
          [2, "AB1", "sound, calm"],
          [3, "AB2", "lame; hind"],
        ],
      },
    ],
  },
  {
    file: "pipes.csv",
    odd: "pipes, with commas and semicolons in the remarks",
    tables: [
      {
        format: "pipe",
        rows: [
          [1, "animal", "date", "note"],
          [2, "AB1", "2024-03-01", "a, b"],
          [3, "AB2", "2024-03-02", "c; d"],
        ],
      },
    ],
  },
  {
    file: "separator-line.csv",
    odd: "a sep= line, which spreadsheets swallow and do not count",
    tables: [
      {
        format: "semicolon",
        rows: [
          [1, "animal", "note"],
          [2, "AB1", "a, b"],
        ],
        notes: [["separator_line", null, null, 1, ";"]],
      },
    ],
  },
  {
    file: "separator-line-quoted.csv",
    odd: "a sep= line in quotes",
    tables: [
      {
        format: "pipe",
        rows: [
          [1, "animal", "note"],
          [2, "AB1", "x"],
        ],
        notes: [["separator_line", null, null, 1, "|"]],
      },
    ],
  },
  {
    file: "one-column.csv",
    odd: "a single column; a comma in one remark",
    tables: [
      {
        format: "csv",
        rows: [
          [1, "animal"],
          [2, "AB1"],
          [3, "AB2", " the old one"],
          [4, "AB3"],
        ],
      },
    ],
  },
  { file: "carriage-returns-only.csv", odd: "lines end in CR alone", tables: [{ rows: plainRows }] },
  {
    file: "line-ends-mixed.csv",
    odd: "CRLF, CR and LF in one file",
    tables: [
      {
        rows: [
          [1, "animal", "note"],
          [2, "AB1", "a"],
          [3, "AB2", "b"],
          [4, "AB3", "c"],
        ],
      },
    ],
  },
  { file: "no-last-line-end.csv", odd: "the last line has no end", tables: [{ rows: plainRows }] },
  {
    file: "blank-lines.csv",
    odd: "blank lines, and one of delimiters alone: left out, their numbers used",
    tables: [
      {
        rows: [
          [3, "animal", "note"],
          [5, "AB1", "a"],
          [8, "AB2", "b"],
        ],
      },
    ],
  },
  {
    file: "titles-above.csv",
    odd: "title lines above the header, a total below",
    tables: [
      {
        format: "csv",
        rows: [
          [1, "Hoof trims of the spring", "", ""],
          [2, "printed 2024-05-01"],
          [4, "animal", "date", "note"],
          [5, "AB1", "2024-03-01", "ok"],
          [6, "Total", "1"],
        ],
      },
    ],
  },
  {
    file: "ragged.csv",
    odd: "rows shorter and longer than the header",
    tables: [
      {
        rows: [
          [1, "animal", "date", "note"],
          [2, "AB1"],
          [3, "AB2", "2024-03-01", "a", "b", "c"],
          [4, "AB3", "2024-03-01", ""],
        ],
      },
    ],
  },
  { file: "dos-end-mark.csv", odd: "a control-Z at the end", tables: [{ rows: plainRows }] },
  { file: "nul-padded.csv", odd: "filled up with zero bytes after a crash", tables: [{ rows: plainRows }] },
  {
    file: "nul-inside.csv",
    odd: "zero bytes inside cells",
    tables: [
      {
        rows: [
          [1, "animal", "note"],
          [2, "AB1", "sound"],
          [3, "AB2", "lame"],
        ],
        notes: [["nul_characters_removed", 2, null, 3]],
      },
    ],
  },
  {
    file: "quotes-doubled.csv",
    odd: "doubled quotes, a cell that is one quote, an empty quoted cell",
    tables: [
      {
        rows: [
          [1, "animal", "note"],
          [2, "AB1", 'the "old" doe'],
          [3, "AB2", '"'],
          [4, "AB3", ""],
        ],
      },
    ],
  },
  {
    file: "line-breaks-in-quotes.csv",
    odd: "a remark of three lines is one row of a spreadsheet",
    tables: [
      {
        rows: [
          [1, "animal", "note"],
          [2, "AB1", "first line\nsecond, line\r\nthird"],
          [3, "AB2", "plain"],
        ],
      },
    ],
  },
  {
    file: "quote-in-unquoted-cell.csv",
    odd: "inch marks in cells without quotes",
    tables: [
      {
        rows: [
          [1, "animal", "toe", "note"],
          [2, "AB1", '1 3/8"', "fine"],
          [3, "AB2", '1 1/2"', '5" long'],
        ],
      },
    ],
  },
  {
    file: "single-quote-in-quoted-cell.csv",
    odd: "quotes not doubled inside quoted cells: the first can be read, the second only guessed",
    tables: [
      {
        rows: [
          [1, "animal", "note", "day"],
          [2, "AB1", '3" toe', "1"],
          [3, "AB2", 'said "stop', ' twice"', "2"],
        ],
        notes: [["stray_quotes", 2, null, 2]],
      },
    ],
  },
  {
    file: "spaces-around-quotes.csv",
    odd: "spaces before and after quoted cells",
    tables: [
      {
        rows: [
          [1, "animal", " note", " day"],
          [2, "AB1", "sound, calm", " 1"],
          [3, "AB2", ' 5" long', " 2"],
        ],
      },
    ],
  },
  {
    file: "quote-never-closed.csv",
    odd: "a quote that opens and never closes, no quote after it",
    tables: [
      {
        rows: [
          [1, "animal", "note", "day"],
          [2, "AB1", "sound", "1"],
          [3, "AB2", '"lame hind', "2"],
          [4, "AB3", "sound", "3"],
        ],
      },
    ],
    troubles: [{ code: "unclosed_quote", row: 3 }],
  },
  {
    file: "quote-never-closed-then-quoted.csv",
    odd: "a quote that never closes, before lines with quoted cells of their own",
    tables: [
      {
        rows: [
          [1, "animal", "note", "day"],
          [2, "AB1", "sound, calm", "1"],
          [3, "AB2", '"lame', " hind", "2"],
          [4, "AB3", "sound, calm", "3"],
        ],
      },
    ],
    troubles: [{ code: "unclosed_quote", row: 3 }],
  },
  {
    file: "quotes-never-closed-twice.csv",
    odd: "two quotes that never close, in lines apart",
    tables: [
      {
        rows: [
          [1, "animal", "note"],
          [2, "AB1", '"one'],
          [3, "AB2", "fine"],
          [4, "AB3", '"three'],
          [5, "AB4", "fine"],
        ],
      },
    ],
    troubles: [
      { code: "unclosed_quote", row: 2 },
      { code: "unclosed_quote", row: 4 },
    ],
  },
  {
    file: "ear-tags-in-scientific-notation.csv",
    odd: "fifteen-digit tags that a spreadsheet has cut to three digits; 1.5E+01 lost none",
    tables: [
      {
        rows: [
          [1, "animal", "weight"],
          [2, "9.82E+14", "45"],
          [3, "9.82E+14", "1.5E+01"],
        ],
        notes: [["digits_lost", 2, null, 2, "9.82E+14"]],
      },
    ],
  },
  {
    file: "brackets.csv",
    odd: "starts like a JSON array and is none",
    tables: [
      {
        format: "csv",
        rows: [
          [1, "[animal]", "[date]"],
          [2, "AB1", "2024-03-01"],
        ],
      },
    ],
  },
  { file: "packed.csv.gz", odd: "gzip", tables: [{ format: "csv", rows: plainRows }] },
  { file: "packed-named-plain.csv", odd: "gzip that its name does not tell", tables: [{ rows: plainRows }] },
  {
    file: "packed-in-two-members.csv.gz",
    odd: "two gzip members one after the other",
    tables: [{ rows: [...plainRows, [4, "AB3", "2024-03-03", "sound"]] }],
  },
];
