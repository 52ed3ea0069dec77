import type { AwkwardFile } from "../awkward-file.ts";

export const refusedFiles: readonly AwkwardFile[] = [
  { file: "empty.csv", odd: "no byte", troubles: [{ code: "empty_file" }] },
  { file: "blank-lines-only.csv", odd: "line ends and delimiters only", troubles: [{ code: "empty_file" }] },
  { file: "utf-32.csv", odd: "UTF-32", troubles: [{ code: "unreadable_file", detail: "utf-32" }] },
  { file: "picture.csv", odd: "a PNG picture", troubles: [{ code: "not_a_sheet", detail: "png" }] },
  { file: "document.csv", odd: "a PDF", troubles: [{ code: "not_a_sheet", detail: "pdf" }] },
  { file: "letter.csv", odd: "rich text", troubles: [{ code: "not_a_sheet", detail: "rtf" }] },
  {
    file: "page.xls",
    odd: "a web page with a table",
    troubles: [{ code: "not_a_sheet", detail: "web page" }],
  },
  { file: "noise.csv", odd: "bytes of no known kind", troubles: [{ code: "not_a_sheet", detail: "binary" }] },
  {
    file: "sheets-in-an-archive.csv",
    odd: "a ZIP of sheets",
    troubles: [{ code: "not_a_sheet", detail: "zip" }],
  },
  {
    file: "letter.doc",
    odd: "a document of old",
    troubles: [{ code: "not_a_sheet", detail: "compound file" }],
  },
  { file: "old-workbook.xls", odd: "a binary workbook of old", troubles: [{ code: "old_binary_workbook" }] },
  {
    file: "binary-workbook.xlsb",
    odd: "a binary workbook in a ZIP",
    troubles: [{ code: "old_binary_workbook" }],
  },
  {
    file: "open-document.ods",
    odd: "an OpenDocument workbook",
    troubles: [{ code: "open_document_workbook" }],
  },
  { file: "locked.xlsx", odd: "locked with a password", troubles: [{ code: "encrypted_workbook" }] },
  {
    file: "packed-and-cut.csv.gz",
    odd: "gzip cut short",
    troubles: [{ code: "unreadable_file", detail: "gzip" }],
  },
  {
    file: "packed-and-damaged.csv.gz",
    odd: "gzip whose checksum is one bit off",
    troubles: [{ code: "unreadable_file", detail: "gzip" }],
  },
  {
    file: "packed-twice.csv.gz",
    odd: "gzip in gzip",
    troubles: [{ code: "not_a_sheet", detail: "gzip in gzip" }],
  },
];
