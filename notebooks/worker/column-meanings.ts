import { storedColumns } from "../../src/book/schema.ts";
import { penDay } from "../../src/exposure/pen-day.ts";
import { resultTables } from "../../src/findings/analyse.ts";
import type { Column } from "../../src/records/kind.ts";
import { kindIds, kinds } from "../../src/records/kinds.ts";

/** The data dictionary, from the definitions that the tables themselves are made from. */
export function columnMeanings(): Readonly<Record<string, string>> {
  const meanings: Record<string, string> = {};
  for (const id of kindIds) {
    const { table, meaning, columns } = kinds[id];
    meanings[`herd.${table}`] = meaning.en;
    for (const column of columns as readonly Column[])
      for (const { name } of storedColumns(column)) meanings[`herd.${table}.${name}`] = column.meaning.en;
  }
  for (const { schema, name, grain, columns } of [...resultTables, penDay]) {
    meanings[`${schema}.${name}`] = `one row per ${grain.join(", ").replaceAll("_", " ")}`;
    for (const [column, { meaning }] of Object.entries(columns))
      meanings[`${schema}.${name}.${column}`] = meaning;
  }
  return meanings;
}
