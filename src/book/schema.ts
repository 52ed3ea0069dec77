import type { Column, ColumnType, Kind } from "../records/kind.ts";
import { kindIds, kinds } from "../records/kinds.ts";
import { quoteName } from "./book.ts";

/** Raised by one whenever a table of `intake` or `herd` changes; a step in `migrations.ts` brings old books up. */
export const schemaVersion = 1;

/**
 * The columns that keep a sheet column in `herd`. Most keep their name; a rough birth date becomes its
 * earliest and latest day, and an age its number of days.
 */
export function storedColumns(
  column: Column,
): readonly { readonly name: string; readonly sqlType: string }[] {
  if (column.type === "born") {
    return [
      { name: "born_earliest", sqlType: "DATE" },
      { name: "born_latest", sqlType: "DATE" },
    ];
  }
  if (column.type === "age") return [{ name: `${column.name}_days`, sqlType: "DOUBLE" }];
  return [{ name: column.name, sqlType: sqlTypeOf[column.type] }];
}

const sqlTypeOf: Readonly<Record<Exclude<ColumnType, "born" | "age">, string>> = {
  tag: "VARCHAR",
  tags: "VARCHAR",
  parents: "VARCHAR",
  name: "VARCHAR",
  text: "VARCHAR",
  day: "DATE",
  flag: "BOOLEAN",
  choice: "VARCHAR",
  number: "DOUBLE",
  integer: "INTEGER",
  foot: "VARCHAR",
  claw: "VARCHAR",
  stage: "VARCHAR",
  lesions: "VARCHAR",
  gait_scale: "VARCHAR",
};

/** Statements that create every schema, macro and table of an empty book, result tables apart. */
export function schemaStatements(): readonly string[] {
  return [
    "CREATE SCHEMA IF NOT EXISTS book",
    "CREATE SCHEMA IF NOT EXISTS intake",
    "CREATE SCHEMA IF NOT EXISTS herd",
    "CREATE SCHEMA IF NOT EXISTS exposure",
    "CREATE SCHEMA IF NOT EXISTS results",
    "CREATE OR REPLACE MACRO day_no(d) AS CAST(CAST(d AS DATE) - DATE '1970-01-01' AS INTEGER)",
    "CREATE OR REPLACE MACRO day_of(n) AS DATE '1970-01-01' + CAST(n AS INTEGER)",
    "CREATE TABLE IF NOT EXISTS book.meta (name VARCHAR PRIMARY KEY, value VARCHAR)",
    `INSERT INTO book.meta VALUES ('schema', '${schemaVersion}') ON CONFLICT DO NOTHING`,
    ...intakeTables,
    ...kindIds.filter((id) => id !== "corrections").map((id) => herdTable(kinds[id])),
    ...derivedHerdTables,
  ];
}

/** Every column of the table that keeps a kind, what the intake works out included; provenance apart. */
export function herdColumns(kind: Kind): readonly { readonly name: string; readonly sqlType: string }[] {
  return kind.columns.flatMap(storedColumns).concat(extraColumns[kind.id] ?? []);
}

function herdTable(kind: Kind): string {
  const columns = herdColumns(kind).map(({ name, sqlType }) => `${quoteName(name)} ${sqlType}`);
  return `CREATE TABLE IF NOT EXISTS herd.${quoteName(kind.table)} (flock VARCHAR NOT NULL, source_id INTEGER NOT NULL, row_no INTEGER NOT NULL, ${columns.join(", ")})`;
}

/** What the intake works out beside the sheet's own columns. */
const extraColumns: Readonly<Record<string, readonly { name: string; sqlType: string }[]>> = {
  // where a trims row came from when it is not a plain one: 'group' for an expanded group row, 'remark'
  trims: [{ name: "origin", sqlType: "VARCHAR" }],
  gaits: [{ name: "origin", sqlType: "VARCHAR" }],
  // the word of the closed list, the text as it came, and whether it was only suspected
  lesions: [
    { name: "lesion_text", sqlType: "VARCHAR" },
    { name: "suspected", sqlType: "BOOLEAN" },
    { name: "origin", sqlType: "VARCHAR" },
  ],
};

const derivedHerdTables = [
  // one row per animal and parent: candidates carry their share; a parent need not have a row of its own
  `CREATE TABLE IF NOT EXISTS herd.parent (flock VARCHAR NOT NULL, animal VARCHAR NOT NULL, parent VARCHAR NOT NULL,
     role VARCHAR NOT NULL, share DOUBLE NOT NULL, source_id INTEGER NOT NULL, row_no INTEGER NOT NULL)`,
  // animals of two flocks that are one, as the settings say; equal tags alone never mean that
  `CREATE TABLE IF NOT EXISTS herd.same_animal (flock VARCHAR NOT NULL, animal VARCHAR NOT NULL, same_flock VARCHAR NOT NULL,
     same_animal VARCHAR NOT NULL)`,
  // settings of each flock as they stood at the last ingest (JSON), read by analyses and pages
  "CREATE TABLE IF NOT EXISTS herd.flock (flock VARCHAR PRIMARY KEY, name VARCHAR, settings VARCHAR NOT NULL)",
];

const intakeTables = [
  "CREATE TABLE IF NOT EXISTS intake.ingest (ingest_id INTEGER PRIMARY KEY, taken_at VARCHAR NOT NULL, verb VARCHAR NOT NULL, version VARCHAR NOT NULL)",
  // `understood` holds, as JSON, how each column was read: header, meaning, unit, sample, how sure
  `CREATE TABLE IF NOT EXISTS intake.source (source_id INTEGER PRIMARY KEY, ingest_id INTEGER NOT NULL, flock VARCHAR NOT NULL,
     file VARCHAR NOT NULL, worksheet VARCHAR, kind VARCHAR, layout VARCHAR, sha256 VARCHAR NOT NULL, version INTEGER NOT NULL,
     row_count INTEGER NOT NULL, understood VARCHAR NOT NULL)`,
  // every row as it came: its cells as a JSON array of texts
  "CREATE TABLE IF NOT EXISTS intake.raw_row (source_id INTEGER NOT NULL, row_no INTEGER NOT NULL, cells VARCHAR NOT NULL)",
  // one row per record that was not taken, per cell lost from a record that was, and per sheet or line that
  // could not be read; `part` counts records within the row, `loses` (record, cell, sheet) keeps the sums right
  `CREATE TABLE IF NOT EXISTS intake.set_aside (source_id INTEGER NOT NULL, row_no INTEGER NOT NULL, part INTEGER NOT NULL, kind VARCHAR,
     column_name VARCHAR, value VARCHAR, reason VARCHAR NOT NULL, advice VARCHAR, flock VARCHAR NOT NULL, loses VARCHAR NOT NULL)`,
  // the sum over records of each source: read = taken + set_aside + repeats
  `CREATE TABLE IF NOT EXISTS intake.record_sum (source_id INTEGER NOT NULL, kind VARCHAR NOT NULL, read INTEGER NOT NULL, taken INTEGER NOT NULL,
     set_aside INTEGER NOT NULL, repeats INTEGER NOT NULL, rows_whole INTEGER NOT NULL, rows_in_part INTEGER NOT NULL, rows_none INTEGER NOT NULL)`,
  `CREATE TABLE IF NOT EXISTS intake.correction (source_id INTEGER NOT NULL, row_no INTEGER NOT NULL, file VARCHAR NOT NULL, sheet VARCHAR,
     "row" INTEGER NOT NULL, "column" VARCHAR NOT NULL, was VARCHAR, now VARCHAR, why VARCHAR NOT NULL, who VARCHAR, applied BOOLEAN NOT NULL)`,
  // remarks that speak of a limp or a sore: none is counted until a keeper confirms it
  `CREATE TABLE IF NOT EXISTS intake.remark (source_id INTEGER NOT NULL, row_no INTEGER NOT NULL, flock VARCHAR NOT NULL, animal VARCHAR, "date" DATE,
     remark VARCHAR NOT NULL, would_be VARCHAR NOT NULL, notifiable BOOLEAN NOT NULL)`,
  // the file and worksheets that an export holds, and words of lesion cells that the list does not know
  "CREATE TABLE IF NOT EXISTS intake.unmapped_word (source_id INTEGER NOT NULL, row_no INTEGER NOT NULL, flock VARCHAR NOT NULL, column_name VARCHAR NOT NULL, word VARCHAR NOT NULL)",
];
