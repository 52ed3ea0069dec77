import { openNativeBook } from "../../pipelines/native-book.ts";
import type { Book } from "../../src/book/book.ts";

/** A book in memory on one thread: the sheets of tests are small, and test files run side by side. */
export async function openTestBook(): Promise<Book> {
  const book = await openNativeBook(":memory:");
  await book.run("SET threads = 1");
  return book;
}
