import { type AnonymousRows, anonymousRows } from "./anonymous-select.ts";
import { type Book, quoteName, quoteText } from "./book.ts";

/**
 * Fills an empty book with the rows of another that the session holds attached under the name `from`, every name in
 * them a study number, and what could name anything left out. Tables of which no row may leave stay empty. The secret
 * itself is not carried over.
 */
export async function fillAnonymous(book: Book, from: string, secret: string): Promise<AnonymousRows> {
  const [own] = await book.rows<{ name: string }>("SELECT current_database() AS name");
  await book.run(`COPY FROM DATABASE ${quoteName(from)} TO ${quoteName(own!.name)} (SCHEMA)`);
  const anonymous = await anonymousRows(book, from, secret);
  const tables = await book.rows<{ schema: string; table: string }>(
    `SELECT schema_name AS schema, table_name AS "table" FROM duckdb_tables() WHERE database_name = ${quoteText(from)}
       AND schema_name IN ('intake', 'herd', 'exposure', 'results') ORDER BY ALL`,
  );
  for (const { schema, table } of tables) {
    const select = anonymous.select(schema, table);
    if (select !== null) await book.run(`INSERT INTO ${schema}.${quoteName(table)} ${select}`);
  }
  await book.run(
    `INSERT INTO book.meta SELECT * FROM ${quoteName(from)}.book.meta WHERE name = 'schema' ON CONFLICT DO NOTHING`,
  );
  await book.run("INSERT INTO book.meta VALUES ('anonymous', 'yes')");
  return anonymous;
}
