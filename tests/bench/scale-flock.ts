import { mkdirSync, statSync } from "node:fs";
import { join } from "node:path";
import { coronet } from "../../pipelines/coronet.ts";
import { threadHands } from "../../pipelines/hands.ts";
import { openNativeBook } from "../../pipelines/native-book.ts";
import { readInput } from "../../pipelines/read-input.ts";
import { processRim } from "../../pipelines/rim.ts";
import { writeFiles } from "../../pipelines/write-files.ts";
import { analyse } from "../../src/findings/analyse.ts";
import { takeIn } from "../../src/intake/take-in.ts";
import { bookPages } from "../../src/output/book-pages.ts";
import { dayNumber } from "../../src/records/days.ts";

/** One step of the main job: wall and processor seconds. */
export interface StepTime {
  readonly step: string;
  readonly wall: number;
  readonly cpu: number;
}

export interface FlockTimes {
  readonly goats: number;
  readonly days: number;
  readonly clawRecords: number;
  readonly trimsBytes: number;
  readonly steps: readonly StepTime[];
  /** Seconds of the engine alone on the trims sheet, the floor of any intake. */
  readonly plainRead: number;
  readonly peakMegabytes: number;
}

/**
 * The whole main job on an invented flock, step by step, in a process of its own: `tsx scale-flock.ts FOLDER GOATS DAYS`
 * prints the times as JSON. Findings that run side by side overlap: their seconds are those from start to end.
 */
async function timeFlock(folder: string, goats: number, days: number): Promise<FlockTimes> {
  const sheets = join(folder, "sheets");
  const steps: StepTime[] = [];
  const timed = async <T>(step: string, work: () => Promise<T>): Promise<T> => {
    const before = process.cpuUsage();
    const started = performance.now();
    const result = await work();
    const used = process.cpuUsage(before);
    steps.push({
      step,
      wall: (performance.now() - started) / 1000,
      cpu: (used.user + used.system) / 1e6,
    });
    return result;
  };
  mkdirSync(folder, { recursive: true });
  const quiet = { ...processRim(), print: () => undefined };
  await coronet(["demo", sheets, "--goats", String(goats), "--days", String(days)], quiet);
  const hands = threadHands();
  const book = await openNativeBook(join(folder, "flock.duckdb"));
  const trims = join(sheets, "trims.csv");
  const started = performance.now();
  await book.rows(
    `SELECT CAST(count(*) AS INTEGER) AS n FROM read_csv('${trims.replaceAll("'", "''")}', all_varchar = true)`,
  );
  const plainRead = (performance.now() - started) / 1000;
  await timed("ingest", () =>
    takeIn(book, readInput([sheets]), {
      now: dayNumber(2100, 1, 1)!,
      version: "bench",
      verb: "run",
      replace: true,
    }),
  );
  const [{ n: clawRecords }] = (await book.rows<{ n: number }>(
    "SELECT CAST(count(*) AS INTEGER) AS n FROM herd.claw_record",
  )) as [{ n: number }];
  const flocks = await timed("analyse", () =>
    book.transaction(() =>
      analyse(book, {
        calendarDay: dayNumber(2100, 1, 1)!,
        on: null,
        seed: 1,
        version: "bench",
        madeAt: "",
        crew: hands.crew,
        step: (name, work) => timed(`  ${name}`, work),
      }),
    ),
  );
  await timed("pages", async () => {
    const pages = await bookPages(book, flocks, {
      language: null,
      season: "all",
      reader: "all",
      version: "bench",
      draw: hands.draw,
    });
    await writeFiles(join(folder, "out"), pages);
  });
  await book.close();
  return {
    goats,
    days,
    clawRecords,
    trimsBytes: statSync(trims).size,
    steps,
    plainRead,
    peakMegabytes: process.resourceUsage().maxRSS / 1024,
  };
}

const [folder, goats, days] = process.argv.slice(2);
console.log(JSON.stringify(await timeFlock(folder!, Number(goats), Number(days))));
