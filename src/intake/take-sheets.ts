import type { Book, LoadColumn } from "../book/book.ts";
import type { DayNumber } from "../records/days.ts";
import type { Settings } from "../records/settings.ts";
import { sha256 } from "../records/sha256.ts";
import { deriveHerd } from "./derive-herd.ts";
import { loadReadings } from "./load-readings.ts";
import type { NotUnderstood, ReadBatch, TableUnderstanding } from "./reading.ts";

/** One worksheet, understood, with its records still to be read. */
export interface SheetToTake {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  /** SHA-256 of the whole file. */
  readonly sha256: string;
  /** Names the corrections that are put into it while it is read. */
  readonly correctionsKey: string;
  readonly understanding: TableUnderstanding | NotUnderstood;
  /** Lines that could not be read, found before any record was. */
  readonly lineTroubles: readonly { readonly rowNo: number; readonly reason: string }[];
  /** Reads the records, batch by batch; rows stand in the raw table as they came, without corrections. */
  batches(): Iterable<ReadBatch>;
  /** How each correction fared, once all batches are read. */
  outcomes(): readonly CorrectionOutcome[];
  /** What a keeper answered about remarks of other sheets, once all batches are read. */
  answers(): readonly RemarkAnswer[];
}

export interface CorrectionOutcome {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  readonly rowNo: number;
  /** Null when the correction was put in. */
  readonly reason: string | null;
}

export interface RemarkAnswer {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  readonly rowNo: number;
  /** Null where the answer's day cannot be read. */
  readonly day: DayNumber | null;
  readonly remark: string;
  readonly wouldBe: string;
  readonly confirmed: boolean;
}

export interface FlockToTake {
  readonly flock: string;
  readonly settings: Settings;
  readonly namedBy: "folder" | "settings" | "row";
}

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

interface RowChanges {
  readonly added: number;
  readonly changed: number;
  readonly gone: number;
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

/** Settings that change how a sheet is read; others only change what is made of it. */
const readingSettings = [
  "units",
  "language",
  "day_first",
  "columns",
  "values",
  "kinds",
  "lesions",
  "fill_down",
  "sheet_is_animal",
  "expand_groups",
  "gait_scale",
  "lame_from",
] as const satisfies readonly (keyof Settings)[];

function settingsKeyOf(settings: Settings): string {
  const text = JSON.stringify(readingSettings.map((key) => settings[key] ?? null));
  return sha256(new TextEncoder().encode(text));
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
  for (const batch of sheet.batches()) {
    await book.load("intake.incoming_row", [
      { name: "source_id", type: "integer", values: new Int32Array(batch.rawRowNo.length) },
      { name: "row_no", type: "integer", values: batch.rawRowNo },
      texts(
        "cells",
        batch.rawCells.map((cells) => JSON.stringify(cells)),
      ),
    ]);
  }
}

/**
 * Rows are held against each other by what they say, wherever they stand. Of those left over, two that follow
 * the same unchanged row are one row changed; the others are added or gone.
 */
async function compareRows(
  book: Book,
  table: string,
  sourceId: number,
  beforeId: number,
): Promise<RowChanges> {
  const [row] = await book.rows<RowChanges>(
    `WITH now AS (
       SELECT row_no, cells, row_number() OVER (PARTITION BY cells ORDER BY row_no) AS nth FROM ${table} WHERE source_id = ?
     ), before AS (
       SELECT row_no, cells, row_number() OVER (PARTITION BY cells ORDER BY row_no) AS nth FROM intake.raw_row WHERE source_id = ?
     ), fresh AS (${leftOver("now", "before")}), stale AS (${leftOver("before", "now")}),
     counts AS (
       SELECT (SELECT count(*) FROM fresh) AS fresh, (SELECT count(*) FROM stale) AS stale,
         (SELECT count(*) FROM fresh SEMI JOIN stale USING (follows, place)) AS changed
     )
     SELECT CAST(fresh - changed AS INTEGER) AS added, CAST(changed AS INTEGER) AS changed, CAST(stale - changed AS INTEGER) AS gone
     FROM counts`,
    [sourceId, beforeId],
  );
  return row!;
}

/** Rows of one version that the other lacks: after how many common rows each stands, and as which of these. */
function leftOver(version: string, other: string): string {
  return `SELECT follows, row_number() OVER (PARTITION BY follows ORDER BY row_no) AS place FROM (
    SELECT v.row_no, o.cells IS NULL AS alone, count(o.cells) OVER (ORDER BY v.row_no) AS follows
    FROM ${version} v LEFT JOIN ${other} o ON o.cells = v.cells AND o.nth = v.nth
  ) WHERE alone`;
}

/** Whether the settings that stand in the book for these flocks, if any, say something else. */
async function settingsDiffer(book: Book, flocks: readonly FlockToTake[]): Promise<boolean> {
  const rows = await book.rows<{ flock: string; settings: string; named_by: string }>(
    `SELECT flock, settings, named_by FROM intake.flock_setting
     QUALIFY row_number() OVER (PARTITION BY flock ORDER BY ingest_id DESC) = 1`,
  );
  const known = new Map(rows.map((row) => [row.flock, row]));
  return flocks.some(({ flock, settings, namedBy }) => {
    const before = known.get(flock);
    return (
      before !== undefined && (before.settings !== JSON.stringify(settings) || before.named_by !== namedBy)
    );
  });
}

async function loadSettings(book: Book, ingestId: number, flocks: readonly FlockToTake[]): Promise<void> {
  const all = flocks.map(({ settings }) => settings);
  await book.load("intake.flock_setting", [
    numbers(
      "ingest_id",
      flocks.map(() => ingestId),
    ),
    texts(
      "flock",
      flocks.map(({ flock }) => flock),
    ),
    texts(
      "name",
      all.map(({ name }) => name ?? null),
    ),
    texts(
      "settings",
      all.map((settings) => JSON.stringify(settings)),
    ),
    texts(
      "named_by",
      flocks.map(({ namedBy }) => namedBy),
    ),
    texts(
      "unlisted_animals",
      all.map((settings) => settings.unlisted_animals),
    ),
    { name: "expand_groups", type: "flag", values: all.map((settings) => settings.expand_groups) },
    texts(
      "gait_scale",
      all.map(({ gait_scale }) => gait_scale ?? null),
    ),
  ]);
  const known = new Set(flocks.map(({ flock }) => flock));
  const same = flocks.flatMap(({ flock, settings }) =>
    Object.entries(settings.same_animal).map(([tag, other]) => ({
      ...tagOfFlock(tag, flock, known),
      same: tagOfFlock(other, flock, known),
      named: flock,
    })),
  );
  // a pair under a flock that it does not speak of belongs to the flock of its first tag
  const pairs = same.filter((pair) => pair.named === pair.flock);
  await book.load("intake.same_tag", [
    numbers(
      "ingest_id",
      pairs.map(() => ingestId),
    ),
    texts(
      "flock",
      pairs.map(({ flock }) => flock),
    ),
    texts(
      "tag",
      pairs.map(({ tag }) => tag),
    ),
    texts(
      "same_flock",
      pairs.map(({ same: other }) => other.flock),
    ),
    texts(
      "same_tag",
      pairs.map(({ same: other }) => other.tag),
    ),
  ]);
}

/** `north/12` names tag 12 of flock north where there is such a flock; else it is a tag of the flock itself. */
function tagOfFlock(text: string, flock: string, known: ReadonlySet<string>): { flock: string; tag: string } {
  const stroke = text.indexOf("/");
  const named = stroke > 0 ? text.slice(0, stroke).trim() : "";
  return known.has(named)
    ? { flock: named, tag: text.slice(stroke + 1).trim() }
    : { flock, tag: text.trim() };
}

function numbers(name: string, values: readonly number[]): LoadColumn {
  return { name, type: "integer", values: Int32Array.from(values) };
}

function texts(name: string, values: readonly (string | null)[]): LoadColumn {
  return { name, type: "text", values };
}
