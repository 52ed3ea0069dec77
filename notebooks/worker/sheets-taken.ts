import type { Book } from "../../src/book/book.ts";
import { setAsideByReason, sheetsUnderstood, sumsBySource } from "../../src/intake/intake-report.ts";
import { questionInWords, sheetName } from "../../src/intake/sheet-question.ts";
import type { Language } from "../../src/records/language.ts";
import type { SheetsTaken } from "./book-service.ts";

/** What became of the sheets of a book: each sheet, the sum over records, and why any was set aside. */
export async function sheetsTaken(book: Book, language: Language): Promise<SheetsTaken> {
  const sums = await sumsBySource(book, null);
  const total = (of: (sum: (typeof sums)[number]) => number): number =>
    sums.reduce((all, sum) => all + of(sum), 0);
  const sheets = await sheetsUnderstood(book, null);
  const reasons = await setAsideByReason(book, null, language);
  return {
    read: total((sum) => sum.read),
    taken: total((sum) => sum.taken),
    setAside: total((sum) => sum.set_aside),
    repeats: total((sum) => sum.repeats),
    sheets: sheets.map(({ file, worksheet, rows, understanding }) => ({
      name: sheetName({ file, worksheet }),
      rows,
      kind: "columns" in understanding ? understanding.kinds.join(" and ") : null,
      trouble: "columns" in understanding ? "" : questionInWords(understanding, language),
    })),
    reasons: reasons.map(({ says, advice, records, cells, example }) => ({
      count: records > 0 ? records : cells,
      says,
      advice,
      example: [
        example.file,
        example.worksheet,
        `row ${example.row}`,
        example.column,
        example.value === null ? null : `“${example.value}”`,
      ]
        .filter((part) => part !== null)
        .join(", "),
    })),
  };
}
