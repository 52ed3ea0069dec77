import { randomBytes } from "node:crypto";
import { existsSync, readdirSync, writeFileSync } from "node:fs";
import { relative, resolve } from "node:path";
import { type Book, quoteText } from "../src/book/book.ts";
import { fillAnonymous } from "../src/book/fill-anonymous.ts";
import type { StudyNumber } from "../src/book/study-numbers.ts";
import { writeDelimited } from "../src/sheets/write-delimited.ts";
import { openNativeBook } from "./native-book.ts";
import { bookPath, withBook } from "./open-book.ts";
import type { Rim } from "./rim.ts";
import { Unusable } from "./unusable.ts";
import type { Call, Option } from "./verb.ts";

/** Options of verbs that can speak in study numbers. */
export const anonymousOptions: Readonly<Record<string, Option>> = {
  anonymous: { says: "study numbers in place of every name; raw rows, remarks and file names left out" },
  key: { value: "FILE", says: "with --anonymous: write there which number is whose, and nowhere else" },
};

/**
 * Opens the call's book for reading: as it is, or with --anonymous a copy in memory in which every name is a study
 * number, so that nothing after it ever sees a name. `out` is where the verb writes: nothing else may lie there, and no
 * key. The work is also given the flock that the call asks for, as the opened book knows it.
 */
export async function withReadableBook<T>(
  call: Call,
  rim: Rim,
  out: string | null,
  work: (book: Book, flock: string | null) => Promise<T>,
): Promise<T> {
  const path = bookPath(call);
  const key = call.text("key");
  const asked = call.text("flock");
  if (!call.flag("anonymous")) {
    if (key !== null)
      throw new Unusable("--key belongs to --anonymous: without it there is nothing to tell.");
    return withBook(path, true, (book) => work(book, asked));
  }
  if (out !== null && existsSync(out) && readdirSync(out).length > 0)
    throw new Unusable(`${out} is not empty: what lies there may name somebody. Name a new folder.`);
  const keyFile = key === null ? null : freeKeyFile(key, out);
  if ((await withBook(path, true, readSecret)) === null) await withBook(path, false, ensureSecret);
  const copy = await openNativeBook(":memory:");
  try {
    await copy.run(`ATTACH ${quoteText(path)} AS original (READ_ONLY)`);
    const [held] = await copy.rows<{ value: string }>(
      "SELECT value FROM original.book.meta WHERE name = 'secret'",
    );
    const anonymous = await fillAnonymous(copy, "original", held!.value);
    for (const table of ["study_number", "study_code", "study_settings", "study_birth"])
      await copy.run(`DROP TABLE temp.${table}`);
    await copy.run("DETACH original");
    const flock = anonymous.key.find(({ named, original }) => named === "flock" && original === asked);
    const result = await work(copy, asked === null ? null : (flock?.number ?? asked));
    if (keyFile !== null) {
      writeFileSync(keyFile, keySheet(anonymous.key), { flag: "wx", mode: 0o600 });
      rim.tell(
        `Which number is whose stands in ${keyFile}, and nowhere else. Keep it apart from what you pass on.`,
      );
    }
    return result;
  } finally {
    await copy.close();
  }
}

/** The secret from which study numbers follow; null in a book that never had one. */
export async function readSecret(book: Book): Promise<string | null> {
  const [held] = await book.rows<{ value: string }>("SELECT value FROM book.meta WHERE name = 'secret'");
  return held?.value ?? null;
}

/** Gives the book a secret where it has none: the given one, so that a book rebuilt keeps its numbers, else a new one. */
export async function ensureSecret(book: Book, kept: string | null = null): Promise<void> {
  const secret = kept ?? randomBytes(32).toString("hex");
  await book.run(`INSERT INTO book.meta VALUES ('secret', ${quoteText(secret)}) ON CONFLICT DO NOTHING`);
}

function freeKeyFile(key: string, out: string | null): string {
  const file = resolve(key);
  if (existsSync(file))
    throw new Unusable(`${file} is there already. Name a new file: a key never overwrites.`);
  if (out !== null && !relative(resolve(out), file).startsWith(".."))
    throw new Unusable(`${file} lies in ${resolve(out)}, which is to be passed on. Name a file elsewhere.`);
  return file;
}

function keySheet(key: readonly StudyNumber[]): string {
  return writeDelimited(
    [
      ["kind", "flock", "name", "study number"],
      ...key.map(({ named, flock, original, number }) => [named, flock, original, number]),
    ],
    { byteOrderMark: true },
  );
}
