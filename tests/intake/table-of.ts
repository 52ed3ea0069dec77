import { readRecords } from "../../src/intake/read-records.ts";
import type {
  CellTrouble,
  NotUnderstood,
  RemarkFound,
  TableUnderstanding,
  UnmappedWord,
} from "../../src/intake/reading.ts";
import { type UnderstandContext, understandTable } from "../../src/intake/understand-table.ts";
import { type KindId, kinds } from "../../src/records/kinds.ts";
import { defaultSettings, type Settings } from "../../src/records/settings.ts";
import type { TextTable } from "../../src/sheets/text-table.ts";

/** A text table from rows of cells; row numbers count from 1. */
export function tableOf(
  rows: readonly (readonly string[])[],
  more: Partial<Pick<TextTable, "file" | "worksheet" | "format">> & { readonly rowsABatch?: number } = {},
): TextTable {
  const { rowsABatch = 1000, ...named } = more;
  const kept = rows
    .map((cells, i) => ({ cells, rowNo: i + 1 }))
    .filter(({ cells }) => cells.some((cell) => cell !== ""));
  return {
    file: "sheet.csv",
    worksheet: null,
    hidden: false,
    format: "csv",
    encoding: "utf-8",
    notes: [],
    mergedRanges: [],
    ...named,
    *batches() {
      for (let at = 0; at < kept.length; at += rowsABatch) {
        const part = kept.slice(at, at + rowsABatch);
        yield {
          rowNumbers: Int32Array.from(part.map(({ rowNo }) => rowNo)),
          rows: part.map(({ cells }) => cells),
        };
      }
    },
  };
}

/** Lines of cells parted by `|`, as one writes them down in a test. */
export function lines(text: string): string[][] {
  return text
    .split("\n")
    .map((line) => line.trim())
    .filter((line, i, all) => line !== "" || (i > 0 && i < all.length - 1))
    .map((line) => line.split("|").map((cell) => cell.trim()));
}

export function contextOf(
  more: Partial<UnderstandContext> & { readonly set?: Partial<Settings> } = {},
): UnderstandContext {
  const { set, ...rest } = more;
  return { settings: { ...defaultSettings, ...set }, knownAnimals: null, worksheetsInFile: 1, ...rest };
}

export type PlainRecord = Readonly<Record<string, string | number | boolean | null>>;

export interface PlainReading {
  readonly understanding: TableUnderstanding;
  readonly records: Readonly<Partial<Record<KindId, readonly PlainRecord[]>>>;
  readonly read: Readonly<Partial<Record<KindId, number>>>;
  readonly troubles: readonly CellTrouble[];
  readonly remarks: readonly RemarkFound[];
  readonly unmapped: readonly UnmappedWord[];
}

/** Understands and reads a table, its records as plain rows (days as day numbers, missing as null). */
export function readPlain(table: TextTable, context: UnderstandContext = contextOf()): PlainReading {
  const understanding = understandTable(table, context);
  if ("reason" in understanding) throw new Error(`not understood: ${JSON.stringify(understanding)}`);
  const records: Partial<Record<KindId, PlainRecord[]>> = {};
  const read: Partial<Record<KindId, number>> = {};
  const troubles: CellTrouble[] = [];
  const remarks: RemarkFound[] = [];
  const unmapped: UnmappedWord[] = [];
  for (const batch of readRecords(table, understanding, context)) {
    for (const { kind, size, rowNo, part, flock, columns } of batch.records) {
      for (let i = 0; i < size; i++) {
        const record: Record<string, string | number | boolean | null> = { rowNo: rowNo[i]!, part: part[i]! };
        if (flock !== null) record.flock = flock[i]!;
        for (const { name, values } of columns) {
          const value = values[i]!;
          record[name] = typeof value === "number" && Number.isNaN(value) ? null : (value ?? null);
        }
        records[kind] ??= [];
        records[kind].push(record);
      }
    }
    for (const [kind, count] of Object.entries(batch.read)) {
      read[kind as KindId] = (read[kind as KindId] ?? 0) + count;
    }
    troubles.push(...batch.troubles);
    remarks.push(...batch.remarks);
    unmapped.push(...batch.unmapped);
  }
  return { understanding, records, read, troubles, remarks, unmapped };
}

/** What a table is set aside for; throws when it is understood. */
export function question(table: TextTable, context: UnderstandContext = contextOf()): NotUnderstood {
  const understanding = understandTable(table, context);
  if ("reason" in understanding) return understanding;
  throw new Error(`understood as ${understanding.kinds.join(", ")} (${understanding.layout})`);
}

/** Records taken and distinct records lost add up to the records read, for every kind. */
export function sumsHold({ records, read, troubles }: PlainReading): boolean {
  return (Object.keys(kinds) as KindId[]).every((kind) => {
    const lost = new Set(
      troubles
        .filter((one) => one.kind === kind && one.loses === "record")
        .map(({ rowNo, part }) => `${rowNo}/${part}`),
    );
    return (records[kind]?.length ?? 0) + lost.size === (read[kind] ?? 0);
  });
}
