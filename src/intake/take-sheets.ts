import type { Book } from "../book/book.ts";
import type { Settings } from "../records/settings.ts";
import { deriveHerd } from "./derive-herd.ts";
import { type FlockToTake, loadSettings, settingsDiffer, settingsKeyOf } from "./flock-settings.ts";
import { numbers, texts } from "./load-columns.ts";
import { loadRaw } from "./load-raw.ts";
import { loadReadings } from "./load-readings.ts";
import type { NotUnderstood } from "./reading.ts";
import { compareRows, type RowChanges } from "./row-changes.ts";
import type { SheetToTake } from "./sheet-to-take.ts";

export interface TakeOptions {
  /** The calendar day of the run, ISO. */
  readonly today: string;
  readonly version: string;
  readonly verb: "run" | "ingest";
  /** Whether a sheet that the book holds with other bytes is taken in its place. */
  readonly replace: boolean;
}

type SheetFate =
  | "new"
  | "unchanged"
  /** Same bytes under other settings or corrections. */
  | "read_again"
  | "replaced"
  /** Other bytes than the book's, left alone until `replace` is asked for. */
  | "changed_not_taken"
  /** A worksheet that its replaced file no longer has. */
  | "gone";

interface SheetTaken {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  /** The source in the book that holds now; null for a changed sheet that was not taken. */
  readonly sourceId: number;
  readonly fate: SheetFate;
  /** Against the version before; null where there was none. */
  readonly changes: RowChanges | null;
  readonly question: NotUnderstood | null;
}

export interface Taken {
  /** Null when nothing had to be taken: the book is as it was. */
  readonly ingestId: number | null;
  readonly sheets: readonly SheetTaken[];
}

export interface HeldSource {
  readonly source_id: number;
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  readonly sha256: string;
  readonly version: number;
  readonly kind: string | null;
  readonly settings_key: string | null;
  readonly corrections_key: string | null;
}

/**
 * Takes worksheets into the book and works out the herd anew. Needs a running transaction. Equal bytes, read
 * under equal settings and corrections, change nothing.
 */
export async function takeSheets(
  book: Book,
  flocks: readonly FlockToTake[],
  sheets: readonly SheetToTake[],
  options: TakeOptions,
): Promise<Taken> {
  const held = await heldSources(book);
  const ids = await nextIds(book);
  const settingsOf = new Map(flocks.map(({ flock, settings }) => [flock, settings]));
  const taken: SheetTaken[] = [];
  let sourceId = ids.source;
  const rowFlocks = new Map<string, Settings>();

  for (const sheet of sheets) {
    const settings = settingsOf.get(sheet.flock);
    if (settings === undefined) throw new Error(`no settings for flock ${sheet.flock}`);
    const before = held.get(keyOf(sheet));
    const settingsKey = settingsKeyOf(settings);
    const fate = fateOf(sheet, before, settingsKey, options.replace);
    const common = { flock: sheet.flock, file: sheet.file, worksheet: sheet.worksheet, fate };
    const question = "reason" in sheet.understanding ? sheet.understanding : null;
    if (fate === "unchanged") {
      taken.push({ ...common, sourceId: before!.source_id, changes: null, question });
      continue;
    }
    if (fate === "changed_not_taken") {
      await loadIncoming(book, sheet);
      const changes = await compareRows(book, "intake.incoming_row", 0, before!.source_id);
      await book.run("DELETE FROM intake.incoming_row");
      taken.push({ ...common, sourceId: before!.source_id, changes, question });
      continue;
    }
    const version = (before?.version ?? 0) + 1;
    const flocksSeen = await loadReadings(book, sheet, {
      sourceId,
      ingestId: ids.ingest,
      version,
      settingsKey,
    });
    for (const flock of flocksSeen) if (!settingsOf.has(flock)) rowFlocks.set(flock, settings);
    const changes = before ? await compareRows(book, "intake.raw_row", sourceId, before.source_id) : null;
    taken.push({ ...common, sourceId, changes, question });
    sourceId++;
  }
  for (const gone of goneWorksheets(sheets, taken, held)) {
    await loadReadings(book, emptySheet(gone, sheets), {
      sourceId,
      ingestId: ids.ingest,
      version: gone.version + 1,
      settingsKey: gone.settings_key ?? "",
    });
    const changes = await compareRows(book, "intake.raw_row", sourceId, gone.source_id);
    const { flock, file, worksheet } = gone;
    taken.push({ flock, file, worksheet, sourceId, fate: "gone", changes, question: null });
    sourceId++;
  }

  const named = [
    ...flocks,
    ...[...rowFlocks].map(([flock, settings]) => ({ flock, settings, namedBy: "row" as const })),
  ];
  if (sourceId === ids.source && !(await settingsDiffer(book, named)))
    return { ingestId: null, sheets: taken };
  await book.load("intake.ingest", [
    numbers("ingest_id", [ids.ingest]),
    texts("taken_at", [options.today]),
    texts("verb", [options.verb]),
    texts("version", [options.version]),
  ]);
  await loadSettings(book, ids.ingest, named);
  await deriveHerd(book);
  return { ingestId: ids.ingest, sheets: taken };
}

export function keyOf(sheet: { flock: string; file: string; worksheet: string | null }): string {
  return JSON.stringify([sheet.flock, sheet.file, sheet.worksheet]);
}

function fateOf(
  sheet: SheetToTake,
  before: HeldSource | undefined,
  settingsKey: string,
  replace: boolean,
): SheetFate {
  if (before === undefined) return "new";
  if (before.sha256 !== sheet.sha256) return replace ? "replaced" : "changed_not_taken";
  const sameReading = before.settings_key === settingsKey && before.corrections_key === sheet.correctionsKey;
  // a sheet that was not understood may be by now, since more tags are known
  const nowUnderstood = before.kind === null && !("reason" in sheet.understanding);
  return sameReading && !nowUnderstood ? "unchanged" : "read_again";
}

/** The sources that the book holds now, by `keyOf`. */
export async function heldSources(book: Book): Promise<ReadonlyMap<string, HeldSource>> {
  const rows = await book.rows<HeldSource>(
    `SELECT source_id, flock, file, worksheet, sha256, version, kind, settings_key, corrections_key
     FROM intake.current_source LEFT JOIN intake.source_reading USING (source_id)`,
  );
  return new Map(rows.map((row) => [keyOf(row), row]));
}

async function nextIds(book: Book): Promise<{ ingest: number; source: number }> {
  const [row] = await book.rows<{ ingest: number; source: number }>(
    `SELECT CAST(coalesce((SELECT max(ingest_id) FROM intake.ingest), 0) + 1 AS INTEGER) AS ingest,
       CAST(coalesce((SELECT max(source_id) FROM intake.source), 0) + 1 AS INTEGER) AS source`,
  );
  return row!;
}

/** Worksheets that the book holds of a file of which other bytes were taken now without them. */
function goneWorksheets(
  sheets: readonly SheetToTake[],
  taken: readonly SheetTaken[],
  held: ReadonlyMap<string, HeldSource>,
): readonly HeldSource[] {
  const files = new Map(sheets.map((sheet) => [JSON.stringify([sheet.flock, sheet.file]), sheet.sha256]));
  const given = new Set(sheets.map(keyOf));
  const left = new Set(
    taken
      .filter(({ fate }) => fate === "changed_not_taken")
      .map(({ flock, file }) => JSON.stringify([flock, file])),
  );
  return [...held.values()].filter((source) => {
    const file = JSON.stringify([source.flock, source.file]);
    const bytes = files.get(file);
    return bytes !== undefined && bytes !== source.sha256 && !given.has(keyOf(source)) && !left.has(file);
  });
}

function emptySheet(gone: HeldSource, sheets: readonly SheetToTake[]): SheetToTake {
  const { flock, file, worksheet } = gone;
  const other = sheets.find((sheet) => sheet.flock === flock && sheet.file === file)!;
  return {
    flock,
    file,
    worksheet,
    sha256: other.sha256,
    correctionsKey: gone.corrections_key ?? "",
    understanding: { layout: "table", kinds: [], headerRow: 0, columns: [], animal: null },
    lineTroubles: [],
    batches: () => [],
    outcomes: () => [],
    answers: () => [],
  };
}

async function loadIncoming(book: Book, sheet: SheetToTake): Promise<void> {
  for (const batch of sheet.batches()) await loadRaw(book, "intake.incoming_row", batch, 0);
}
