import type { Book } from "../../src/book/book.ts";
import { schemaVersion } from "../../src/book/schema.ts";
import { openWasmBook } from "../wasm-book.ts";
import { Refused } from "./refused.ts";
import type { Engine } from "./start-engine.ts";

/**
 * Opens a book from the bytes of its file, for reading.
 *
 * @throws Refused when it is no book, was made by a later version, or holds no results yet
 */
export async function openBookFile(engine: Engine, bytes: Uint8Array): Promise<Book> {
  const book = await openOrRefuse(engine, bytes);
  const tables = await book.rows<{ name: string }>(
    "SELECT schema_name || '.' || table_name AS name FROM duckdb_tables()",
  );
  const has = new Set(tables.map(({ name }) => name));
  if (!has.has("book.meta")) throw new Refused("This file is a database, but not a book of Coronet's.");
  const [meta] = await book.rows<{ version: number }>(
    "SELECT CAST(value AS INTEGER) AS version FROM book.meta WHERE name = 'schema'",
  );
  if (meta !== undefined && meta.version > schemaVersion)
    throw new Refused("This book was made by a later version of Coronet than this page.");
  if (!has.has("results.manifest"))
    throw new Refused("This book holds no results yet. Run coronet analyse on it, then open it again.");
  return book;
}

async function openOrRefuse(engine: Engine, bytes: Uint8Array): Promise<Book> {
  try {
    return await openWasmBook(engine.openFile(bytes));
  } catch (error) {
    throw new Refused(
      `This file is not a book, or it is damaged. (${(error as Error).message.split("\n")[0]})`,
    );
  }
}
