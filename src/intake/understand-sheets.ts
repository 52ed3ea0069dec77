import { code } from "../records/codes.ts";
import type { KindId } from "../records/kinds.ts";
import { sha256 } from "../records/sha256.ts";
import { readSheets } from "../sheets/read-sheets.ts";
import type { SheetTrouble, TextTable } from "../sheets/text-table.ts";
import { readConfirmedRemarks, remarksHeader } from "./confirmed-remarks.ts";
import type { FlockToTake } from "./flock-settings.ts";
import { readRecords } from "./read-records.ts";
import type { NotUnderstood, ReadBatch, TableUnderstanding } from "./reading.ts";
import type { Flocks } from "./resolve-flocks.ts";
import type { UnderstandContext } from "./understand-context.ts";
import { understandTable } from "./understand-table.ts";

export interface Worksheet {
  readonly flock: FlockToTake;
  readonly file: string;
  readonly sha256: string;
  /** Null for a file that could not be read at all. */
  readonly table: TextTable | null;
  readonly worksheetsInFile: number;
  readonly troubles: readonly SheetTrouble[];
}

export type UnderstoodSheet = Worksheet & {
  readonly understanding: TableUnderstanding | NotUnderstood;
  readonly remarksHeader: number | null;
  readonly knownAnimals: ReadonlySet<string> | null;
  /** What was read already, for sheets that others need. */
  readonly read: readonly ReadBatch[] | null;
};

/** The worksheets of a file that hold any row; of a file that could not be read, one without a table. */
export function worksheetsOf(
  { path, bytes }: { readonly path: string; readonly bytes: Uint8Array },
  flocks: Flocks,
): readonly Worksheet[] {
  const read = readSheets(path, bytes);
  const tables = read.tables.filter(hasRows);
  const common = {
    flock: flocks.of(path),
    file: path,
    sha256: sha256(bytes),
    worksheetsInFile: tables.length,
  };
  if (tables.length === 0) return [{ ...common, table: null, troubles: read.troubles }];
  return tables.map((table, i) => ({
    ...common,
    table,
    // what concerns no one worksheet is told with the first
    troubles: read.troubles.filter(
      ({ worksheet }) => worksheet === table.worksheet || (worksheet === null && i === 0),
    ),
  }));
}

function hasRows(table: TextTable): boolean {
  for (const { rows } of table.batches()) if (rows.length > 0) return true;
  return false;
}

/**
 * Understands every worksheet. Those that name animals and their tags are read first, since a tag tells
 * other layouts apart.
 */
export function understandAll(
  worksheets: readonly Worksheet[],
  held: ReadonlyMap<string, ReadonlySet<string>>,
): readonly UnderstoodSheet[] {
  const first = worksheets.map((sheet) => understand(sheet, held.get(sheet.flock.flock) ?? null));
  const tags = new Map([...held].map(([flock, known]) => [flock, new Set(known)]));
  const read = first.map((sheet): UnderstoodSheet => {
    const { understanding, table } = sheet;
    if (table === null || "reason" in understanding || !understanding.kinds.some(namesTags)) return sheet;
    const batches = [...readRecords(table, understanding, contextOf(sheet))];
    for (const batch of batches) addTags(batch, sheet.flock.flock, tags);
    return { ...sheet, read: batches };
  });
  return read.map((sheet) => {
    const known = tags.get(sheet.flock.flock) ?? null;
    if (
      sheet.read !== null ||
      sheet.remarksHeader !== null ||
      known?.size === held.get(sheet.flock.flock)?.size
    ) {
      return { ...sheet, knownAnimals: known };
    }
    return understand(sheet, known);
  });
}

function namesTags(kind: KindId): boolean {
  return kind === "animals" || kind === "tags";
}

function understand(sheet: Worksheet, knownAnimals: ReadonlySet<string> | null): UnderstoodSheet {
  const { table } = sheet;
  if (table === null) {
    const [trouble] = sheet.troubles;
    const reason = trouble ? reasonOf(trouble) : code("empty_file");
    const understanding = { reason, column: null, value: null, advice: reason };
    return {
      ...sheet,
      troubles: sheet.troubles.slice(1),
      understanding,
      remarksHeader: null,
      knownAnimals,
      read: null,
    };
  }
  const header = remarksHeader(table);
  const understanding =
    header === null
      ? understandTable(table, contextOf({ ...sheet, knownAnimals }))
      : readConfirmedRemarks(table, header, sheet.flock.flock, sheet.flock.settings).understanding;
  return { ...sheet, understanding, remarksHeader: header, knownAnimals, read: null };
}

export function contextOf(
  sheet: Worksheet & { readonly knownAnimals: ReadonlySet<string> | null },
): UnderstandContext {
  const { flock, knownAnimals, worksheetsInFile } = sheet;
  return { settings: flock.settings, knownAnimals, worksheetsInFile };
}

function addTags(batch: ReadBatch, flock: string, tags: Map<string, Set<string>>): void {
  for (const records of batch.records) {
    for (const column of records.columns) {
      if (column.type !== "text" || !["animal", "other_tags", "tag"].includes(column.name)) continue;
      column.values.forEach((cell, i) => {
        const of = records.flock?.[i] ?? flock;
        const known = tags.get(of) ?? new Set<string>();
        for (const tag of cell?.split("; ") ?? []) known.add(tag);
        tags.set(of, known);
      });
    }
  }
}

/** Why a sheet, or a line of it, could not be read. */
export function reasonOf({ code: id, detail }: SheetTrouble): string {
  if (id === "unreadable_file") return code("unreadable", detail);
  return detail === "" ? code(id) : code(id, detail);
}
