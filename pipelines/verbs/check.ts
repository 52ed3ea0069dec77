import { existsSync } from "node:fs";
import type { Book } from "../../src/book/book.ts";
import { describeUnderstanding } from "../../src/intake/describe-understanding.ts";
import { setAsideByReason, sheetsUnderstood } from "../../src/intake/intake-report.ts";
import type { TableUnderstanding } from "../../src/intake/reading.ts";
import { questionInWords, sheetName } from "../../src/intake/sheet-question.ts";
import { tryIntake } from "../../src/intake/take-in.ts";
import { wordUsageTrouble } from "../../src/intake/usage-trouble.ts";
import type { Language } from "../../src/records/language.ts";
import { alignedTable } from "../aligned-table.ts";
import { openNativeBook } from "../native-book.ts";
import { openOrExplain } from "../open-book.ts";
import { readInput } from "../read-input.ts";
import type { Rim } from "../rim.ts";
import { countedInWords, countRecords } from "../take-sheets-in.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";
import { version } from "../version.ts";

export const check: Verb = {
  name: "check",
  words: "FILES…",
  says: "how each column is understood, what would be taken and set aside, and why; writes nothing",
  options: {},
  leastWords: 1,
  mostWords: 10_000,
  async run(call, rim) {
    const input = readInput(call.words);
    const language = call.language ?? "en";
    const path = call.text("book");
    if (path !== null && !existsSync(path)) throw new Unusable(`There is no book at ${path}.`);
    const book = path === null ? await openNativeBook(":memory:") : await openOrExplain(path, false);
    try {
      const tried = await tryIntake(
        book,
        input,
        { now: rim.today, version, verb: "ingest", replace: true },
        () => tell(book, language, rim),
      );
      if ("troubles" in tried)
        throw new Unusable(tried.troubles.map((trouble) => wordUsageTrouble(trouble, language)).join("\n"));
      return call.flag("strict") && tried.seen > 0 ? 3 : 0;
    } finally {
      await book.close();
    }
  },
};

/** Prints what the book would hold; returns how many records and whole sheets would be set aside. */
async function tell(book: Book, language: Language, rim: Rim): Promise<number> {
  let asked = 0;
  for (const sheet of await sheetsUnderstood(book, null)) {
    const name = sheetName(sheet);
    const { understanding } = sheet;
    if (!("columns" in understanding)) {
      asked++;
      rim.print(`${name}: ${questionInWords(understanding, language)}\n`);
      continue;
    }
    rim.print(`${name}: ${understanding.kinds.join(" and ")}, ${sheet.rows} rows`);
    rim.print(`${alignedTable(columnRows(understanding, language), rim.width)}\n`);
  }
  const reasons = await setAsideByReason(book, null, language);
  if (reasons.length > 0) {
    rim.print("Set aside:");
    const rows = reasons.map(({ says, advice, records, cells, example }) => ({
      count: records > 0 ? records : cells,
      why: says,
      example: `${example.file}${example.worksheet === null ? "" : `, ${example.worksheet}`}, row ${example.row}${example.column === null ? "" : `, ${example.column}`}${example.value === null ? "" : `: ${example.value}`}`,
      "what to do": advice,
    }));
    rim.print(`${alignedTable(rows, rim.width)}\n`);
  }
  const counted = await countRecords(book);
  rim.print(countedInWords(counted));
  return counted.setAside + asked;
}

function columnRows(
  understanding: TableUnderstanding,
  language: Language,
): readonly Readonly<Record<string, string>>[] {
  return describeUnderstanding(understanding, language).map(
    ({ header, meaning, reads, sample, sure, offer }) => ({
      column: header,
      meaning,
      "reads as": reads,
      sample,
      "known by": sure,
      ...(understanding.columns.some(({ blankBelow }) => blankBelow) ? { "could be": offer } : {}),
    }),
  );
}
