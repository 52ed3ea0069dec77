import { openNativeBook } from "../../pipelines/native-book.ts";
import type { Book, LoadColumn } from "../../src/book/book.ts";
import { quoteText } from "../../src/book/book.ts";
import { herdColumns, schemaStatements } from "../../src/book/schema.ts";
import { dayNumber, parseIsoDay } from "../../src/records/days.ts";
import { type KindId, kindIds, kinds } from "../../src/records/kinds.ts";
import { defaultSettings, type Settings } from "../../src/records/settings.ts";

export type HerdRow = Readonly<Record<string, string | number | boolean | null>>;
export type HerdSheets = Partial<Readonly<Record<KindId, readonly HerdRow[]>>>;

/** A book in memory whose herd tables hold the rows of some sheets as they are, without an intake. */
export async function herdBook(
  sheets: HerdSheets,
  settings: Partial<Settings> = {},
  flock = "flock",
): Promise<Book> {
  const book = await openNativeBook(":memory:");
  await book.run(schemaStatements().join(";\n"));
  await loadHerd(book, sheets, settings, flock);
  return book;
}

/** Adds a flock's rows to the herd tables of a book that has them. */
export async function loadHerd(
  book: Book,
  sheets: HerdSheets,
  settings: Partial<Settings> = {},
  flock = "flock",
): Promise<void> {
  const said = quoteText(JSON.stringify({ ...defaultSettings, ...settings }));
  await book.run(`INSERT INTO herd.flock VALUES (${quoteText(flock)}, NULL, ${said})`);
  for (const id of kindIds) {
    const rows = sheets[id] ?? [];
    if (rows.length === 0 || id === "corrections") continue;
    const stored = herdColumns(kinds[id]).filter(({ name }) => cellOf(rows, name) !== undefined);
    await book.load(`herd.${kinds[id].table}`, [
      { name: "flock", type: "text", values: rows.map(() => flock) },
      { name: "source_id", type: "integer", values: new Int32Array(rows.length).fill(1) },
      { name: "row_no", type: "integer", values: Int32Array.from(rows, (_, i) => i + 2) },
      ...stored.map(({ name, sqlType }) => loadColumn(name, sqlType, cellOf(rows, name)!)),
    ]);
  }
  await loadParents(book, sheets.animals ?? [], flock);
}

/** The cells of a stored column; undefined where no row has it. */
function cellOf(
  rows: readonly HerdRow[],
  name: string,
): readonly (string | number | boolean | null)[] | undefined {
  if (name === "born_earliest" || name === "born_latest") {
    if (!rows.some((row) => "born" in row)) return undefined;
    return rows.map((row) => bornDay(row.born ?? null, name === "born_earliest"));
  }
  return rows.some((row) => (row[name] ?? null) !== null) ? rows.map((row) => row[name] ?? null) : undefined;
}

/** `2019-05-07`, `2019-05` or `2019`, a sign of roughness left aside. */
function bornDay(cell: string | number | boolean | null, earliest: boolean): string | null {
  if (cell === null) return null;
  const [year, month, day] = String(cell).replace("~", "").split("-").map(Number);
  const first = earliest ? [1, 1] : [12, 28];
  const iso = (n: number): string => String(n).padStart(2, "0");
  return dayNumber(year!, month ?? first[0]!, day ?? first[1]!) === null
    ? null
    : `${year}-${iso(month ?? first[0]!)}-${iso(day ?? first[1]!)}`;
}

function loadColumn(
  name: string,
  sqlType: string,
  cells: readonly (string | number | boolean | null)[],
): LoadColumn {
  const numbers = (of: (cell: string | number | boolean) => number): Float64Array =>
    Float64Array.from(cells, (cell) => (cell === null ? Number.NaN : of(cell)));
  if (sqlType === "DATE") return { name, type: "day", values: numbers((cell) => parseIsoDay(String(cell))!) };
  if (sqlType === "DOUBLE") return { name, type: "number", values: numbers(Number) };
  if (sqlType === "INTEGER") return { name, type: "integer", values: numbers(Number) };
  if (sqlType === "BOOLEAN") {
    return {
      name,
      type: "flag",
      values: cells.map((cell) => (cell === null ? null : cell === true || cell === "yes")),
    };
  }
  return { name, type: "text", values: cells.map((cell) => (cell === null ? null : String(cell))) };
}

async function loadParents(book: Book, animals: readonly HerdRow[], flock: string): Promise<void> {
  const parents = animals.flatMap(({ animal, sire, dam }) => [
    ...(sire == null ? [] : [{ animal, parent: sire, role: "sire" }]),
    ...(dam == null ? [] : [{ animal, parent: dam, role: "dam" }]),
  ]);
  if (parents.length === 0) return;
  const text = (name: string, of: (row: (typeof parents)[number]) => unknown): LoadColumn => ({
    name,
    type: "text",
    values: parents.map((row) => String(of(row))),
  });
  await book.load("herd.parent", [
    text("flock", () => flock),
    text("animal", (row) => row.animal),
    text("parent", (row) => row.parent),
    text("role", (row) => row.role),
    { name: "share", type: "number", values: new Float64Array(parents.length).fill(1) },
    { name: "source_id", type: "integer", values: new Int32Array(parents.length).fill(1) },
    { name: "row_no", type: "integer", values: Int32Array.from(parents, (_, i) => i + 2) },
  ]);
}
