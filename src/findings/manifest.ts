import type { Book } from "../book/book.ts";
import { codeIds, templateOf } from "../records/codes.ts";
import { defineTable, integer, text } from "../records/table.ts";
import { insertRows } from "./finding.ts";

export const manifestTable = defineTable({
  schema: "results",
  name: "manifest",
  grain: ["made_at"],
  columns: {
    version: text.always("version of the program"),
    engine: text.always("database engine and its version"),
    made_at: text.always("instant of the run"),
    inputs: text.always("JSON: each sheet with its SHA-256"),
    settings: text.always("JSON: each flock's settings"),
    seed: integer.always("seed of everything drawn at random"),
    seconds: text.always(
      "JSON: always empty here, so that equal books give equal bytes; the file manifest.json has seconds by step",
    ),
  },
  reads: ["intake.source", "herd.flock"],
  identities: [],
});

export const wordingTable = defineTable({
  schema: "results",
  name: "wording",
  grain: ["code", "language"],
  columns: {
    code: text.always("code as it stands in caution, reason, advice"),
    language: text.always("en or es"),
    says: text.always("its words, with {0} {1} for its arguments"),
  },
  reads: [],
  identities: [],
});

export interface RunFacts {
  readonly version: string;
  readonly madeAt: string;
  readonly seed: number;
}

/** Writes what the run was made from, and the words of every code. */
export async function writeManifest(book: Book, facts: RunFacts): Promise<void> {
  const inputs = await book.rows<object>(
    "SELECT flock, file, worksheet, sha256 FROM intake.source ORDER BY ALL",
  );
  const settings = await book.rows<{ flock: string; settings: string }>(
    "SELECT flock, settings FROM herd.flock ORDER BY flock",
  );
  await insertRows(book, manifestTable, [
    {
      version: facts.version,
      engine: book.engine,
      made_at: facts.madeAt,
      inputs: JSON.stringify(inputs),
      settings: JSON.stringify(
        Object.fromEntries(settings.map((one) => [one.flock, JSON.parse(one.settings)])),
      ),
      seed: facts.seed,
      seconds: "{}",
    },
  ]);
  await insertRows(
    book,
    wordingTable,
    codeIds.flatMap((code) =>
      (["en", "es"] as const).map((language) => ({ code, language, says: templateOf(code, language) })),
    ),
  );
}
