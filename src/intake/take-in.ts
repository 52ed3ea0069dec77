import type { Book } from "../book/book.ts";
import { schemaStatements } from "../book/schema.ts";
import { type DayNumber, isoDay } from "../records/days.ts";
import type { KindId } from "../records/kinds.ts";
import type { TextTable } from "../sheets/text-table.ts";
import { readConfirmedRemarks } from "./confirmed-remarks.ts";
import { type Correction, correctionsFor } from "./corrections.ts";
import { correctionsInForce } from "./corrections-in-force.ts";
import type { FlockToTake } from "./flock-settings.ts";
import type { ReadBatch } from "./reading.ts";
import { readingOf } from "./reading-of-sheet.ts";
import { type Flocks, resolveFlocks, type SettingsFile, subfolderOf } from "./resolve-flocks.ts";
import type { SheetToTake } from "./sheet-to-take.ts";
import { stagingStatements } from "./staging.ts";
import { storedFlocks, storedSheets } from "./stored-sheets.ts";
import { keyOf, type Taken, takeSheets } from "./take-sheets.ts";
import {
  contextOf,
  reasonOf,
  type UnderstoodSheet,
  understandAll,
  worksheetsOf,
} from "./understand-sheets.ts";
import type { UsageTrouble } from "./usage-trouble.ts";

export interface IntakeInput {
  readonly files: readonly {
    /** Relative to the folder given, with `/` between folders. */
    readonly path: string;
    readonly bytes: Uint8Array;
  }[];
  /** Every `flock.toml` of the folder and its subfolders. */
  readonly settings: readonly SettingsFile[];
}

export interface IntakeOptions {
  /** The calendar day of the run. */
  readonly now: DayNumber;
  readonly version: string;
  readonly verb: "run" | "ingest";
  /** Whether sheets that the book holds with other bytes are taken in their place. */
  readonly replace: boolean;
}

export type IntakeReport =
  /** The input as a whole cannot be used; nothing was written. */
  { readonly troubles: readonly UsageTrouble[] } | Taken;

/**
 * Takes sheets into the book, in one transaction: settles which flock each belongs to, puts corrections in,
 * understands and reads every worksheet, and works out the herd, what is set aside, and the sums from all
 * that the book then holds. The order of the files makes no difference.
 */
export async function takeIn(book: Book, input: IntakeInput, options: IntakeOptions): Promise<IntakeReport> {
  await prepareTables(book);
  const flocks = await flocksOf(book, input);
  if ("troubles" in flocks) return flocks;
  return book.transaction(() => takeInFlocks(book, input, flocks, options));
}

/**
 * Does all that `takeIn` does, lets `look` see the book as it would be, and leaves the book as it was.
 */
export async function tryIntake<T>(
  book: Book,
  input: IntakeInput,
  options: IntakeOptions,
  look: (report: Taken) => Promise<T>,
): Promise<{ readonly troubles: readonly UsageTrouble[] } | { readonly seen: T }> {
  await prepareTables(book);
  const flocks = await flocksOf(book, input);
  if ("troubles" in flocks) return flocks;
  let result: { readonly troubles: readonly UsageTrouble[] } | { readonly seen: T } | null = null;
  const backOut = new Error("the trial is over");
  try {
    await book.transaction(async () => {
      const report = await takeInFlocks(book, input, flocks, options);
      result = "troubles" in report ? report : { seen: await look(report) };
      throw backOut;
    });
  } catch (error) {
    if (error !== backOut) throw error;
  }
  return result!;
}

/** Creates what tables an empty or older book lacks; changes nothing in one that has them. */
async function prepareTables(book: Book): Promise<void> {
  await book.run([...schemaStatements(), ...stagingStatements()].join(";\n"));
}

async function flocksOf(
  book: Book,
  input: IntakeInput,
): Promise<Flocks | { readonly troubles: readonly UsageTrouble[] }> {
  const paths = input.files.map(({ path }) => path);
  const twice = paths.find((path, i) => paths.indexOf(path) !== i);
  if (twice !== undefined) return { troubles: [{ code: "file_given_twice", file: twice }] };
  if (paths.length === 0) return { troubles: [{ code: "nothing_given" }] };
  const held = await storedFlocks(book);
  return resolveFlocks(paths, input.settings, held.length === 1 ? held[0]! : null);
}

async function takeInFlocks(
  book: Book,
  input: IntakeInput,
  flocks: Flocks,
  options: IntakeOptions,
): Promise<IntakeReport> {
  const files = [...input.files].sort((a, b) => (a.path < b.path ? -1 : 1));
  const worksheets = files.flatMap((file) => worksheetsOf(file, flocks));
  const understood = understandAll(worksheets, await knownTags(book));
  const unclear = unclearFolders(understood, flocks);
  if (unclear.length > 0) return { troubles: unclear };
  const corrections = await correctionsInForce(book, understood, options.replace);
  const given = understood.map((sheet) => sheetToTake(sheet, corrections));
  const again = await storedSheets(book, new Set(given.map(keyOf)), corrections);
  const taking = mergeFlocks(flocks.all, again.flocks);
  return takeSheets(book, taking, [...given, ...again.sheets], {
    today: isoDay(options.now),
    version: options.version,
    verb: options.verb,
    replace: options.replace,
  });
}

function mergeFlocks(given: readonly FlockToTake[], stored: readonly FlockToTake[]): readonly FlockToTake[] {
  const known = new Set(given.map(({ flock }) => flock));
  return [...given, ...stored.filter(({ flock }) => !known.has(flock))];
}

/** Tags that the book knows, by flock; none for a flock that has no animals sheet. */
async function knownTags(book: Book): Promise<ReadonlyMap<string, ReadonlySet<string>>> {
  const rows = await book.rows<{ flock: string; tag: string }>(
    `WITH listed AS (SELECT DISTINCT flock FROM intake.staged_animals SEMI JOIN intake.current_source USING (source_id))
     SELECT flock, tag FROM (
       SELECT flock, animal AS tag FROM herd.animal
       UNION SELECT flock, trim(unnest(string_split(other_tags, ';'))) FROM herd.animal WHERE other_tags IS NOT NULL
       UNION SELECT flock, tag FROM herd.tag
     ) SEMI JOIN listed USING (flock)`,
  );
  const tags = new Map<string, Set<string>>();
  for (const { flock, tag } of rows) tags.set(flock, (tags.get(flock) ?? new Set<string>()).add(tag));
  return tags;
}

/**
 * Sheets of one kind in two or more subfolders, when nothing says whether these are flocks: neither a column
 * nor settings of their own nor an answer in the top settings.
 */
function unclearFolders(sheets: readonly UnderstoodSheet[], flocks: Flocks): readonly UsageTrouble[] {
  if (flocks.foldersAnswered) return [];
  const folders = new Map<KindId, Set<string>>();
  for (const { file, understanding } of sheets) {
    const folder = subfolderOf(file);
    if (
      folder === "" ||
      "reason" in understanding ||
      flocks.ownFolders.some((own) => file.startsWith(`${own}/`))
    )
      continue;
    if (understanding.columns.some(({ meaning }) => meaning?.column === "flock")) continue;
    for (const kind of understanding.kinds) folders.set(kind, (folders.get(kind) ?? new Set()).add(folder));
  }
  return [...folders].flatMap(([kind, names]) =>
    names.size > 1 ? [{ code: "flocks_unclear" as const, kind, folders: [...names].sort() }] : [],
  );
}

function sheetToTake(sheet: UnderstoodSheet, corrections: readonly Correction[]): SheetToTake {
  const { table, understanding } = sheet;
  const name = { flock: sheet.flock.flock, file: sheet.file, worksheet: table?.worksheet ?? null };
  const common = {
    ...name,
    sha256: sheet.sha256,
    understanding,
    lineTroubles: sheet.troubles.map((trouble) => ({ rowNo: trouble.row ?? 0, reason: reasonOf(trouble) })),
    correctionsKey: "",
    outcomes: () => [],
    answers: () => [],
  };
  if (table === null) return { ...common, batches: () => [] };
  if ("reason" in understanding) return { ...common, batches: () => rawBatches(table) };
  if (sheet.remarksHeader !== null) {
    const remarks = readConfirmedRemarks(table, sheet.remarksHeader, name.flock, sheet.flock.settings);
    return { ...common, batches: remarks.batches, answers: remarks.answers };
  }
  return {
    ...common,
    ...readingOf(table, understanding, contextOf(sheet), correctionsFor(name, corrections), sheet.read),
  };
}

function* rawBatches(table: TextTable): Iterable<ReadBatch> {
  for (const { rows, rowNumbers } of table.batches()) {
    yield {
      rawRowNo: rowNumbers,
      rawCells: rows,
      records: [],
      read: {},
      troubles: [],
      remarks: [],
      unmapped: [],
    };
  }
}
