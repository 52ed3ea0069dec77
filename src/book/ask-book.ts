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
 * are two statements in a row, and functions through which a selecting statement could still change or reach
 * something.
 *
 * @throws Error in plain or the engine's words when it cannot be answered
 */
export async function askBook(book: Book, sql: string): Promise<Answer> {
  await refuseReach(book, sql);
  const asked = `query(${quoteText(sql)})`;
  const columns = await book.rows<{ name: string; type: string }>(
    `SELECT column_name AS name, column_type AS type FROM (DESCRIBE SELECT * FROM ${asked})`,
  );
  const rows = await book.rows<Record<string, string | null>>(
    `SELECT CAST(COLUMNS(*) AS VARCHAR) FROM ${asked}`,
  );
  return { columns, rows };
}

/** Functions that give a table and neither change nor reach anything beside the book's own rows. */
const harmlessTables: ReadonlySet<string> = new Set([
  ...[
    "unnest",
    "range",
    "generate_series",
    "repeat",
    "repeat_row",
    "summary",
    "histogram",
    "histogram_values",
  ],
  ...["json_each", "json_tree", "pragma_table_info"],
  ...["duckdb_columns", "duckdb_constraints", "duckdb_functions", "duckdb_keywords", "duckdb_schemas"],
  ...["duckdb_tables", "duckdb_types", "duckdb_views"],
]);

/** Functions that give a value, yet change or reach something. */
const reachingValues = ["getenv", "nextval", "write_log"];

/**
 * Throws when the question calls a function of the engine that could switch logs or profiles on, write the
 * book's file out, run a text as a statement of its own, or look at files. Every function that gives a table
 * counts among these unless it is known to be harmless, so that a later engine opens nothing new. Quotes and
 * comments are not told apart: a text that holds such a call is refused as well.
 */
async function refuseReach(book: Book, sql: string): Promise<void> {
  const known = await book.rows<{ name: string }>(
    "SELECT DISTINCT function_name AS name FROM duckdb_functions() WHERE function_type IN ('table', 'pragma', 'table_macro')",
  );
  const refused = new Set([...known.map(({ name }) => name.toLowerCase()), ...reachingValues]);
  // the engine takes invisible marks for spaces, and lets a comment stand before the bracket
  for (const [, name] of sql.matchAll(/([\p{L}\p{N}_$]+)"?[\s\p{Z}\p{Cf}]*(?=\(|--|\/\*)/gu)) {
    const called = name!.toLowerCase();
    if (refused.has(called) && !harmlessTables.has(called))
      throw new Error(
        `${called} cannot be used here: a question reads the book's own tables and nothing else.`,
      );
  }
}

/** The engine's words of what is wrong, without the statement around the question. */
export function wordRefusal(error: unknown): string {
  return (error as Error).message.replace(/\n\nLINE[\s\S]*$/, "");
}
