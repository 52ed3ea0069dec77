import type { Book, LoadColumn } from "../book/book.ts";
import type { Correction } from "./corrections.ts";
import { readRecords } from "./read-records.ts";
import type { ReadBatch } from "./reading.ts";
import { heldSources, keyOf } from "./take-sheets.ts";
import { contextOf, type UnderstoodSheet } from "./understand-sheets.ts";

/** Corrections of the sheets given and of those that the book holds beside them. */
export async function correctionsInForce(
  book: Book,
  sheets: readonly UnderstoodSheet[],
  replace: boolean,
): Promise<readonly Correction[]> {
  const held = await heldSources(book);
  const given: Correction[] = [];
  const replaced = new Set<string>();
  for (const sheet of sheets) {
    const { table, understanding } = sheet;
    if (table === null || "reason" in understanding || !understanding.kinds.includes("corrections")) continue;
    const name = { flock: sheet.flock.flock, file: sheet.file, worksheet: table.worksheet };
    const before = held.get(keyOf(name));
    if (before !== undefined && before.sha256 !== sheet.sha256 && !replace) continue;
    replaced.add(keyOf(name));
    for (const batch of readRecords(table, understanding, contextOf(sheet)))
      given.push(...correctionsOf(batch, name));
  }
  const stored = await book.rows<StoredCorrection>(
    `SELECT s.flock, s.file, s.worksheet, k.row_no, k.file AS target_file, k.sheet, k."row" AS target_row, k."column" AS target_column,
       coalesce(k.was, '') AS was, coalesce(k.now, '') AS now
     FROM intake.correction k JOIN intake.current_source s USING (source_id) ORDER BY s.file, s.worksheet, k.row_no`,
  );
  const kept = stored.filter((one) => !replaced.has(keyOf(one))).map(toCorrection);
  return [...kept, ...given];
}

interface StoredCorrection {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  readonly row_no: number;
  readonly target_file: string;
  readonly sheet: string | null;
  readonly target_row: number;
  readonly target_column: string;
  readonly was: string;
  readonly now: string;
}

function toCorrection(one: StoredCorrection): Correction {
  const { flock, file, worksheet, row_no, was, now } = one;
  const target = {
    file: one.target_file,
    worksheet: one.sheet,
    row: one.target_row,
    column: one.target_column,
  };
  return { flock, file, worksheet, rowNo: row_no, target, was, now };
}

function correctionsOf(
  batch: ReadBatch,
  sheet: { readonly flock: string; readonly file: string; readonly worksheet: string | null },
): readonly Correction[] {
  return batch.records
    .filter(({ kind }) => kind === "corrections")
    .flatMap((records) => {
      const column = (name: string): LoadColumn | undefined =>
        records.columns.find((one) => one.name === name);
      const text = (name: string, i: number): string | null => {
        const cell = column(name)?.values[i];
        return cell === undefined || cell === null ? null : String(cell);
      };
      return Array.from({ length: records.size }, (_, i) => ({
        ...sheet,
        rowNo: records.rowNo[i]!,
        target: {
          file: text("file", i) ?? "",
          worksheet: text("sheet", i),
          row: Number(text("row", i)),
          column: text("column", i) ?? "",
        },
        was: text("was", i) ?? "",
        now: text("now", i) ?? "",
      }));
    });
}
