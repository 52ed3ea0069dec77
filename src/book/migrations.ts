import type { Book } from "./book.ts";
import { schemaVersion } from "./schema.ts";

/** One step that brings a book from a schema version to the next. */
export interface Migration {
  /** The version it starts from; it ends at the next. */
  readonly from: number;
  /** What changes, in a few words. */
  readonly says: string;
  run(book: Book): Promise<void>;
}

/** Every step there has been, oldest first; none is ever taken out, since books live longer than programs. */
export const migrations: readonly Migration[] = [];

/** The schema version that a book says it has; null for a database that says none, such as an empty one. */
export async function schemaOf(book: Book): Promise<number | null> {
  const [kept] = await book.rows<{ n: number }>(
    "SELECT CAST(count(*) AS INTEGER) AS n FROM duckdb_tables() WHERE database_name = current_database() AND schema_name = 'book' AND table_name = 'meta'",
  );
  if (kept!.n === 0) return null;
  const [meta] = await book.rows<{ version: number }>(
    "SELECT CAST(value AS INTEGER) AS version FROM book.meta WHERE name = 'schema'",
  );
  return meta?.version ?? null;
}

/**
 * Brings a book up to a schema version, by every step between, in one transaction: all of them hold, or the
 * book is as it was. Throws when a step is missing or the book is later than the version asked for.
 */
export async function migrate(
  book: Book,
  steps: readonly Migration[] = migrations,
  to: number = schemaVersion,
): Promise<void> {
  const from = await schemaOf(book);
  if (from === null || from === to) return;
  if (from > to) throw new Error(`the book has schema ${from}, later than ${to}`);
  const needed = Array.from({ length: to - from }, (_, i) => {
    const step = steps.find((one) => one.from === from + i);
    if (step === undefined) throw new Error(`no step leads from schema ${from + i} to ${from + i + 1}`);
    return step;
  });
  await book.transaction(async () => {
    for (const step of needed) {
      await step.run(book);
      await book.run(`UPDATE book.meta SET value = '${step.from + 1}' WHERE name = 'schema'`);
    }
  });
}
