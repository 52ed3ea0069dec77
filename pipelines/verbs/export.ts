import { existsSync, mkdirSync, readdirSync, renameSync, rmdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { type Book, quoteText } from "../../src/book/book.ts";
import { sheetRows } from "../../src/intake/sheet-rows.ts";
import { tableAsCsv } from "../../src/output/result-files.ts";
import { kindIds } from "../../src/records/kinds.ts";
import { writeDelimited } from "../../src/sheets/write-delimited.ts";
import { anonymousOptions, withReadableBook } from "../anonymous-book.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";
import { inWorkshop } from "../workshop.ts";

export const exportVerb: Verb = {
  name: "export",
  words: "DIR",
  says: "every table as CSV and Parquet with a data dictionary; --sheets writes sheets that ingest reads back",
  options: {
    sheets: { says: "the records as sheets, which ingest reads back to an equal book" },
    ...anonymousOptions,
  },
  leastWords: 1,
  mostWords: 1,
  async run(call, rim) {
    const folder = resolve(call.words[0]!);
    if (existsSync(folder) && readdirSync(folder).length > 0)
      throw new Unusable(`${folder} is not empty. Name a new folder.`);
    return withReadableBook(call, rim, folder, (book) =>
      inWorkshop(folder, async (workshop) => {
        const whole = join(workshop, "export");
        mkdirSync(whole);
        const wrote = call.flag("sheets") ? await writeSheets(book, whole) : await writeTables(book, whole);
        if (existsSync(folder)) rmdirSync(folder);
        renameSync(whole, folder);
        rim.print(`Wrote ${wrote} to ${folder}.`);
        return 0;
      }),
    );
  },
};

async function writeSheets(book: Book, folder: string): Promise<string> {
  for (const kind of kindIds) {
    const rows = await sheetRows(book, kind);
    if (rows.length > 1) writeFileSync(join(folder, `${kind}.csv`), writeDelimited(rows));
  }
  return "the records as sheets";
}

async function writeTables(book: Book, folder: string): Promise<string> {
  const tables = await book.rows<{ schema: string; name: string }>(
    `SELECT schema_name AS schema, table_name AS name FROM duckdb_tables()
     WHERE database_name = current_database() AND schema_name IN ('intake', 'herd', 'exposure', 'results') ORDER BY ALL`,
  );
  for (const { schema, name } of tables) {
    mkdirSync(join(folder, schema), { recursive: true });
    const table = `${schema}."${name}"`;
    writeFileSync(join(folder, schema, `${name}.csv`), await tableAsCsv(book, table));
    await book.run(`COPY ${table} TO ${quoteText(join(folder, schema, `${name}.parquet`))} (FORMAT parquet)`);
  }
  const columns = await book.rows<{
    schema: string;
    table: string;
    column: string;
    type: string;
    says: string;
  }>(
    `SELECT schema_name AS schema, table_name AS "table", column_name AS "column", data_type AS type, coalesce(comment, '') AS says
     FROM duckdb_columns() WHERE database_name = current_database() AND schema_name IN ('intake', 'herd', 'exposure', 'results')
     ORDER BY schema_name, table_name, column_index`,
  );
  writeFileSync(
    join(folder, "data-dictionary.csv"),
    writeDelimited([
      ["schema", "table", "column", "type", "meaning"],
      ...columns.map((one) => [one.schema, one.table, one.column, one.type, one.says]),
    ]),
  );
  return `${tables.length} tables as CSV and Parquet, with data-dictionary.csv,`;
}
