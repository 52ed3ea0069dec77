import type { FlockOptions } from "../src/demo/flock-options.ts";
import { inventFlock } from "../src/demo/invent-flock.ts";
import { correctedAgain } from "../src/demo/keepers-sheets/corrected-again.ts";
import { keepersGrid } from "../src/demo/keepers-sheets/keepers-grid.ts";
import { spanishSheets } from "../src/demo/keepers-sheets/spanish-sheets.ts";
import { trimmersSheet } from "../src/demo/keepers-sheets/trimmers-sheet.ts";
import { goatsInAmericanDates, wideVisits } from "../src/demo/keepers-sheets/wide-visits.ts";
import { sampleFlock } from "../src/demo/sample-flock.ts";
import type { SheetCell, SheetRow, Sheets } from "../src/demo/sheet-row.ts";
import { parseIsoDay } from "../src/records/days.ts";
import { columnOf, type KindId, kindIds } from "../src/records/kinds.ts";
import { type DelimitedOptions, writeDelimited } from "../src/sheets/write-delimited.ts";
import { type WorkbookCell, type WorksheetToWrite, writeWorkbook } from "../src/sheets/write-workbook.ts";

type Files = Record<string, string | Uint8Array>;
type Table = readonly (readonly SheetCell[])[];

/** Every sheet of data-samples/ by its path in it, and what a reader of the flock in `long/` must set aside. */
export interface DataSamples {
  readonly files: Readonly<Files>;
  readonly expectedSetAside: string;
}

/** Makes the sample folders from seeds: the same bytes whenever and wherever it runs. */
export function dataSamples(): DataSamples {
  const sample = sampleFlock();
  const corrected = correctedAgain(sample.clean, sample.sheets, sample.faults);
  const setAside = sample.faults.map(({ kind, ...fault }) => ({ file: `${kind}.csv`, ...fault }));
  return {
    files: {
      ...csvFiles("long", sample.sheets, kindIds),
      ...visitsInInches(),
      ...semicolon(),
      "workbook/hoof-book.xlsx": workbook(),
      ...keepersGridFile(),
      ...threeFarms(),
      ...trimmersFile(),
      ...csvFiles("corrected", { ...sample.sheets, ...corrected }, ["gaits", "kiddings"]),
    },
    expectedSetAside: writeDelimited(table(setAside)),
  };
}

function visitsInInches(): Files {
  const { sheets } = flock({
    seed: 11,
    goats: 16,
    days: 400,
    pens: 2,
    detail: "study",
    lengths: "toe",
    tagPrefix: "",
  });
  return {
    "visits-in-inches/hoof-visits.csv": writeDelimited(wideVisits(sheets), { lineEnd: "\r\n" }),
    "visits-in-inches/goats.csv": writeDelimited(goatsInAmericanDates(sheets), { lineEnd: "\r\n" }),
  };
}

function semicolon(): Files {
  const { sheets } = flock({ seed: 12, goats: 30, days: 420, pens: 3, tagPrefix: "C" });
  const style: DelimitedOptions = { delimiter: ";", decimalMark: ",", lineEnd: "\r\n" };
  return Object.fromEntries(
    Object.entries(spanishSheets(sheets)).map(([name, rows]) => [
      `semicolon/${name}.csv`,
      windows1252(writeDelimited(rows, style)),
    ]),
  );
}

function workbook(): Uint8Array {
  const { sheets } = flock({ seed: 13, goats: 26, days: 400, pens: 3, tagPrefix: "LA" });
  const titles: Partial<Record<KindId, string>> = {
    animals: "Goats",
    trims: "Trims",
    gaits: "Gait scores",
    lesions: "Findings",
    treatments: "Treatments",
    pens: "Pens",
    stays: "Who lived where",
    rations: "Rations",
    minerals: "Minerals",
    ground: "Ground",
    kiddings: "Kiddings",
  };
  return writeWorkbook(
    Object.entries(titles).map(([kind, title]) => worksheet(kind as KindId, title, sheets[kind as KindId])),
  );
}

/** A title over merged cells, an empty row, the header, the records, and days as real dates. */
function worksheet(kind: KindId, title: string, rows: readonly SheetRow[]): WorksheetToWrite {
  const [header, ...records] = table(rows);
  const isDay = header.map((column) => columnOf(kind, String(column)).type === "day");
  const cells = records.map((record) =>
    record.map((cell, k): WorkbookCell => (isDay[k] ? dayCell(cell) : cell)),
  );
  const total = kind === "kiddings" ? [["Total", null, sum(rows, "kids"), sum(rows, "alive")]] : [];
  return {
    name: title,
    rows: [[`Long Acre hoof book: ${title.toLowerCase()}`], [], header, ...cells, ...total],
    mergedRanges: [{ top: 1, left: 1, bottom: 1, right: Math.max(2, header.length) }],
    headerRows: 3,
  };
}

function keepersGridFile(): Files {
  const { sheets } = flock({ seed: 14, goats: 18, days: 500, pens: 1, detail: "study", tagPrefix: "Q" });
  return { "keepers-grid/hooves-2024.csv": writeDelimited(keepersGrid(sheets, 14)) };
}

function threeFarms(): Files {
  const kinds: readonly KindId[] = ["animals", "pens", "stays", "trims", "gaits", "rations", "ground"];
  const farm = (folder: string, seed: number, gaitScale: NonNullable<FlockOptions["gaitScale"]>) => {
    const { sheets } = flock({ seed, goats: 20, days: 360, pens: 2, tagPrefix: "", gaitScale });
    return csvFiles(`three-farms/${folder}`, sheets, kinds);
  };
  return { ...farm("hillside", 15, "1-5"), ...farm("brookside", 16, "0-4"), ...farm("moor-end", 17, "0-3") };
}

function trimmersFile(): Files {
  const { sheets } = flock({ seed: 18, goats: 30, days: 300, pens: 2, tagPrefix: "F" });
  const style: DelimitedOptions = { delimiter: "\t", byteOrderMark: true };
  return { "trimmers-sheet/trimmer.tsv": writeDelimited(trimmersSheet(sheets, 18), style) };
}

function flock(options: FlockOptions) {
  return inventFlock({ start: "2024-03-04", ...options });
}

function csvFiles(folder: string, sheets: Sheets, kinds: readonly KindId[]): Files {
  return Object.fromEntries(
    kinds
      .filter((kind) => sheets[kind].length > 0)
      .map((kind) => [`${folder}/${kind}.csv`, writeDelimited(table(sheets[kind]))]),
  );
}

/** Rows under the names of their columns; a column that is empty throughout is left out. */
function table(rows: readonly SheetRow[]): Table {
  const columns = Object.keys(rows[0]).filter((column) => rows.some((row) => row[column] !== null));
  return [columns, ...rows.map((row) => columns.map((column) => row[column]))];
}

function dayCell(cell: SheetCell): WorkbookCell {
  const day = typeof cell === "string" ? parseIsoDay(cell) : null;
  return day === null ? cell : { day };
}

function sum(rows: readonly SheetRow[], column: string): number {
  return rows.reduce((total, row) => total + Number(row[column]), 0);
}

/** Text as bytes of code page 1252, which for these sheets' letters is Latin-1. */
function windows1252(text: string): Uint8Array {
  return Uint8Array.from(text, (letter) => {
    const unit = letter.charCodeAt(0);
    if (unit > 0xff) throw new RangeError(`no single byte for ${letter}`);
    return unit;
  });
}
