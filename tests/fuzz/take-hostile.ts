import { readdirSync, readFileSync } from "node:fs";
import { openNativeBook } from "../../pipelines/native-book.ts";
import type { Book } from "../../src/book/book.ts";
import { setAsideByReason } from "../../src/intake/intake-report.ts";
import { takeIn } from "../../src/intake/take-in.ts";
import { undo } from "../../src/intake/undo.ts";
import { wordUsageTrouble } from "../../src/intake/usage-trouble.ts";
import { readCodes, wordCodes } from "../../src/records/codes.ts";
import { parseIsoDay } from "../../src/records/days.ts";
import { hostileInput } from "./hostile-sheets.ts";
import { randomFrom } from "./random.ts";

/** Past this many seconds one folder of small sheets counts as hanging. */
const LONGEST_SECONDS = 60;

/** What came of the folders of sheets so far. */
export interface FuzzTally {
  folders: number;
  refused: number;
  read: number;
  taken: number;
  setAside: number;
}

/** Takes hostile folders of sheets into one book, and out again, one seed after another. */
export async function openFuzz(): Promise<{
  take(seed: number): Promise<void>;
  readonly tally: FuzzTally;
  close(): Promise<void>;
}> {
  const book = await openNativeBook(":memory:");
  await book.run("SET threads = 1");
  const good = goodFiles();
  const tally: FuzzTally = { folders: 0, refused: 0, read: 0, taken: 0, setAside: 0 };
  return {
    tally,
    async take(seed) {
      const begun = performance.now();
      try {
        await takeOne(book, seed, good, tally);
      } catch (error) {
        throw new Error(`seed ${seed}: ${(error as Error).message}`, { cause: error });
      }
      const seconds = (performance.now() - begun) / 1000;
      if (seconds > LONGEST_SECONDS) throw new Error(`seed ${seed}: took ${seconds.toFixed(0)} s`);
    },
    close: () => book.close(),
  };
}

async function takeOne(
  book: Book,
  seed: number,
  good: readonly Uint8Array[],
  tally: FuzzTally,
): Promise<void> {
  const input = hostileInput(randomFrom(seed), good);
  const report = await takeIn(book, input, {
    now: parseIsoDay("2026-03-15")!,
    version: "fuzz",
    verb: "ingest",
    replace: true,
  });
  tally.folders++;
  if ("troubles" in report) {
    tally.refused++;
    for (const trouble of report.troubles)
      if (wordUsageTrouble(trouble, "en") === "") throw new Error(`no words for ${trouble.code}`);
    return;
  }
  const [sum] = await book.rows<{ broken: number; read: number; taken: number; aside: number }>(
    `SELECT CAST(count(*) FILTER ("read" <> taken + set_aside + repeats OR least("read", taken, set_aside, repeats) < 0) AS INTEGER) AS broken,
       CAST(coalesce(sum("read"), 0) AS INTEGER) AS read, CAST(coalesce(sum(taken), 0) AS INTEGER) AS taken,
       CAST(coalesce(sum(set_aside), 0) AS INTEGER) AS aside FROM intake.record_sum`,
  );
  if (sum!.broken > 0) throw new Error("records do not add up");
  tally.read += sum!.read;
  tally.taken += sum!.taken;
  tally.setAside += sum!.aside;
  const reasons = await book.rows<{ reason: string }>("SELECT DISTINCT reason FROM intake.set_aside");
  for (const { reason } of reasons)
    if (readCodes(reason).length === 0 || wordCodes(reason, "en") === "")
      throw new Error(`no words for ${reason}`);
  await setAsideByReason(book, null, "es");
  if (report.ingestId !== null && !(await undo(book, report.ingestId))) throw new Error("the ingest is gone");
  const [left] = await book.rows<{ n: number }>(
    "SELECT CAST(count(*) AS INTEGER) AS n FROM intake.record_sum",
  );
  if (left!.n > 0) throw new Error("an ingest taken back leaves sums behind");
}

function goodFiles(): readonly Uint8Array[] {
  const folder = new URL("../sheets/awkward/", import.meta.url);
  return readdirSync(folder)
    .filter((name) => /\.(xlsx|gz|json|ndjson|csv|txt)$/.test(name))
    .map((name) => new Uint8Array(readFileSync(new URL(name, folder))));
}
