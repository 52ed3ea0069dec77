import type { Book } from "../book/book.ts";
import { type NextCheckRow, nextCheckTable } from "../findings/next-check.ts";
import { readTable } from "../findings/read-table.ts";
import { studyDataOf } from "../findings/study-data.ts";
import { remarkColumns } from "../intake/confirmed-remarks.ts";
import {
  animalsToAdd,
  remarksToConfirm,
  setAsideByReason,
  setAsideSheets,
  sheetsUnderstood,
  sumsBySource,
  wordsToMap,
} from "../intake/intake-report.ts";
import { type DayNumber, isoDay } from "../records/days.ts";
import type { Flock } from "../records/flock.ts";
import type { Language } from "../records/language.ts";
import { flocksPage } from "../report/flocks-page.tsx";
import { indexPage } from "../report/index-page.tsx";
import { intakePage } from "../report/intake-page.tsx";
import type { PageFile } from "../report/page-shell.tsx";
import { worklistPage } from "../report/worklist-page.tsx";
import { worklistRows } from "../report/worklist-rows.ts";
import { writeDelimited } from "../sheets/write-delimited.ts";
import { flockFolders } from "./flock-folders.ts";
import { pooledPages } from "./pooled-pages.ts";
import { latestInput, type SeasonPagesOptions, seasonPages } from "./season-pages.ts";

/** Every page and list of a book: at the top for one flock, in a folder each for several. */
export async function bookPages(
  book: Book,
  flocks: readonly Flock[],
  options: SeasonPagesOptions,
): Promise<readonly PageFile[]> {
  const files: PageFile[] = [];
  const folders = flockFolders(flocks.map(({ id }) => id));
  const forStudy = options.reader === "all" || options.reader === "extension";
  const readStudyData = forStudy ? await studyDataOf(book) : null;
  for (const flock of flocks) {
    const folder = flocks.length === 1 ? "" : `${folders.get(flock.id)!}/`;
    const own = [
      ...(await seasonPages(book, flock, options, readStudyData)),
      ...(await keeperFiles(book, flock, options)),
      ...(await intakeFiles(book, flock, options.language ?? flock.settings.language ?? "en")),
    ];
    files.push(...own.map((file) => ({ ...file, path: folder + file.path })));
  }
  if (flocks.length > 1) {
    const entries = flocks.map((flock) => ({ name: flock.name, folder: folders.get(flock.id)! }));
    const pooled = forStudy ? await pooledPages(book, flocks, options, readStudyData) : [];
    const pages = pooled.map(({ path }) => path).filter((path) => path.endsWith(".html"));
    files.push(...pooled, {
      path: "index.html",
      content: flocksPage(entries, pages, options.language ?? "en", options.version),
    });
  }
  return files;
}

async function keeperFiles(
  book: Book,
  flock: Flock,
  options: SeasonPagesOptions,
): Promise<readonly PageFile[]> {
  const input = await latestInput(book, flock, options);
  const checks = await readTable(book, nextCheckTable, `flock = '${flock.id.replaceAll("'", "''")}'`);
  return [
    { path: "index.html", content: indexPage(input, flock.seasons) },
    {
      path: "worklist.html",
      content: worklistPage(
        input,
        checks.filter((row) => isSoon(row, flock.today)),
      ),
    },
    { path: "worklist.csv", content: writeDelimited(worklistRows(input, checks), { byteOrderMark: true }) },
  ];
}

/** Days ahead within which a check stands on the list that a keeper takes to the barn. Project default. */
const SOON_DAYS = 14;

function isSoon(row: NextCheckRow, today: DayNumber): boolean {
  return row.urgency !== "routine" || row.check_by <= today + SOON_DAYS;
}

async function intakeFiles(book: Book, flock: Flock, language: Language): Promise<readonly PageFile[]> {
  const sheets = await setAsideSheets(book, flock.id, language);
  const animals = await animalsToAdd(book, flock.id);
  const words = await wordsToMap(book, flock.id);
  const remarks = await remarksToConfirm(book, flock.id);
  const day = (n: number | null): string => (n === null ? "" : isoDay(n));
  const csv = (path: string, rows: Parameters<typeof writeDelimited>[0]): PageFile => ({
    path,
    content: writeDelimited(rows, { byteOrderMark: true }),
  });
  return [
    {
      path: "intake.html",
      content: intakePage({
        flock: flock.name,
        language,
        sums: await sumsBySource(book, flock.id),
        reasons: await setAsideByReason(book, flock.id, language),
        understood: (await sheetsUnderstood(book, flock.id)).map(({ file, worksheet, understanding }) => ({
          file,
          worksheet,
          columns:
            "columns" in understanding
              ? understanding.columns.map((column) => ({
                  header: column.header,
                  meaning:
                    column.meaning === null
                      ? null
                      : [column.meaning.column, column.meaning.foot, column.meaning.claw]
                          .filter((part) => part !== null)
                          .join(", "),
                  unit: column.unit,
                  sample: column.sample,
                  sureness: column.sureness,
                }))
              : [],
        })),
        animals: animals.length,
        words: words.length,
        remarks: remarks.length,
      }),
    },
    csv(
      "set-aside.csv",
      sheets.flatMap((sheet) => [
        ["file", "sheet", "row", "what is wrong", ...sheet.headers],
        ...sheet.rows.map((row) => [
          sheet.file,
          sheet.worksheet,
          row.row,
          row.faults.join(" | "),
          ...row.cells,
        ]),
      ]),
    ),
    csv("animals-to-add.csv", [
      ["animal", "records", "first", "last", "nearest known"],
      ...animals.map((one) => [one.animal, one.records, day(one.first), day(one.last), one.nearest]),
    ]),
    csv("words-to-map.csv", [
      ["column", "word", "rows", "file", "row"],
      ...words.map((one) => [one.column, one.word, one.rows, one.file, one.row]),
    ]),
    csv("remarks-to-confirm.csv", [
      remarkColumns,
      ...remarks.map((one) => [
        one.file,
        one.sheet,
        one.row,
        one.flock,
        one.animal,
        day(one.date),
        one.remark,
        one.record,
        "",
      ]),
    ]),
  ];
}
