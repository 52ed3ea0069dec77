import { existsSync, mkdirSync, readdirSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { quoteText } from "../../src/book/book.ts";
import { sheetRows } from "../../src/intake/sheet-rows.ts";
import { kindIds } from "../../src/records/kinds.ts";
import { writeDelimited } from "../../src/sheets/write-delimited.ts";
import { bookPath, withBook } from "../open-book.ts";
import { tableAsCsv } from "../result-files.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";

export const exportVerb: Verb = {
  name: "export",
  words: "DIR",
  says: "every table as CSV and Parquet with a data dictionary; --sheets writes sheets that ingest reads back",
  options: { sheets: { says: "the records as sheets, which ingest reads back to an equal book" } },
  leastWords: 1,
  mostWords: 1,
  async run(call, rim) {
    const folder = resolve(call.words[0]!);
    if (existsSync(folder) && readdirSync(folder).length > 0)
      throw new Unusable(`${folder} is not empty. Name a new folder.`);
    return withBook(bookPath(call), true, async (book) => {
      mkdirSync(folder, { recursive: true });
      if (call.flag("sheets")) {
        for (const kind of kindIds) {
          const rows = await sheetRows(book, kind);
          if (rows.length > 1) writeFileSync(join(folder, `${kind}.csv`), writeDelimited(rows));
        }
        rim.print(`Wrote the records as sheets to ${folder}.`);
        return 0;
      }
      const tables = await book.rows<{ schema: string; name: string; says: string }>(
        `SELECT schema_name AS schema, table_name AS name, coalesce(comment, '') AS says FROM duckdb_tables()
         WHERE database_name = current_database() AND schema_name IN ('intake', 'herd', 'exposure', 'results') ORDER BY ALL`,
      );
      for (const { schema, name } of tables) {
        mkdirSync(join(folder, schema), { recursive: true });
        const table = `${schema}."${name}"`;
        writeFileSync(join(folder, schema, `${name}.csv`), await tableAsCsv(book, table));
        await book.run(
          `COPY ${table} TO ${quoteText(join(folder, schema, `${name}.parquet`))} (FORMAT parquet)`,
        );
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
      rim.print(`Wrote ${tables.length} tables as CSV and Parquet, with data-dictionary.csv, to ${folder}.`);
      return 0;
    });
  },
};
