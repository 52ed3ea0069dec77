import { copyFileSync, existsSync, linkSync, mkdirSync, renameSync, rmSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { bookPages } from "../../src/output/book-pages.ts";
import { resultFiles } from "../../src/output/result-files.ts";
import { analyseBook } from "../analyse-book.ts";
import { ensureSecret, readSecret } from "../anonymous-book.ts";
import { openNativeBook } from "../native-book.ts";
import { openOrExplain } from "../open-book.ts";
import { readInput } from "../read-input.ts";
import { countedInWords, countRecords, notRead, takeSheetsIn } from "../take-sheets-in.ts";
import { Unusable } from "../unusable.ts";
import type { Verb } from "../verb.ts";
import { version } from "../version.ts";
import { inWorkshop } from "../workshop.ts";
import { writeFiles } from "../write-files.ts";

export const run: Verb = {
  name: "run",
  words: "FOLDER…",
  says: "the main job: reads the sheets, analyses them, writes the pages",
  options: {
    out: { value: "DIR", says: "where the pages and the book go (default out)" },
    replace: { says: "rebuild even a book that also holds sheets taken by ingest" },
    seed: { value: "N", says: "seed of everything drawn at random (default 1)" },
  },
  leastWords: 1,
  mostWords: 1000,
  async run(call, rim) {
    const started = performance.now();
    const out = resolve(call.text("out") ?? "out");
    const target = resolve(call.text("book") ?? join(out, "flock.duckdb"));
    const input = readInput(call.words);
    await refuseToLose(target, call.flag("replace"));
    // everything is made aside and moved in only when all of it is there
    return inWorkshop(target, async (workshop) => {
      const fresh = join(workshop, "flock.duckdb");
      const book = await openNativeBook(fresh);
      let open = true;
      try {
        const secret = existsSync(target) ? await secretOf(target) : null;
        const taken = await takeSheetsIn(book, input, "run", true, call, rim);
        await ensureSecret(book, secret);
        const counted = await countRecords(book);
        const { flocks, steps } = await analyseBook(book, call, rim);
        if (flocks.length === 0) {
          throw new Unusable(
            `Nothing to report on: no trim, gait score, round, lesion, treatment or ground score could be taken. ${countedInWords(counted)} Run coronet check ${call.words.join(" ")} to see how each column was understood.`,
          );
        }
        const files = [
          ...(await bookPages(book, flocks, {
            language: call.language,
            season: "all",
            reader: "all",
            version,
            draw: rim.hands().draw,
          })),
          ...(await resultFiles(book, steps)),
        ];
        const lost = existsSync(target) ? await sheetsLost(target, book) : [];
        // closing alone would leave unsaid that the disk did not take it all
        await book.run("CHECKPOINT");
        await book.close();
        open = false;
        await writeFiles(out, files);
        await swapIn(fresh, target);
        for (const sheet of lost) rim.tell(`No longer in the folder, so no longer in the book: ${sheet}`);
        rim.print(countedInWords(counted));
        rim.print(
          `Wrote ${files.filter((file) => file.path.endsWith(".html")).length} pages in ${((performance.now() - started) / 1000).toFixed(1)} s. Open ${join(out, "index.html")}`,
        );
        return call.flag("strict") && (counted.setAside > 0 || notRead(taken) > 0) ? 3 : 0;
      } finally {
        if (open) await book.close();
      }
    });
  },
};

/** A book that also holds sheets taken by `ingest` is more than the folder: it is not rebuilt unasked. */
async function refuseToLose(target: string, replace: boolean): Promise<void> {
  if (!existsSync(target) || replace) return;
  const old = await openOrExplain(target, true);
  try {
    const [row] = await old.rows<{ n: number }>(
      "SELECT CAST(count(*) AS INTEGER) AS n FROM intake.ingest WHERE verb = 'ingest'",
    );
    if (row && row.n > 0) {
      throw new Unusable(
        `${target} also holds sheets taken by ingest, which the folder may lack. Use coronet ingest to add to it, or --replace to rebuild it from the folder alone.`,
      );
    }
  } finally {
    await old.close();
  }
}

/** A rebuilt book keeps the study numbers that the one before gave out. */
async function secretOf(path: string): Promise<string | null> {
  const old = await openOrExplain(path, true);
  try {
    return await readSecret(old);
  } finally {
    await old.close();
  }
}

/** Sheets that the old book holds and the new one does not. */
async function sheetsLost(
  oldPath: string,
  fresh: { rows<R extends object>(sql: string): Promise<R[]> },
): Promise<readonly string[]> {
  const held =
    "SELECT flock, file, coalesce(worksheet, '') AS worksheet, CAST(max(row_count) AS INTEGER) AS rows FROM intake.source GROUP BY ALL ORDER BY ALL";
  type Held = { flock: string; file: string; worksheet: string; rows: number };
  const old = await openOrExplain(oldPath, true);
  try {
    const now = new Set(
      (await fresh.rows<Held>(held)).map((one) => [one.flock, one.file, one.worksheet].join("\n")),
    );
    return (await old.rows<Held>(held))
      .filter((one) => !now.has([one.flock, one.file, one.worksheet].join("\n")))
      .map((one) => `${one.file}${one.worksheet === "" ? "" : `, ${one.worksheet}`} (${one.rows} rows)`);
  } finally {
    await old.close();
  }
}

/** Puts the new book in its place in one step; the one before stays beside it. */
async function swapIn(fresh: string, target: string): Promise<void> {
  mkdirSync(dirname(target), { recursive: true });
  if (existsSync(target)) {
    await foldInLog(target);
    const previous = target.replace(/(\.duckdb)?$/, ".previous.duckdb");
    const aside = join(dirname(fresh), "previous.duckdb");
    copyBook(target, aside);
    renameSync(aside, previous);
  }
  renameSync(fresh, target);
}

/** A killed program may leave a log beside its book; under a new book of that name it would be another's. */
async function foldInLog(path: string): Promise<void> {
  if (existsSync(`${path}.wal`)) await (await openOrExplain(path, false)).close();
  rmSync(`${path}.wal`, { force: true });
}

/** A second name for the same file where the disk has such, else a copy. */
function copyBook(from: string, to: string): void {
  try {
    linkSync(from, to);
  } catch {
    copyFileSync(from, to);
  }
}
