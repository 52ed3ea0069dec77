import { code } from "../records/codes.ts";
import { sha256 } from "../records/sha256.ts";
import type { RowBatch, TextTable } from "../sheets/text-table.ts";
import type { TableUnderstanding } from "./reading.ts";
import type { CorrectionOutcome } from "./sheet-to-take.ts";

/** One line of a corrections sheet: where it stands itself, which cell it means, and what that should say. */
export interface Correction {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  readonly rowNo: number;
  readonly target: {
    readonly file: string;
    readonly worksheet: string | null;
    readonly row: number;
    readonly column: string;
  };
  readonly was: string;
  readonly now: string;
}

/**
 * The corrections that mean a worksheet. They name its file by its whole path or by its name alone, and its
 * worksheet unless there is only one; they reach the sheets of their own flock.
 */
export function correctionsFor(
  sheet: { readonly flock: string; readonly file: string; readonly worksheet: string | null },
  corrections: readonly Correction[],
): readonly Correction[] {
  return corrections.filter(
    ({ flock, target }) =>
      flock === sheet.flock &&
      (samePath(target.file, sheet.file) || samePath(target.file, nameOf(sheet.file))) &&
      (target.worksheet === null || target.worksheet === sheet.worksheet),
  );
}

/** Names a list of corrections, whatever their order: the same name, the same cells changed in the same way. */
export function correctionsKeyOf(corrections: readonly Correction[]): string {
  if (corrections.length === 0) return "";
  const lines = corrections.map((one) => JSON.stringify([one.target, one.was, one.now])).sort();
  return sha256(new TextEncoder().encode(lines.join("\n")));
}

export interface CorrectedTable {
  readonly table: TextTable;
  /** Rows that were changed, as they came; filled while the table is read. */
  readonly asTheyCame: ReadonlyMap<number, readonly string[]>;
  /** How each correction fared, once the table has been read. */
  outcomes(): readonly CorrectionOutcome[];
}

/**
 * The table with its corrections put in: the cell in that row, under that header, must say what the
 * correction says it says (outer spaces apart).
 */
export function correctTable(
  table: TextTable,
  understanding: TableUnderstanding,
  corrections: readonly Correction[],
): CorrectedTable {
  const asTheyCame = new Map<number, readonly string[]>();
  const reasons = new Map<Correction, string | null>();
  const byRow = new Map<number, { readonly index: number; readonly correction: Correction }[]>();
  for (const correction of corrections) {
    const index = columnIndex(correction.target.column, understanding);
    if (index === null) continue;
    const { row } = correction.target;
    byRow.set(row, [...(byRow.get(row) ?? []), { index, correction }]);
  }
  const correctRow = (rowNo: number, cells: readonly string[]): readonly string[] => {
    const changed = [...cells];
    for (const { index, correction } of byRow.get(rowNo) ?? []) {
      const found = cells[index] ?? "";
      const fits = found.trim() === correction.was.trim();
      reasons.set(correction, fits ? null : code("correction_does_not_fit", found.trim()));
      if (fits) changed[index] = correction.now;
    }
    asTheyCame.set(rowNo, cells);
    return changed;
  };
  const correctBatch = (batch: RowBatch): RowBatch => ({
    rowNumbers: batch.rowNumbers,
    rows: batch.rows.map((cells, i) =>
      byRow.has(batch.rowNumbers[i]!) ? correctRow(batch.rowNumbers[i]!, cells) : cells,
    ),
  });
  const { codedRows: _, ...rowByRow } = table;
  return {
    table: {
      ...rowByRow,
      *batches() {
        for (const batch of table.batches()) yield correctBatch(batch);
      },
    },
    asTheyCame,
    outcomes: () =>
      [...reasons].map(([{ flock, file, worksheet, rowNo }, reason]) => ({
        flock,
        file,
        worksheet,
        rowNo,
        reason,
      })),
  };
}

function columnIndex(header: string, understanding: TableUnderstanding): number | null {
  const wanted = header.trim().toLowerCase();
  const column = understanding.columns.find((one) => one.header.trim().toLowerCase() === wanted);
  return column?.index ?? null;
}

function samePath(a: string, b: string): boolean {
  return a.trim().replaceAll("\\", "/").replace(/^\.\//, "") === b;
}

function nameOf(file: string): string {
  return file.slice(file.lastIndexOf("/") + 1);
}
