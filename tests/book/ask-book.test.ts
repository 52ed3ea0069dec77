import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { openWasmBook } from "../../notebooks/wasm-book.ts";
import { openNativeBook } from "../../pipelines/native-book.ts";
import { askBook, shutBook, wordRefusal } from "../../src/book/ask-book.ts";
import type { Book } from "../../src/book/book.ts";
import { call, scratchFolder } from "../pipelines/recording-rim.ts";
import { wasmEngineOpener } from "./open-wasm-engine.ts";

const folder = scratchFolder();
const openWasmEngine = wasmEngineOpener();
const secret = join(folder, "secret.csv");
const written = join(folder, "written");

/** Statements that a reader's question must not be, by what they try. */
const attacks: Readonly<Record<string, readonly string[]>> = {
  "to write": [
    "INSERT INTO herd.animal VALUES ('X')",
    "UPDATE herd.animal SET animal = 'X'",
    "DELETE FROM herd.animal",
    "DELETE FROM herd.animal RETURNING animal",
    "TRUNCATE herd.animal",
    "MERGE INTO herd.animal USING (SELECT 'X' AS animal) u USING (animal) WHEN NOT MATCHED THEN INSERT",
    "DROP TABLE herd.animal",
    "ALTER TABLE herd.animal ADD COLUMN x INTEGER",
    "CREATE TABLE x AS SELECT 1",
    "CREATE TEMP TABLE x AS SELECT 1",
    "CREATE OR REPLACE VIEW herd.v AS SELECT 1",
    "CREATE OR REPLACE MACRO day_no(d) AS 0",
    "COMMENT ON TABLE herd.animal IS 'x'",
    "WITH gone AS (DELETE FROM herd.animal RETURNING animal) SELECT * FROM gone",
    "SELECT * FROM (DELETE FROM herd.animal RETURNING animal)",
    "SELECT * INTO x FROM herd.animal",
    "SELECT nextval('numbers')",
    "VACUUM",
    "CHECKPOINT",
    "SELECT * FROM checkpoint()",
    "SELECT * FROM force_checkpoint()",
    "EXPLAIN ANALYZE DELETE FROM herd.animal",
    "PREPARE p AS DELETE FROM herd.animal",
    "BEGIN TRANSACTION",
    "ROLLBACK",
  ],
  "two things at once": [
    "SELECT 1; SELECT 2",
    "SELECT 1; DELETE FROM herd.animal",
    "SELECT 1;\n--\nDROP TABLE herd.animal",
    "SELECT 1') ; DELETE FROM herd.animal; SELECT ('1",
    "1); DELETE FROM herd.animal; --",
    "SELECT 1\n) AS asked; DELETE FROM herd.animal; SELECT * FROM (SELECT 1",
    "SELECT 1\0; DELETE FROM herd.animal",
    "",
    ";",
    "-- nothing but a comment",
  ],
  "to read files": [
    `SELECT * FROM '${secret}'`,
    `SELECT * FROM "${secret}"`,
    `FROM '${secret}'`,
    `SELECT * FROM read_csv('${secret}')`,
    `SELECT * FROM read_csv_auto('${secret}')`,
    `SELECT * FROM read_text('${secret}')`,
    `SELECT * FROM read_blob('${secret}')`,
    `SELECT * FROM READ_TEXT ('${secret}')`,
    `SELECT * FROM "read_text"('${secret}')`,
    `SELECT * FROM system.main.read_text('${secret}')`,
    `SELECT * FROM read_text/* a */('${secret}')`,
    `SELECT * FROM read_text\u200B('${secret}')`,
    `SELECT * FROM read_json('${secret}')`,
    `SELECT * FROM read_parquet('${secret}')`,
    `SELECT * FROM parquet_metadata('${secret}')`,
    `SELECT * FROM read_duckdb('${secret}')`,
    `SELECT * FROM sniff_csv('${secret}')`,
    `SELECT * FROM glob('${folder}/*')`,
    `SELECT * FROM query_table('${secret}')`,
    `SELECT * FROM query('SELECT * FROM read_' || 'text(''${secret}'')')`,
    `SELECT (SELECT content FROM read_text('${secret}'))`,
    `SELECT * FROM herd.animal WHERE animal IN (SELECT content FROM read_text('${secret}'))`,
    `SELECT * FROM '${join(folder, "..", "..", "etc", "passwd")}'`,
    "SELECT * FROM read_text('../../package.json')",
    `ATTACH '${secret}' AS other`,
    `COPY herd.animal TO '${written}'`,
    `COPY (SELECT 1) TO '${written}'`,
    `COPY herd.animal FROM '${secret}'`,
    `EXPORT DATABASE '${written}'`,
    `IMPORT DATABASE '${folder}'`,
    `SELECT * FROM enable_logging(storage = 'file', storage_path = '${written}')`,
    `SELECT * FROM enable_profiling(save_location = '${written}')`,
  ],
  "to reach the network or load code": [
    "SELECT * FROM 'https://example.org/a.csv'",
    "SELECT * FROM read_csv('https://example.org/a.csv')",
    "SELECT * FROM read_parquet('s3://bucket/a.parquet')",
    "INSTALL httpfs",
    "LOAD httpfs",
    "FORCE INSTALL excel FROM community",
    "UPDATE EXTENSIONS",
    "CREATE SECRET s (TYPE s3, KEY_ID 'a', SECRET 'b')",
    "SELECT * FROM which_secret('s3://bucket', 's3')",
    "SELECT * FROM duckdb_secrets()",
    "ATTACH 'https://example.org/book.duckdb' AS other",
    "SELECT * FROM arrow_scan(1, 2, 3)",
  ],
  "to change or look behind the settings": [
    "SET enable_external_access = true",
    "SET lock_configuration = false",
    "RESET enable_external_access",
    "SET VARIABLE x = 1",
    "PRAGMA database_list",
    "PRAGMA enable_profiling",
    "CALL enable_logging()",
    "SELECT * FROM enable_logging()",
    "SELECT * FROM disable_logging()",
    "SELECT write_log('x')",
    "SELECT getenv('HOME')",
    "SELECT * FROM duckdb_settings()",
    "SELECT * FROM json_execute_serialized_sql(json_serialize_sql('SELECT 1'))",
    "USE herd",
    "DETACH memory",
  ],
};

/** Questions that must go on being answered, with what they give. */
const questions: readonly (readonly [string, readonly Readonly<Record<string, string>>[]])[] = [
  ["SELECT animal FROM herd.animal", [{ animal: "A1" }]],
  ["SELECT animal FROM herd.animal;", [{ animal: "A1" }]],
  ["FROM herd.animal -- all of them", [{ animal: "A1" }]],
  ["WITH a AS (SELECT 2 AS n) SELECT n * 3 AS n FROM a", [{ n: "6" }]],
  ["SELECT sum(i) AS s FROM range(4) r(i)", [{ s: "6" }]],
  ["SELECT 'it''s; DROP TABLE x' AS word", [{ word: "it's; DROP TABLE x" }]],
  ["SELECT table_name FROM duckdb_tables() WHERE schema_name = 'herd'", [{ table_name: "animal" }]],
];

const engines: Readonly<Record<string, () => Promise<Book>>> = {
  native: () => openNativeBook(":memory:"),
  WebAssembly: async () => openWasmBook(await openWasmEngine()),
};

describe.each(Object.keys(engines))("a reader's question on the %s engine", (engine) => {
  let book: Book;
  beforeAll(async () => {
    writeFileSync(secret, "a,b\nsecret-content,2\n");
    book = await engines[engine]!();
    await book.run(
      "CREATE SCHEMA herd; CREATE TABLE herd.animal (animal VARCHAR); INSERT INTO herd.animal VALUES ('A1'); CREATE SEQUENCE numbers",
    );
    await shutBook(book);
  });
  afterAll(() => book.close());

  test.each(Object.keys(attacks))("is refused when it tries %s", async (what) => {
    for (const attack of attacks[what]!) {
      const refusal = await askBook(book, attack).then(() => null, wordRefusal);
      expect(refusal, attack).not.toBeNull();
      expect(refusal, attack).not.toMatch(/secret-content/);
      // nothing changed, nothing was written, and the book goes on answering
      expect((await askBook(book, "SELECT animal FROM herd.animal")).rows, attack).toEqual([
        { animal: "A1" },
      ]);
    }
    expect(readFileSync(secret, "utf8")).toBe("a,b\nsecret-content,2\n");
    expect(existsSync(written)).toBe(false);
  });

  test.each(questions)("is answered when it only reads: %s", async (sql, rows) => {
    expect((await askBook(book, sql)).rows).toEqual(rows);
  });
});

test("the query verb refuses in plain words, with the exit code of unusable words", async () => {
  const path = join(folder, "flock.duckdb");
  const book = await openNativeBook(path);
  await book.run("CREATE TABLE t AS SELECT 1 AS n");
  await book.close();
  for (const attack of [
    "DROP TABLE t",
    `SELECT * FROM read_text('${secret}')`,
    `SELECT * FROM '${secret}'`,
  ]) {
    const { code, told, printed } = await call("query", attack, "--book", path);
    expect(told, attack).toMatch(/^The book could not answer: /);
    expect(code).toBe(2);
    expect(printed).toBe("");
  }
  expect((await call("query", "SELECT n FROM t", "--book", path, "--csv")).printed).toBe("n\n1");
});
