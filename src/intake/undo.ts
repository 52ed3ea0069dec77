import type { Book } from "../book/book.ts";
import { deriveHerd } from "./derive-herd.ts";
import { tablesOfSources } from "./staging.ts";

/**
 * Takes one ingest back out: its sheets, its settings, and the versions that they replaced hold again. Gives
 * false when the book has no such ingest. One transaction.
 */
export async function undo(book: Book, ingestId: number): Promise<boolean> {
  return book.transaction(async () => {
    const [row] = await book.rows("SELECT ingest_id FROM intake.ingest WHERE ingest_id = ?", [ingestId]);
    if (row === undefined) return false;
    const ofIngest = `source_id IN (SELECT source_id FROM intake.source WHERE ingest_id = ${ingestId})`;
    // the list of sources itself comes last
    for (const table of tablesOfSources()) await book.run(`DELETE FROM ${table} WHERE ${ofIngest}`);
    for (const table of ["intake.flock_setting", "intake.same_tag", "intake.ingest"]) {
      await book.run(`DELETE FROM ${table} WHERE ingest_id = ${ingestId}`);
    }
    await deriveHerd(book);
    return true;
  });
}
