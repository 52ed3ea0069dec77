import type { ColumnTable } from "arquero";

export type Row = Readonly<Record<string, string | number | boolean | null>>;

/** Rows of a table as objects. The table's own way compiles text for it, which the page's policy refuses. */
export function tableRows(table: ColumnTable): readonly Row[] {
  const columns = table.columnNames().map((name) => [name, table.array(name)] as const);
  return Array.from({ length: table.numRows() }, (_, i) =>
    Object.fromEntries(columns.map(([name, values]) => [name, values[i] as Row[string]])),
  );
}
