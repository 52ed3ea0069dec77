import type { Book } from "../book/book.ts";
import type { Settings } from "../records/settings.ts";
import type { RowBatch, TextTable } from "../sheets/text-table.ts";
import { type Correction, correctionsFor, correctionsKeyOf } from "./corrections.ts";
import type { FlockToTake } from "./flock-settings.ts";
import type { TableUnderstanding } from "./reading.ts";
import { readingOf } from "./reading-of-sheet.ts";
import type { SheetToTake } from "./sheet-to-take.ts";
import { heldSources, keyOf } from "./take-sheets.ts";

/**
 * Sheets that the book holds and that other corrections reach now than when they were read: they are read
 * again from their raw rows. `given` names the sheets that are read anyway.
 */
export async function storedSheets(
  book: Book,
  given: ReadonlySet<string>,
  corrections: readonly Correction[],
): Promise<{ readonly sheets: readonly SheetToTake[]; readonly flocks: readonly FlockToTake[] }> {
  const held = await heldSources(book);
  const changed = [...held.values()].filter(
    (source) =>
      !given.has(keyOf(source)) &&
      source.kind !== null &&
      (source.corrections_key ?? "") !== correctionsKeyOf(correctionsFor(source, corrections)),
  );
  if (changed.length === 0) return { sheets: [], flocks: [] };
  const flocks = await storedFlocks(book);
  const sheets: SheetToTake[] = [];
  for (const source of changed) {
    const flock = flocks.find((one) => one.flock === source.flock);
    if (flock === undefined) continue;
    const [row] = await book.rows<{ understood: string }>(
      "SELECT understood FROM intake.source WHERE source_id = ?",
      [source.source_id],
    );
    const understanding = JSON.parse(row!.understood) as TableUnderstanding;
    const table = await storedTable(book, source);
    const context = {
      settings: flock.settings,
      knownAnimals: await tagsOf(book, source.flock),
      worksheetsInFile: 1,
    };
    sheets.push({
      flock: source.flock,
      file: source.file,
      worksheet: source.worksheet,
      sha256: source.sha256,
      understanding,
      lineTroubles: [],
      answers: () => [],
      ...readingOf(table, understanding, context, correctionsFor(source, corrections)),
    });
  }
  return { sheets, flocks };
}

/** The flocks that the book holds, with the settings that an ingest brought last. */
export async function storedFlocks(book: Book): Promise<readonly FlockToTake[]> {
  const rows = await book.rows<{ flock: string; settings: string; named_by: FlockToTake["namedBy"] }>(
    `SELECT flock, settings, named_by FROM intake.flock_setting
     QUALIFY row_number() OVER (PARTITION BY flock ORDER BY ingest_id DESC) = 1`,
  );
  return rows.map(({ flock, settings, named_by }) => ({
    flock,
    settings: JSON.parse(settings) as Settings,
    namedBy: named_by,
  }));
}

async function storedTable(
  book: Book,
  source: { readonly source_id: number; readonly file: string; readonly worksheet: string | null },
): Promise<TextTable> {
  const rows = await book.rows<{ row_no: number; cells: string }>(
    "SELECT row_no, cells FROM intake.raw_row WHERE source_id = ? ORDER BY row_no",
    [source.source_id],
  );
  const batch: RowBatch = {
    rowNumbers: Int32Array.from(rows, ({ row_no }) => row_no),
    rows: rows.map(({ cells }) => JSON.parse(cells) as string[]),
  };
  return {
    file: source.file,
    worksheet: source.worksheet,
    hidden: false,
    format: "csv",
    encoding: null,
    notes: [],
    mergedRanges: [],
    batches: () => [batch],
  };
}

async function tagsOf(book: Book, flock: string): Promise<ReadonlySet<string> | null> {
  const rows = await book.rows<{ animal: string }>(
    `SELECT DISTINCT a.animal FROM herd.animal a WHERE a.flock = ?
       AND EXISTS (FROM intake.staged_animals s SEMI JOIN intake.current_source USING (source_id) WHERE s.flock = a.flock)`,
    [flock],
  );
  return rows.length === 0 ? null : new Set(rows.map(({ animal }) => animal));
}
