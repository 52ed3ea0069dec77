import { type ColumnTable, table } from "arquero";
import type { Answer } from "../../src/book/ask-book.ts";
import type { BookClient } from "./book-client.ts";

/** A book that a notebook has open. */
export interface OpenBook {
  /** What the reader is told it is. */
  readonly name: string;
  ask(sql: string): Promise<Answer>;
  meanings(): Promise<Readonly<Record<string, string>>>;
  /** The answer as a table whose columns hold numbers, truths and texts as the engine had them. */
  table(sql: string): Promise<ColumnTable>;
}

export function openBook(name: string, client: BookClient): OpenBook {
  const ask = (sql: string): Promise<Answer> => client.call("ask", [sql]);
  const meanings = () => client.call("meanings", []);
  return { name, ask, meanings, table: async (sql) => answerTable(await ask(sql)) };
}

/** Texts of an answer back as what they are. */
export function answerTable({ columns, rows }: Answer): ColumnTable {
  return table(
    Object.fromEntries(
      columns.map(({ name, type }) => [name, rows.map((row) => plainValue(row[name] ?? null, type))]),
    ),
  );
}

export function isNumberType(type: string): boolean {
  return /^(U?(TINY|SMALL|BIG|HUGE)?INT(EGER)?|DOUBLE|FLOAT|DECIMAL.*)$/.test(type);
}

function plainValue(text: string | null, type: string): string | number | boolean | null {
  if (text === null) return null;
  if (type === "BOOLEAN") return text === "true";
  return isNumberType(type) ? Number(text) : text;
}
