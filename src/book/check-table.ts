import type { TableDefinition } from "../records/table.ts";
import { type Book, quoteName } from "./book.ts";

/** `schema.name`, quoted where SQL needs it. */
export function tableName(table: { readonly schema: string; readonly name: string }): string {
  return `${table.schema}.${quoteName(table.name)}`;
}

/** Throws, naming table and rule, when a row breaks an identity or the grain: both are bugs, never data. */
export async function checkTable(book: Book, table: TableDefinition): Promise<void> {
  const name = tableName(table);
  const grain = table.grain.map(quoteName).join(", ");
  const [twice] = await book.rows<{ n: number }>(
    `SELECT CAST(count(*) AS INTEGER) AS n FROM (SELECT ${grain} FROM ${name} GROUP BY ${grain} HAVING count(*) > 1)`,
  );
  if (twice && twice.n > 0)
    throw new Error(`${name}: ${twice.n} rows stand twice on ${table.grain.join(", ")}`);
  for (const { says, holds } of table.identities) {
    const [broken] = await book.rows<{ n: number }>(
      `SELECT CAST(count(*) AS INTEGER) AS n FROM ${name} WHERE NOT (${holds})`,
    );
    if (broken && broken.n > 0) throw new Error(`${name}: ${broken.n} rows break '${says}'`);
  }
}
