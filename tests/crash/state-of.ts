import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { openOrExplain } from "../../pipelines/open-book.ts";
import type { Book } from "../../src/book/book.ts";

/** What a keeper's folder holds: the book, copies of books beside it, its pages, what was exported. */
export interface State {
  readonly book: string;
  readonly copies: ReadonlyMap<string, string>;
  readonly pages: ReadonlyMap<string, string>;
  readonly exported: ReadonlyMap<string, string>;
}

export type OpenBook = (path: string) => Promise<Book>;

const asEveryVerb: OpenBook = (path) => openOrExplain(path, false);

/** Reads all of it; throws when a book does not open or a manifest is cut short. */
export async function stateOf(place: string, open: OpenBook = asEveryVerb): Promise<State> {
  const manifest = join(place, "out", "manifest.json");
  if (existsSync(manifest)) JSON.parse(readFileSync(manifest, "utf8"));
  const copies = new Map<string, string>();
  for (const name of readdirSync(place))
    if (name.endsWith(".duckdb") && name !== "flock.duckdb")
      copies.set(name, await stateOfBook(join(place, name), open));
  return {
    book: await stateOfBook(join(place, "flock.duckdb"), open),
    copies,
    pages: stateOfFolder(join(place, "out")),
    exported: stateOfFolder(join(place, "export")),
  };
}

/** States by the bytes of the book and of its log, so that what a moment did not change is read once. */
const known = new Map<string, string>();

/**
 * What a book holds, table by table, as one text that two books share only when they hold the same rows; the
 * manifest apart, which keeps the seconds each step took. Opens the book as the next call would, and throws
 * when it does not open or its records do not add up.
 */
async function stateOfBook(path: string, open: OpenBook): Promise<string> {
  const bytes = [path, `${path}.wal`].map((file) => (existsSync(file) ? digestOf(file) : "none")).join(" ");
  const before = known.get(bytes);
  if (before !== undefined) return before;
  const book = await open(path);
  try {
    const [sum] = await book.rows<{ broken: number }>(
      'SELECT CAST(count(*) AS INTEGER) AS broken FROM intake.record_sum WHERE "read" <> taken + set_aside + repeats',
    );
    if (sum!.broken > 0) throw new Error(`${sum!.broken} sheets whose records do not add up`);
    const tables = await book.rows<{ name: string }>(
      `SELECT schema_name || '."' || table_name || '"' AS name FROM duckdb_tables()
       WHERE database_name = current_database() AND schema_name IN ('intake', 'herd', 'exposure', 'results')
         AND table_name <> 'manifest' ORDER BY ALL`,
    );
    const states = await book.rows<{ state: string }>(
      tables
        .map(
          ({ name }) =>
            `SELECT '${name} ' || count(*) || ' ' || coalesce(sum(CAST(hash(CAST(t AS VARCHAR)) AS HUGEINT)), 0) AS state FROM ${name} t`,
        )
        .join(" UNION ALL "),
    );
    const state = states
      .map((one) => one.state)
      .sort()
      .join("\n");
    known.set(bytes, state);
    return state;
  } finally {
    await book.close();
  }
}

/** Every file of a folder and its subfolders by path, with a digest of its bytes; hidden folders apart. */
function stateOfFolder(folder: string): ReadonlyMap<string, string> {
  if (!existsSync(folder)) return new Map();
  const paths = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter(
    (path) => !path.split("/").some((part) => part.startsWith(".")) && statSync(join(folder, path)).isFile(),
  );
  return new Map(paths.map((path) => [path, digestOf(join(folder, path))]));
}

function digestOf(path: string): string {
  return createHash("sha256").update(readFileSync(path)).digest("hex");
}
