import type { Named } from "../records/kind.ts";
import type { Settings } from "../records/settings.ts";
import { anonymousCodes, anonymousSettings, type NumberOf } from "./anonymous-words.ts";
import { type Book, quoteName, quoteText } from "./book.ts";
import { type Held, heldBy, isOfOneFlock, mayLeave, toldNames } from "./held-words.ts";
import { type NamedThing, type StudyNumber, studyNumbers } from "./study-numbers.ts";

/** A breed borne by fewer animals of the book would point at them. */
const LEAST_ANIMALS = 5;
/** Flocks under which a pooled group would point at one of them. */
const LEAST_FLOCKS = 3;
/** Words of the program that stand where a name could. */
const RESERVED = ["", "all", "unknown"];

const ROWS_A_STATEMENT = 500;

interface TableColumn {
  readonly schema: string;
  readonly table: string;
  readonly column: string;
  /** What its text holds; null for numbers, flags and days. */
  readonly held: Held | null;
}

/** How rows of the book read once every name is a study number. */
export interface AnonymousRows {
  /** What each study number stands for. */
  readonly key: readonly StudyNumber[];
  /** The statement that reads a table so; null for a table of which no row may leave. */
  select(schema: string, table: string): string | null;
}

/**
 * Makes ready, in temporary tables of this session, what the names of the tables of a database of the session (`from`)
 * become. The secret decides the numbers; without it they lead nowhere.
 */
export async function anonymousRows(book: Book, from: string, secret: string): Promise<AnonymousRows> {
  const columns = await tableColumns(book, from);
  const key = studyNumbers(secret, await namedThings(book, from, columns));
  const breeds = await commonBreeds(book, from);
  const names = key.map((one) =>
    one.named === "breed" ? { ...one, number: breeds.has(one.original) ? one.original : "other" } : one,
  );
  const aliases = await book.rows<{ id: string; name: string }>(
    `SELECT flock AS id, any_value(name) AS name FROM ${quoteName(from)}.herd.flock WHERE name IS NOT NULL AND name <> flock GROUP BY flock`,
  );
  const written = new Map(names.map((one) => [[one.named, one.flock, one.original].join("\n"), one.number]));
  for (const { id, name } of aliases)
    written.set(["flock", "", name].join("\n"), written.get(`flock\n\n${id}`)!);
  const numberOf: NumberOf = (named, flock, original) =>
    written.get([named, isOfOneFlock(named) ? flock : "", original].join("\n")) ?? null;
  await loadNames(book, written);
  await loadCodes(book, from, columns, numberOf);
  await loadSettings(book, from, numberOf);
  await book.run(`CREATE OR REPLACE TEMP TABLE study_birth AS
    SELECT flock, animal, min(born_earliest) AS earliest, max(born_latest) AS latest FROM ${quoteName(from)}.herd.animal
    WHERE born_earliest IS NOT NULL GROUP BY flock, animal`);
  return {
    key: key.filter(
      (one) =>
        one.named !== "breed" && !aliases.some(({ name }) => one.named === "flock" && one.original === name),
    ),
    select(schema, table) {
      if (!mayLeave(schema, table)) return null;
      const own = columns.filter((one) => one.schema === schema && one.table === table);
      const cells = own.map(
        ({ column, held }, i): Cell =>
          held === null
            ? { says: plainCell(schema, table, column) }
            : textCell(held, column, `${schema}.${table}`, `joined_${i}`),
      );
      const says = cells.map((cell, i) => `${cell.says} AS ${quoteName(own[i]!.column)}`);
      const joins = cells.flatMap(({ join }) => (join === undefined ? [] : [`LEFT JOIN ${join}`]));
      const rows = `SELECT ${says.join(", ")} FROM ${quoteName(from)}.${schema}.${quoteName(table)} t ${joins.join(" ")}`;
      if (schema === "intake" && table === "remark") return `${rows} WHERE t.notifiable`;
      return schema === "results" && table === "flock_profile" ? merged(rows) : rows;
    },
  };
}

async function tableColumns(book: Book, from: string): Promise<readonly TableColumn[]> {
  const found = await book.rows<{ schema: string; table: string; column: string; type: string }>(
    `SELECT c.schema_name AS schema, c.table_name AS "table", c.column_name AS "column", c.data_type AS type
     FROM duckdb_columns() c JOIN duckdb_tables() t USING (database_name, schema_name, table_name)
     WHERE c.database_name = ${quoteText(from)} ORDER BY c.schema_name, c.table_name, c.column_index`,
  );
  return found
    .filter(({ schema, table }) => mayLeave(schema, table))
    .map(({ schema, table, column, type }) => ({
      schema,
      table,
      column,
      held: type === "VARCHAR" ? heldBy(schema, table, column) : null,
    }));
}

/** Every name that stands anywhere in the tables that may leave. */
async function namedThings(
  book: Book,
  from: string,
  columns: readonly TableColumn[],
): Promise<readonly NamedThing[]> {
  const read = columns.flatMap(({ schema, table, column, held }) =>
    namesIn(held).map(([named, where]) => {
      const flock = isOfOneFlock(named) ? quoteName(flockColumn(`${schema}.${table}`, column)) : "''";
      return `SELECT ${quoteText(named)} AS named, ${flock} AS flock, ${quoteName(column)} AS original FROM ${quoteName(from)}.${schema}.${quoteName(table)}
        WHERE ${quoteName(column)} IS NOT NULL AND ${quoteName(column)} NOT IN (${RESERVED.map(quoteText).join(", ")}) AND ${where}`;
    }),
  );
  return book.rows<NamedThing>(`${read.join(" UNION ")} ORDER BY ALL`);
}

/** Kinds of names that a column may hold, each with the rows in which it holds them. */
function namesIn(held: Held | null): readonly (readonly [Named, string])[] {
  if (typeof held === "string") return isNamed(held) ? [[held, "TRUE"]] : [];
  if (held === null || !("toldBy" in held)) return [];
  return Object.entries(toldNames).flatMap(([kind, named]) =>
    named === "own" ? [] : [[named, `${quoteName(held.toldBy)} = ${quoteText(kind)}`] as const],
  );
}

function isNamed(held: string): held is Named {
  return !["own", "codes", "grade", "left_out", "settings"].includes(held);
}

/** The column that tells in whose flock a name holds. */
function flockColumn(table: string, column: string): string {
  return table === "herd.same_animal" && column === "same_animal" ? "same_flock" : "flock";
}

async function commonBreeds(book: Book, from: string): Promise<ReadonlySet<string>> {
  const breeds = await book.rows<{ breed: string }>(
    `SELECT breed FROM ${quoteName(from)}.herd.animal WHERE breed IS NOT NULL GROUP BY breed HAVING count(DISTINCT (flock, animal)) >= ${LEAST_ANIMALS}`,
  );
  return new Set(breeds.map(({ breed }) => breed));
}

async function loadNames(book: Book, written: ReadonlyMap<string, string>): Promise<void> {
  await book.run(
    "CREATE OR REPLACE TEMP TABLE study_number (named VARCHAR, flock VARCHAR, original VARCHAR, number VARCHAR)",
  );
  const rows = [...written].map(([key, number]) => [...splitKey(key), number]);
  await insertTexts(book, "study_number", rows);
}

/** A name may itself hold a line break; kinds and flocks never do. */
function splitKey(key: string): readonly string[] {
  const [named = "", flock = "", ...original] = key.split("\n");
  return [named, flock, original.join("\n")];
}

async function loadCodes(
  book: Book,
  from: string,
  columns: readonly TableColumn[],
  of: NumberOf,
): Promise<void> {
  await book.run(
    "CREATE OR REPLACE TEMP TABLE study_code (flock VARCHAR, original VARCHAR, written VARCHAR)",
  );
  const read = columns
    .filter(({ held }) => held === "codes")
    .map(
      ({ schema, table, column }) =>
        `SELECT flock, ${quoteName(column)} AS original FROM ${quoteName(from)}.${schema}.${quoteName(table)} WHERE ${quoteName(column)} IS NOT NULL`,
    );
  const cells = await book.rows<{ flock: string; original: string }>(`${read.join(" UNION ")} ORDER BY ALL`);
  const rows = cells.map(({ flock, original }) => [
    flock,
    original,
    anonymousCodes(original, flock, of) ?? "",
  ]);
  await insertTexts(book, "study_code", rows);
}

async function loadSettings(book: Book, from: string, of: NumberOf): Promise<void> {
  await book.run("CREATE OR REPLACE TEMP TABLE study_settings (flock VARCHAR, settings VARCHAR)");
  const flocks = await book.rows<{ flock: string; settings: string }>(
    `SELECT flock, settings FROM ${quoteName(from)}.herd.flock ORDER BY flock`,
  );
  const changed = flocks.map(({ flock, settings }) => {
    const number = of("flock", "", flock)!;
    return [flock, number, anonymousSettings(JSON.parse(settings) as Settings, number)] as const;
  });
  const rows = changed.map(([flock, , settings]) => [flock, JSON.stringify(settings)]);
  const all = JSON.stringify(Object.fromEntries(changed.map(([, number, settings]) => [number, settings])));
  await insertTexts(book, "study_settings", [...rows, ["", all]]);
}

/** Rows of text into a table of this session; by statements, since a book opened for reading takes no appended rows. */
async function insertTexts(book: Book, table: string, rows: readonly (readonly string[])[]): Promise<void> {
  for (let first = 0; first < rows.length; first += ROWS_A_STATEMENT) {
    const some = rows.slice(first, first + ROWS_A_STATEMENT);
    await book.run(
      `INSERT INTO ${table} VALUES ${some.map((row) => `(${row.map(quoteText).join(", ")})`).join(", ")}`,
    );
  }
}

/** A number, flag or day as it stands; days that tell a day of birth become its month. */
function plainCell(schema: string, table: string, column: string): string {
  const own = `t.${quoteName(column)}`;
  const monthOf = (day: string): string => `CAST(date_trunc('month', ${day}) AS DATE)`;
  switch (`${schema}.${table}.${column}`) {
    case "herd.animal.born_earliest":
      return monthOf(own);
    case "herd.animal.born_latest":
      return `CAST(last_day(${own}) AS DATE)`;
    case "herd.animal.age_at_entry_days":
      return `round(${own} / 30.4375) * 30.4375`;
    case "herd.animal.entered":
      return `CASE WHEN ${own} BETWEEN t.born_earliest AND t.born_latest THEN ${monthOf(own)} ELSE ${own} END`;
    case "herd.stay.from":
    case "exposure.presence.from_day":
    case "exposure.animal_pen.from_day":
      return `CASE WHEN EXISTS (SELECT 1 FROM study_birth b WHERE b.flock = t.flock AND b.animal = t.animal AND ${own} BETWEEN b.earliest AND b.latest)
        THEN ${monthOf(own)} ELSE ${own} END`;
    default:
      return own;
  }
}

/** A cell as a statement gives it, and what must be joined for it under the name given. */
interface Cell {
  readonly says: string;
  readonly join?: string;
}

function textCell(held: Held, column: string, table: string, joined: string): Cell {
  const own = `t.${quoteName(column)}`;
  if (typeof held === "object") {
    if ("toldBy" in held) return toldCell(held.toldBy, own, joined);
    const numbered = held.instead === "sheet";
    return { says: numbered ? "'sheet ' || t.source_id" : quoteText(held.instead) };
  }
  switch (held) {
    case "own":
      return { says: own };
    case "left_out":
      return { says: "CAST(NULL AS VARCHAR)" };
    case "codes":
      return {
        says: `nullif(${joined}.written, '')`,
        join: `study_code ${joined} ON ${joined}.flock = t.flock AND ${joined}.original = ${own}`,
      };
    case "grade":
      return {
        says: `CASE WHEN regexp_full_match(${own}, '[0-9.]+( of [0-9]+-[0-9]+)?|mild|moderate|severe') THEN ${own} END`,
      };
    case "settings": {
      const flock = table === "herd.flock" ? "t.flock" : "''";
      return { says: `${joined}.settings`, join: `study_settings ${joined} ON ${joined}.flock = ${flock}` };
    }
    default: {
      const flock = isOfOneFlock(held) ? `t.${quoteName(flockColumn(table, column))}` : "''";
      return {
        says: numberCell(own, joined),
        join: `study_number ${joined} ON ${joined}.named = ${quoteText(held)} AND ${joined}.flock = ${flock} AND ${joined}.original = ${own}`,
      };
    }
  }
}

/** The study number in place of a name. A name without one comes out missing, never as it is. */
function numberCell(own: string, joined: string): string {
  return `CASE WHEN ${own} IN (${RESERVED.map(quoteText).join(", ")}) THEN ${own} ELSE ${joined}.number END`;
}

/** A value whose kind another column tells; of a kind that nobody has told of only an empty one remains. */
function toldCell(toldBy: string, own: string, joined: string): Cell {
  const kind = `t.${quoteName(toldBy)}`;
  const kinds = Object.entries(toldNames);
  const among = (of: (named: Named | "own") => boolean): string =>
    `${kind} IN (${kinds
      .filter(([, named]) => of(named))
      .map(([name]) => quoteText(name))
      .join(", ")})`;
  const named = kinds.map(([name, of]) => `WHEN ${quoteText(name)} THEN ${quoteText(of)}`).join(" ");
  const flock = `CASE WHEN ${among((of) => of !== "own" && isOfOneFlock(of))} THEN t.flock ELSE '' END`;
  return {
    says: `CASE WHEN ${own} = '' OR ${among((of) => of === "own")} THEN ${own} WHEN ${among((of) => of !== "own")} THEN ${numberCell(own, joined)} END`,
    join: `study_number ${joined} ON ${joined}.named = CASE ${kind} ${named} END AND ${joined}.flock = ${flock} AND ${joined}.original = ${own}`,
  };
}

/** Counts of groups that would point at few animals or flocks join those of the group 'other'. */
function merged(rows: string): string {
  return `WITH named AS (${rows}), spread AS (
      SELECT season, trait, value, count(DISTINCT flock) AS flocks FROM named WHERE flock <> 'all' GROUP BY ALL
    ), widened AS (
      SELECT n.flock, n.season, n.trait, CASE WHEN n.flock = 'all' AND (n.animals < ${LEAST_ANIMALS} OR coalesce(s.flocks, 0) < ${LEAST_FLOCKS})
        THEN 'other' ELSE n.value END AS value, n.animals FROM named n LEFT JOIN spread s USING (season, trait, value)
    ) SELECT flock, season, trait, value, CAST(sum(animals) AS INTEGER) AS animals FROM widened GROUP BY flock, season, trait, value ORDER BY ALL`;
}
