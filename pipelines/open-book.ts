import { existsSync } from "node:fs";
import { dirname, resolve } from "node:path";
import type { Book } from "../src/book/book.ts";
import { schemaVersion } from "../src/book/schema.ts";
import { openNativeBook } from "./native-book.ts";
import { Unusable } from "./unusable.ts";
import type { Call } from "./verb.ts";

/** The book's path of a call. */
export function bookPath(call: Call, fallback = "flock.duckdb"): string {
  return call.text("book") ?? fallback;
}

/** Opens a book that must be there already, does the work, and closes it whatever happens. */
export async function withBook<T>(
  path: string,
  readOnly: boolean,
  work: (book: Book) => Promise<T>,
): Promise<T> {
  if (!existsSync(path))
    throw new Unusable(`There is no book at ${path}. Make one with: coronet ingest FILES --book ${path}`);
  const book = await openOrExplain(path, readOnly);
  try {
    return await work(book);
  } finally {
    await book.close();
  }
}

/** Opens a book, wording what a keeper can do about it when it cannot be opened. */
export async function openOrExplain(path: string, readOnly: boolean): Promise<Book> {
  try {
    const book = await openNativeBook(path, { readOnly });
    await refuseNewer(book, path);
    return book;
  } catch (error) {
    if (error instanceof Unusable) throw error;
    const says = (error as Error).message;
    if (/could not set lock|conflicting lock|used by another process/i.test(says)) {
      const holder = /\(PID (\d+)\)/.exec(says)?.[1];
      throw new Unusable(
        `${path} is open in another program${holder === undefined ? "" : ` (process ${holder})`}. Close that one and try again.`,
      );
    }
    if (/not a valid DuckDB database|No magic bytes|corrupt/i.test(says)) {
      throw new Unusable(
        `${path} is not a book: it is some other kind of file, or damaged. Restore a backup, or name another file.`,
      );
    }
    if (/permission|read-only|denied/i.test(says)) {
      throw new Unusable(
        `${path} cannot be opened${readOnly ? "" : " for writing"}: check the permissions of the file and its folder, or name another book with --book.`,
      );
    }
    if (/no such file or directory/i.test(says))
      throw new Unusable(
        `There is no folder ${dirname(resolve(path))}. Make it, or name another book with --book.`,
      );
    throw error;
  }
}

/** A book whose tables a later version of the program made is left alone: this one would misread it. */
async function refuseNewer(book: Book, path: string): Promise<void> {
  const [kept] = await book.rows<{ n: number }>(
    "SELECT CAST(count(*) AS INTEGER) AS n FROM duckdb_tables() WHERE schema_name = 'book' AND table_name = 'meta'",
  );
  if (kept!.n === 0) return;
  const [meta] = await book.rows<{ version: number }>(
    "SELECT CAST(value AS INTEGER) AS version FROM book.meta WHERE name = 'schema'",
  );
  if (meta === undefined || meta.version <= schemaVersion) return;
  await book.close();
  throw new Unusable(
    `${path} was made by a later version of Coronet. Update this one, or open a copy made before.`,
  );
}
