import { type Book, quoteName } from "../book/book.ts";
import { tableName } from "../book/check-table.ts";
import type { RowOf, TableColumns, TableDefinition } from "../records/table.ts";

/** Rows of a result table as TypeScript sees them: days as day numbers, in the order of the table's grain. */
export async function readTable<C extends TableColumns>(
  book: Book,
  table: TableDefinition<C>,
  where = "TRUE",
): Promise<RowOf<TableDefinition<C>>[]> {
  const columns = Object.entries(table.columns).map(([name, column]) =>
    column.type === "day" ? `day_no(${quoteName(name)}) AS ${quoteName(name)}` : quoteName(name),
  );
  return book.rows(
    `SELECT ${columns.join(", ")} FROM ${tableName(table)} WHERE ${where} ORDER BY ${table.grain.map((name) => `${tableName(table)}.${quoteName(name)}`).join(", ")}`,
  );
}
