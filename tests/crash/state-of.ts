import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { openOrExplain } from "../../pipelines/open-book.ts";

/**
 * What a book holds, table by table, as one text that two books share only when they hold the same rows; the
 * manifest apart, which keeps the seconds each step took. Opens the book as the next call would, and throws
 * when it does not open or its records do not add up.
 */
export async function stateOfBook(path: string): Promise<string> {
  const book = await openOrExplain(path, false);
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
    return states
      .map(({ state }) => state)
      .sort()
      .join("\n");
  } finally {
    await book.close();
  }
}

/** Every file of a folder and its subfolders by path, with a digest of its bytes; hidden folders apart. */
export function stateOfFolder(folder: string): ReadonlyMap<string, string> {
  if (!existsSync(folder)) return new Map();
  const paths = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter(
    (path) => !path.split("/").some((part) => part.startsWith(".")) && statSync(join(folder, path)).isFile(),
  );
  return new Map(
    paths.map((path) => [
      path,
      createHash("sha256")
        .update(readFileSync(join(folder, path)))
        .digest("hex"),
    ]),
  );
}
