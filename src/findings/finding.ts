import { type Book, type LoadColumn, quoteName, sqlTypes } from "../book/book.ts";
import { checkTable, tableName } from "../book/check-table.ts";
import type { Flock } from "../records/flock.ts";
import type { RowOf, TableColumns, TableDefinition } from "../records/table.ts";
import type { Crew } from "./crew.ts";

/** What every finding is given: the book, its flocks, a seed for whatever it draws, and who computes. */
export interface FindingContext {
  readonly book: Book;
  readonly flocks: readonly Flock[];
  readonly seed: number;
  readonly crew: Crew;
}

/** One question's result table, or tables that are worked out together, and how they are filled. */
export interface Finding {
  readonly tables: readonly TableDefinition[];
  /** Tables of other findings to which it adds rows. */
  readonly adds?: readonly TableDefinition[];
  /** Begins jobs that need no result table, before the finding's turn comes. */
  begin?(context: FindingContext): Promise<unknown>;
  fill(context: FindingContext): Promise<void>;
}

/** Creates the finding's tables anew, fills them, and checks the identities that they declare. */
export async function runFinding(finding: Finding, context: FindingContext): Promise<void> {
  const { book } = context;
  for (const table of finding.tables) await book.run(createTable(table));
  await finding.fill(context);
  for (const table of finding.tables) await checkTable(book, table);
}

export function createTable(table: TableDefinition): string {
  const columns = Object.entries(table.columns).map(
    ([name, column]) => `${quoteName(name)} ${sqlTypes[column.type]}${column.nullable ? "" : " NOT NULL"}`,
  );
  return `CREATE OR REPLACE TABLE ${tableName(table)} (${columns.join(", ")})`;
}

/** Appends rows to the finding's table. */
export async function insertRows<C extends TableColumns>(
  book: Book,
  table: TableDefinition<C>,
  rows: readonly RowOf<TableDefinition<C>>[],
): Promise<void> {
  const columns = Object.entries(table.columns).map(([name, column]): LoadColumn => {
    const cells = rows.map((row) => row[name as keyof typeof row] as string | number | boolean | null);
    if (column.type === "text") return { name, type: "text", values: cells as (string | null)[] };
    if (column.type === "flag") return { name, type: "flag", values: cells as (boolean | null)[] };
    return {
      name,
      type: column.type,
      values: Float64Array.from(cells, (cell) => (cell === null ? Number.NaN : Number(cell))),
    };
  });
  if (rows.length > 0) await book.load(tableName(table).replaceAll('"', ""), columns);
}
