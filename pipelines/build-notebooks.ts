import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { quoteText } from "../src/book/book.ts";
import { analyse } from "../src/findings/analyse.ts";
import { takeIn } from "../src/intake/take-in.ts";
import { openNativeBook } from "./native-book.ts";
import { readInput } from "./read-input.ts";
import { processRim } from "./rim.ts";
import { version } from "./version.ts";

/** The notebooks of the site, by the names of their files. */
export const notebooks = ["index", "own-sheets", "flock", "explore", "ask"] as const;

/** Where the site goes when nothing else is said. */
export const siteFolder = fileURLToPath(new URL("../notebooks/dist", import.meta.url));

const SAMPLE = fileURLToPath(new URL("../data-samples/long", import.meta.url));

/**
 * Builds the notebooks into a static site that asks nothing of any network: every library is bundled, and the
 * book of a sample's sheets lies beside the pages, unless there is to be none.
 */
export async function buildNotebooks(out: string, sample: string | null = SAMPLE): Promise<void> {
  const folder = fileURLToPath(new URL("../notebooks", import.meta.url));
  const kit = join(
    dirname(fileURLToPath(import.meta.resolve("@observablehq/notebook-kit"))),
    "../bin/notebooks.js",
  );
  const built = spawnSync(
    process.execPath,
    [
      kit,
      "build",
      ...["--root", ".", "--template", "template.html", "--out", resolve(out), "--empty"],
      ...notebooks.map((name) => `${name}.html`),
    ],
    { cwd: folder, encoding: "utf8" },
  );
  if (built.status !== 0)
    throw new Error(`the notebooks could not be built:\n${built.stdout}\n${built.stderr}`);
  if (sample !== null) await putSampleBook(resolve(out), sample);
}

/** Where a notebook looks for the book that it opens first, and for what that is called. */
export const bookPlace = "book/flock.duckdb";
export const bookLabelPlace = "book/label.json";

/** What a notebook is told of the book beside it. */
export function bookLabel(name: string): string {
  return `${JSON.stringify({ name })}\n`;
}

async function putSampleBook(out: string, sample: string): Promise<void> {
  const scratch = mkdtempSync(join(tmpdir(), "coronet-sample-"));
  try {
    const whole = join(scratch, "flock.duckdb");
    await makeBook(whole, sample);
    mkdirSync(dirname(join(out, bookPlace)), { recursive: true });
    await copySmall(whole, join(out, bookPlace));
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
  writeFileSync(join(out, bookLabelPlace), bookLabel("the sample flock, which is invented"));
}

async function makeBook(path: string, sample: string): Promise<void> {
  const rim = processRim();
  const book = await openNativeBook(path);
  try {
    const taken = await takeIn(book, readInput([sample]), {
      now: rim.today,
      version,
      verb: "run",
      replace: true,
    });
    if ("troubles" in taken) throw new Error(`the sheets in ${sample} could not be taken`);
    await book.transaction(() =>
      analyse(book, { calendarDay: rim.today, on: null, seed: 1, version, madeAt: rim.instant }),
    );
  } finally {
    await book.close();
  }
}

/** A copy in blocks of the least size: a book has many small tables, and a page reads all of it. */
export async function copySmall(from: string, to: string): Promise<void> {
  const carrier = await openNativeBook(":memory:");
  try {
    await carrier.run(
      `ATTACH ${quoteText(from)} AS original (READ_ONLY); ATTACH ${quoteText(to)} AS small (BLOCK_SIZE 16384);
       COPY FROM DATABASE original TO small`,
    );
  } finally {
    await carrier.close();
  }
}
