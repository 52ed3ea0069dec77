import { quoteName } from "../book/book.ts";
import { herdColumns } from "../book/schema.ts";
import { type KindId, kindIds, kinds } from "../records/kinds.ts";

/**
 * What the readers made of every sheet, kept as it was read. Everything else that the intake says (the herd,
 * what is set aside, the sums) is worked out from these tables alone, wholly and anew whenever one of them
 * changes: so the order in which sheets come does not matter, and taking an ingest back is leaving it out.
 */
export type HerdKindId = Exclude<KindId, "corrections">;

/** Kinds that give rows of the herd; corrections change other sheets instead. */
export const herdKindIds = kindIds.filter((id): id is HerdKindId => id !== "corrections");

/** Table of readable records of a kind, one row each, with all columns of the herd table. */
export function stagedTable(kind: HerdKindId): string {
  return `intake.staged_${kind}`;
}

/** Names of the columns of a kind's herd table, provenance apart. */
export function columnNames(kind: HerdKindId): readonly string[] {
  return herdColumns(kinds[kind]).map(({ name }) => name);
}

/** The day by which records of a kind are placed in time; null for kinds that have none. */
export function dayColumn(kind: HerdKindId): "date" | "from" | null {
  const names = columnNames(kind);
  return names.includes("date") ? "date" : names.includes("from") ? "from" : null;
}

/** Kinds whose records name an animal, the animals and tags sheets apart. */
export const animalKindIds = herdKindIds.filter(
  (id) => id !== "animals" && id !== "tags" && columnNames(id).includes("animal"),
);

/** Statements that create the tables of readings in a book that lacks them. */
export function stagingStatements(): readonly string[] {
  return [...herdKindIds.map(createStaged), ...readingTables, currentSource];
}

/** Tables that hold rows of one source each, for taking a source out again. */
export function tablesOfSources(): readonly string[] {
  return [
    ...herdKindIds.map(stagedTable),
    "intake.raw_row",
    "intake.correction",
    "intake.correction_outcome",
    "intake.source_reading",
    "intake.read_count",
    "intake.read_trouble",
    "intake.read_remark",
    "intake.read_word",
    "intake.remark_answer",
    "intake.source",
  ];
}

function createStaged(kind: HerdKindId): string {
  const columns = herdColumns(kinds[kind]).map(({ name, sqlType }) => `${quoteName(name)} ${sqlType}`);
  return `CREATE TABLE IF NOT EXISTS ${stagedTable(kind)} (flock VARCHAR NOT NULL, source_id INTEGER NOT NULL,
    row_no INTEGER NOT NULL, part INTEGER NOT NULL, ${columns.join(", ")})`;
}

const readingTables = [
  // the keys name the settings and the corrections under which the sheet was read; `has_lengths` tells whether
  // it has any length column, by which a blank 'trimmed' is understood
  `CREATE TABLE IF NOT EXISTS intake.source_reading (source_id INTEGER NOT NULL, settings_key VARCHAR NOT NULL,
     corrections_key VARCHAR NOT NULL, has_lengths BOOLEAN NOT NULL)`,
  // how each correction fared on this source: no reason where it was applied
  `CREATE TABLE IF NOT EXISTS intake.correction_outcome (source_id INTEGER NOT NULL, flock VARCHAR NOT NULL, file VARCHAR NOT NULL,
     worksheet VARCHAR, row_no INTEGER NOT NULL, reason VARCHAR)`,
  // rows of a changed sheet that is held against the one in the book; empty but while that goes on
  "CREATE TABLE IF NOT EXISTS intake.incoming_row (source_id INTEGER NOT NULL, row_no INTEGER NOT NULL, cells VARCHAR NOT NULL)",
  "CREATE TABLE IF NOT EXISTS intake.read_count (source_id INTEGER NOT NULL, kind VARCHAR NOT NULL, records INTEGER NOT NULL)",
  // sheets, lines, records and cells that could not be read; kind is null where it was not known
  `CREATE TABLE IF NOT EXISTS intake.read_trouble (flock VARCHAR NOT NULL, source_id INTEGER NOT NULL, row_no INTEGER NOT NULL,
     part INTEGER NOT NULL, kind VARCHAR, column_name VARCHAR, value VARCHAR, reason VARCHAR NOT NULL, loses VARCHAR NOT NULL)`,
  // animal and day where the cell's own header says them, as in a grid; else the row does
  `CREATE TABLE IF NOT EXISTS intake.read_remark (flock VARCHAR NOT NULL, source_id INTEGER NOT NULL, row_no INTEGER NOT NULL,
     animal VARCHAR, day DATE, remark VARCHAR NOT NULL, would_be VARCHAR NOT NULL, notifiable BOOLEAN NOT NULL)`,
  `CREATE TABLE IF NOT EXISTS intake.read_word (flock VARCHAR NOT NULL, source_id INTEGER NOT NULL, row_no INTEGER NOT NULL,
     column_name VARCHAR NOT NULL, word VARCHAR NOT NULL)`,
  // what a keeper answered about a remark of another sheet
  `CREATE TABLE IF NOT EXISTS intake.remark_answer (flock VARCHAR NOT NULL, source_id INTEGER NOT NULL, file VARCHAR NOT NULL,
     worksheet VARCHAR, row_no INTEGER NOT NULL, day DATE, remark VARCHAR NOT NULL, would_be VARCHAR NOT NULL, confirmed BOOLEAN NOT NULL)`,
  // settings of each flock as an ingest brought them; the latest hold. `named_by`: folder, settings, or row
  `CREATE TABLE IF NOT EXISTS intake.flock_setting (ingest_id INTEGER NOT NULL, flock VARCHAR NOT NULL, name VARCHAR,
     settings VARCHAR NOT NULL, named_by VARCHAR NOT NULL, unlisted_animals VARCHAR NOT NULL, expand_groups BOOLEAN NOT NULL, gait_scale VARCHAR)`,
  `CREATE TABLE IF NOT EXISTS intake.same_tag (ingest_id INTEGER NOT NULL, flock VARCHAR NOT NULL, tag VARCHAR NOT NULL,
     same_flock VARCHAR NOT NULL, same_tag VARCHAR NOT NULL)`,
  // tags of records that no animal has, worked out anew like the herd
  `CREATE TABLE IF NOT EXISTS intake.unlisted_animal (flock VARCHAR NOT NULL, tag VARCHAR NOT NULL, records INTEGER NOT NULL,
     first_day DATE, last_day DATE, nearest VARCHAR)`,
];

/** Of several versions of one worksheet the latest holds. */
const currentSource = `CREATE OR REPLACE VIEW intake.current_source AS SELECT * FROM intake.source
  QUALIFY version = max(version) OVER (PARTITION BY flock, file, worksheet)`;
