import { existsSync } from "node:fs";
import { dirname, resolve } from "node:path";
import type { Book } from "../src/book/book.ts";
import { type Migration, migrate, migrations, schemaOf } from "../src/book/migrations.ts";
import { schemaVersion } from "../src/book/schema.ts";
import { checkedCopy } from "./checked-copy.ts";
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

/** How books of earlier versions are brought up: the steps, and the version they lead to. */
export interface Upgrade {
  readonly steps: readonly Migration[];
  readonly to: number;
}

const currentUpgrade: Upgrade = { steps: migrations, to: schemaVersion };

/**
 * Opens a book, wording what a keeper can do about it when it cannot be opened. A book that an earlier version
 * made is brought up first; a checked copy of it as it was is left beside it.
 */
export async function openOrExplain(
  path: string,
  readOnly: boolean,
  upgrade: Upgrade = currentUpgrade,
): Promise<Book> {
  const book = await openWorded(path, readOnly);
  const schema = await schemaOf(book);
  if (schema === null || schema === upgrade.to) return book;
  await book.close();
  if (schema > upgrade.to) {
    throw new Unusable(
      `${path} was made by a later version of Coronet. Update this one, or open a copy made before.`,
    );
  }
  await bringUp(path, schema, upgrade);
  return openWorded(path, readOnly);
}

async function bringUp(path: string, schema: number, { steps, to }: Upgrade): Promise<void> {
  // taken for writing before the copy is made, so that a book that cannot be written to gives the reason at once
  await (await openWorded(path, false)).close();
  await checkedCopy(path, freeName(path.replace(/(\.duckdb)?$/, `.schema-${schema}`)));
  const book = await openWorded(path, false);
  try {
    await migrate(book, steps, to);
  } finally {
    await book.close();
  }
}

/** A name for a book beside others: nothing that is there is written over. */
function freeName(stem: string): string {
  for (let n = 1; ; n++) {
    const name = `${stem}${n === 1 ? "" : `-${n}`}.duckdb`;
    if (!existsSync(name)) return name;
  }
}

async function openWorded(path: string, readOnly: boolean): Promise<Book> {
  try {
    return await openNativeBook(path, { readOnly });
  } catch (error) {
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
