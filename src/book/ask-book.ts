import { type Book, quoteText } from "./book.ts";

/** What a question of a reader's own gave: its columns in order, and every cell as text. */
export interface Answer {
  readonly columns: readonly AnswerColumn[];
  readonly rows: readonly Readonly<Record<string, string | null>>[];
}

export interface AnswerColumn {
  readonly name: string;
  /** The engine's own word for what the column holds. */
  readonly type: string;
}

/** Shuts the book off from files and the network, for as long as it is open. */
export async function shutBook(book: Book): Promise<void> {
  await book.run("SET enable_external_access = false; SET lock_configuration = true");
}

/**
 * Answers a question that a reader wrote in SQL. The engine is given it as text and takes nothing but one
 * statement that selects: what writes, attaches, installs or copies is refused before anything runs, and so
 * are two statements in a row.
 *
 * @throws Error in the engine's words when it cannot be answered
 */
export async function askBook(book: Book, sql: string): Promise<Answer> {
  const asked = `query(${quoteText(sql)})`;
  const columns = await book.rows<{ name: string; type: string }>(
    `SELECT column_name AS name, column_type AS type FROM (DESCRIBE SELECT * FROM ${asked})`,
  );
  const rows = await book.rows<Record<string, string | null>>(
    `SELECT CAST(COLUMNS(*) AS VARCHAR) FROM ${asked}`,
  );
  return { columns, rows };
}

/** The engine's words of what is wrong, without the statement around the question. */
export function wordRefusal(error: unknown): string {
  return (error as Error).message.replace(/\n\nLINE[\s\S]*$/, "");
}
