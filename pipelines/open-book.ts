import { existsSync } from "node:fs";
import type { Book } from "../src/book/book.ts";
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
    return await openNativeBook(path, { readOnly });
  } catch (error) {
    const says = (error as Error).message;
    if (/lock/i.test(says))
      throw new Unusable(`${path} is open in another program. Close that one and try again.`);
    if (/not a valid DuckDB database|No magic bytes|corrupt/i.test(says)) {
      throw new Unusable(
        `${path} is not a book: it is some other kind of file, or damaged. Restore a backup, or name another file.`,
      );
    }
    if (/permission|read-only|denied/i.test(says))
      throw new Unusable(`${path} cannot be opened for writing: check the folder's permissions.`);
    throw error;
  }
}
