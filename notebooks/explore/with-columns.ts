import { type ColumnTable, table } from "arquero";
import { type Row, tableRows } from "../book/table-rows.ts";

/**
 * The table with columns worked out row by row. The table's own verbs would compile text for it, which the
 * page's policy refuses.
 */
export function withColumns(
  given: ColumnTable,
  make: Readonly<Record<string, (row: Row) => string | number | null>>,
): ColumnTable {
  const rows = tableRows(given);
  return given.assign(
    table(Object.fromEntries(Object.entries(make).map(([name, of]) => [name, rows.map(of)]))),
  );
}
