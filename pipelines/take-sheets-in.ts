import type { Book } from "../src/book/book.ts";
import { sumsBySource } from "../src/intake/intake-report.ts";
import { questionInWords, sheetName } from "../src/intake/sheet-question.ts";
import { type IntakeInput, takeIn } from "../src/intake/take-in.ts";
import type { Taken } from "../src/intake/take-sheets.ts";
import { wordUsageTrouble } from "../src/intake/usage-trouble.ts";
import type { Rim } from "./rim.ts";
import { Unusable } from "./unusable.ts";
import type { Call } from "./verb.ts";
import { version } from "./version.ts";

/** Records over all sheets of the book. */
export interface Counted {
  readonly read: number;
  readonly taken: number;
  readonly setAside: number;
  readonly repeats: number;
}

/** Takes sheets into the book; input that is unusable as a whole is worded for the keeper. */
export async function takeSheetsIn(
  book: Book,
  input: IntakeInput,
  verb: "run" | "ingest",
  replace: boolean,
  call: Call,
  rim: Rim,
): Promise<Taken> {
  const report = await takeIn(book, input, { now: rim.today, version, verb, replace });
  if ("troubles" in report) {
    throw new Unusable(
      report.troubles.map((trouble) => wordUsageTrouble(trouble, call.language ?? "en")).join("\n"),
    );
  }
  for (const sheet of report.sheets) {
    if (sheet.question === null) continue;
    rim.tell(`Not read: ${sheetName(sheet)}: ${questionInWords(sheet.question, call.language ?? "en")}`);
  }
  return report;
}

/** Sheets that the book keeps as they came, with a question. */
export function notRead({ sheets }: Taken): number {
  return sheets.filter(({ question }) => question !== null).length;
}

/** The sum of records of the book: read = taken + set aside + repeats. */
export async function countRecords(book: Book): Promise<Counted> {
  const sums = await sumsBySource(book, null);
  const total = (of: (sum: (typeof sums)[number]) => number): number =>
    sums.reduce((all, sum) => all + of(sum), 0);
  return {
    read: total((sum) => sum.read),
    taken: total((sum) => sum.taken),
    setAside: total((sum) => sum.set_aside),
    repeats: total((sum) => sum.repeats),
  };
}

/** One line for the keeper: what came in. */
export function countedInWords({ read, taken, setAside, repeats }: Counted): string {
  return `${read} records read: ${taken} taken, ${setAside} set aside, ${repeats} exact repeats.`;
}
