import { anonymousRows } from "../book/anonymous-select.ts";
import { type Book, quoteText } from "../book/book.ts";
import { type DayNumber, isoDay } from "../records/days.ts";

/** Columns of the two tables, in their order. */
export const studyColumns = {
  growth: [
    ...[
      "flock",
      "animal",
      "foot",
      "claw",
      "date_from",
      "date_to",
      "days",
      "growth_mm",
      "rate_mm_30d",
      "basis",
    ],
    ...["pen", "ground", "age_band", "class", "line", "arm"],
    ...["crude_protein_pct_dm", "copper_mg_per_kg_dm", "wetness", "caution"],
  ],
  gait: [
    ...["flock", "animal", "day", "gait", "gait_scale", "lame_from", "lame", "for_cause", "assumed"],
    ...["pen", "ground", "age_band", "class", "line", "arm", "crude_protein_pct_dm", "copper_mg_per_kg_dm"],
    ...["mineral_copper_mg_per_day", "zinc_mg_per_kg_dm", "wetness"],
  ],
} as const;

export type StudyTable = keyof typeof studyColumns;
export type StudyColumn = (typeof studyColumns)[StudyTable][number];

/** Rows to pass on: every name in them a study number, days as they are, cells as text. */
export type StudyData = Readonly<Record<StudyTable, readonly (readonly (string | null)[])[]>>;

/** Reads the study data of a flock whose claws were measured or goats scored from one day to before another. */
export type ReadStudyData = (flock: string, from: DayNumber, to: DayNumber) => Promise<StudyData>;

/**
 * Makes ready, in temporary tables, what may be passed on of all flocks: growth by claw and interval, and gait by goat
 * and day, each with where the goat stood and what it was. null where the book has no secret to make numbers from; a
 * book whose names are study numbers already is read as it is.
 */
export async function studyDataOf(book: Book): Promise<ReadStudyData | null> {
  const known = await book.rows<{ name: string; value: string }>(
    "SELECT name, value FROM book.meta WHERE name IN ('secret', 'anonymous')",
  );
  const meta = new Map(known.map(({ name, value }) => [name, value]));
  const secret = meta.get("secret");
  if (secret === undefined && !meta.has("anonymous")) return null;
  const [own] = await book.rows<{ name: string }>("SELECT current_database() AS name");
  const anonymous = secret === undefined ? null : await anonymousRows(book, own!.name, secret);
  const flockNumbers = new Map(
    (anonymous?.key ?? []).filter(({ named }) => named === "flock").map((one) => [one.original, one.number]),
  );
  for (const [schema, table] of sources) {
    const select = anonymous === null ? null : anonymous.select(schema, table);
    await book.run(
      `CREATE OR REPLACE TEMP TABLE study_${table} AS ${select ?? `SELECT * FROM ${schema}."${table}"`}`,
    );
  }
  return async (flock, from, to) => {
    const number = flockNumbers.get(flock) ?? flock;
    const during = (day: string): string =>
      `t.flock = ${quoteText(number)} AND ${day} >= DATE '${isoDay(from)}' AND ${day} < DATE '${isoDay(to)}'`;
    return {
      growth: await textRows(
        book,
        "growth",
        `study_growth_interval t LEFT JOIN study_animal_day d ON d.flock = t.flock AND d.animal = t.animal AND d.day = t.date_to`,
        ["ground", "age_band", "class", "line", "arm"],
        [],
        during("t.date_to"),
      ),
      gait: await textRows(
        book,
        "gait",
        `study_gait_day t LEFT JOIN study_animal_day d ON d.flock = t.flock AND d.animal = t.animal AND d.day = t.day
         LEFT JOIN study_pen_day p ON p.flock = t.flock AND p.pen = t.pen AND p.day = t.day`,
        ["ground", "age_band", "class", "line", "arm"],
        studyColumns.gait.slice(-5),
        during("t.day"),
      ),
    };
  };
}

const sources = [
  ["results", "growth_interval"],
  ["exposure", "gait_day"],
  ["exposure", "animal_day"],
  ["exposure", "pen_day"],
] as const;

/** Columns of measured or worked-out amounts: figures past the fourth decimal say nothing. */
const measured: ReadonlySet<string> = new Set([
  ...["growth_mm", "rate_mm_30d", "crude_protein_pct_dm", "copper_mg_per_kg_dm"],
  ...["mineral_copper_mg_per_day", "zinc_mg_per_kg_dm", "wetness"],
]);

async function textRows(
  book: Book,
  table: StudyTable,
  from: string,
  ofAnimal: readonly string[],
  ofPen: readonly string[],
  where: string,
): Promise<readonly (readonly (string | null)[])[]> {
  const names: readonly string[] = studyColumns[table];
  const cells = names.map((name) => {
    const at = ofAnimal.includes(name) ? "d" : ofPen.includes(name) ? "p" : "t";
    const cell = `${at}."${name}"`;
    return `CAST(${measured.has(name) ? `round(${cell}, 4)` : cell} AS VARCHAR) AS "${name}"`;
  });
  const rows = await book.rows<Record<string, string | null>>(
    `SELECT ${cells.join(", ")} FROM ${from} WHERE ${where} ORDER BY ALL`,
  );
  return rows.map((row) => names.map((name) => row[name] ?? null));
}
