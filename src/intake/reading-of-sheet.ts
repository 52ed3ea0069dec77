import type { TextTable } from "../sheets/text-table.ts";
import { type Correction, correctionsKeyOf, correctTable } from "./corrections.ts";
import { readRecords } from "./read-records.ts";
import type { ReadBatch, TableUnderstanding } from "./reading.ts";
import type { SheetToTake } from "./sheet-to-take.ts";
import type { UnderstandContext } from "./understand-context.ts";

/**
 * How a table's records are read, its corrections put in; `read` is what was read before without any.
 */
export function readingOf(
  table: TextTable,
  understanding: TableUnderstanding,
  context: UnderstandContext,
  corrections: readonly Correction[],
  read: readonly ReadBatch[] | null = null,
): Pick<SheetToTake, "correctionsKey" | "batches" | "outcomes"> {
  if (corrections.length === 0) {
    const batches = (): Iterable<ReadBatch> => read ?? readRecords(table, understanding, context);
    return { correctionsKey: "", batches, outcomes: () => [] };
  }
  const corrected = correctTable(table, understanding, corrections);
  return {
    correctionsKey: correctionsKeyOf(corrections),
    outcomes: corrected.outcomes,
    *batches() {
      for (const batch of readRecords(corrected.table, understanding, context)) {
        const rawCells = batch.rawCells.map(
          (cells, i) => corrected.asTheyCame.get(batch.rawRowNo[i]!) ?? cells,
        );
        yield { ...batch, rawCells };
      }
    },
  };
}
