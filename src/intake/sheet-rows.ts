import { type Book, quoteName } from "../book/book.ts";
import { storedColumns } from "../book/schema.ts";
import type { Column } from "../records/kind.ts";
import { type KindId, kinds } from "../records/kinds.ts";

/**
 * The records of one kind as rows of a sheet, header first, in the kept units: read back, they give an equal
 * book. Numbers stand in full precision, days as ISO dates, rough birth dates as a range.
 */
export async function sheetRows(book: Book, kind: KindId): Promise<readonly (readonly (string | null)[])[]> {
  if (kind === "corrections") return [["file", "row", "column", "was", "now", "why"]];
  const { table, columns, grain } = kinds[kind];
  const names = columns.map((column) => column.name);
  const cells = columns.map((column) => `${cellOf(column)} AS ${quoteName(column.name)}`);
  const rows = await book.rows<Record<string, string | null>>(
    `SELECT flock, ${cells.join(", ")} FROM herd.${quoteName(table)} ORDER BY flock, ${grain.map((name) => `${quoteName(storedColumns(columns.find((column) => column.name === name)!)[0]!.name)} NULLS FIRST`).join(", ")}`,
  );
  return [["flock", ...names], ...rows.map((row) => ["flock", ...names].map((name) => row[name] ?? null))];
}

function cellOf(column: Column): string {
  if (column.type === "born") {
    return `CASE WHEN born_earliest = born_latest THEN CAST(born_earliest AS VARCHAR) ELSE born_earliest || ' to ' || born_latest END`;
  }
  if (column.type === "age")
    return `CASE WHEN ${column.name}_days IS NOT NULL THEN ${column.name}_days || ' days' END`;
  if (column.type === "flag")
    return `CASE ${quoteName(column.name)} WHEN TRUE THEN 'yes' WHEN FALSE THEN 'no' END`;
  return `CAST(${quoteName(column.name)} AS VARCHAR)`;
}
