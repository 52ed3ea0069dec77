import "./without-evaluation.ts";
import { strToU8, zipSync } from "fflate";
import { version } from "../../package.json";
import { askBook, shutBook, wordRefusal } from "../../src/book/ask-book.ts";
import type { Book } from "../../src/book/book.ts";
import { readFlocks } from "../../src/exposure/flocks.ts";
import { analyse, findings } from "../../src/findings/analyse.ts";
import { takeIn } from "../../src/intake/take-in.ts";
import { wordUsageTrouble } from "../../src/intake/usage-trouble.ts";
import { bookPages } from "../../src/output/book-pages.ts";
import { resultFiles } from "../../src/output/result-files.ts";
import { type DayNumber, dayNumber } from "../../src/records/days.ts";
import type { Flock } from "../../src/records/flock.ts";
import { inputOfFiles } from "../own-sheets/input-of-files.ts";
import { openWasmBook } from "../wasm-book.ts";
import type { BookService, Hiring, Reply, Request } from "./book-service.ts";
import { columnMeanings } from "./column-meanings.ts";
import { firstFindings, sayFirst } from "./first-findings.ts";
import { type Hands, hiredHands, ownHands } from "./hands.ts";
import { openBookFile } from "./open-book-file.ts";
import { Refused } from "./refused.ts";
import { sheetsTaken } from "./sheets-taken.ts";
import { startEngine } from "./start-engine.ts";

type Told = (says: string, what?: "step" | "finding") => void;
type Work = {
  readonly [Name in keyof BookService]: (
    tell: Told,
    ...given: Parameters<BookService[Name]>
  ) => ReturnType<BookService[Name]> | Promise<ReturnType<BookService[Name]>>;
};

const starting = startEngine();
let hands: Hands = ownHands();
let book: Book | null = null;
let flocks: readonly Flock[] = [];
let shut = false;

const work: Work = {
  async openFile(tell, bytes) {
    tell("Opening the book");
    book = await openBookFile(await starting, bytes);
    shut = false;
  },
  async takeSheets(tell, files) {
    tell("Starting the database");
    const engine = await starting;
    book = await openWasmBook(engine.openEmpty());
    shut = false;
    tell("Reading the sheets");
    const report = await takeIn(book, inputOfFiles(files), {
      now: today(),
      version,
      verb: "run",
      replace: true,
    });
    if ("troubles" in report)
      throw new Refused(report.troubles.map((trouble) => wordUsageTrouble(trouble, "en")).join("\n"));
    return sheetsTaken(book, "en");
  },
  async analyse(tell) {
    const own = held();
    flocks = await readFlocks(own, today(), null);
    if (flocks.length === 0)
      throw new Refused(
        "There is nothing to report on: no trim, gait score, round, lesion, treatment or ground score could be taken.",
      );
    const progress = stepsInWords(
      findings.map(({ tables }) => tables[0]!.name),
      tell,
    );
    flocks = await own.transaction(() =>
      analyse(own, {
        calendarDay: today(),
        on: null,
        seed: 1,
        version,
        madeAt: new Date().toISOString(),
        crew: hands.crew,
        first: firstFindings,
        step: async (name, step) => {
          progress.begin(name);
          await step();
          progress.end(name);
          for (const says of await sayFirst(own, name, flocks)) tell(says, "finding");
        },
      }),
    );
    return flocks.map(({ name }) => name);
  },
  async writePages(tell) {
    tell("Writing the pages");
    const pages = await bookPages(held(), flocks, {
      language: null,
      season: "all",
      reader: "all",
      version,
      draw: hands.draw,
    });
    return [...pages, ...(await resultFiles(held()))];
  },
  zip: (_tell, files) =>
    zipSync(Object.fromEntries(files.map(({ path, content }) => [path, strToU8(content)]))),
  meanings: () => columnMeanings(),
  async ask(_tell, sql) {
    const own = held();
    if (!shut) await shutBook(own);
    shut = true;
    try {
      return await askBook(own, sql);
    } catch (error) {
      throw new Refused(wordRefusal(error));
    }
  },
};

/** Tells what is being worked out, of steps that run side by side, and how many of the findings stand. */
function stepsInWords(names: readonly string[], tell: Told) {
  const running = new Set<string>();
  let done = 0;
  const say = (): void => {
    const works = [...running].slice(0, 3).map((name) => name.replaceAll("_", " "));
    if (works.length > 0) tell(`Working out ${works.join(", ")} (${done} of ${names.length} findings done)`);
  };
  return {
    begin(name: string): void {
      running.add(name);
      say();
    },
    end(name: string): void {
      running.delete(name);
      if (names.includes(name)) done++;
      say();
    },
  };
}

function held(): Book {
  if (book === null) throw new Refused("No book is open yet.");
  return book;
}

/** The calendar day at the keeper's place. */
function today(): DayNumber {
  const now = new Date();
  return dayNumber(now.getFullYear(), now.getMonth() + 1, now.getDate())!;
}

// one request after the other: the book is one, and so is its transaction
let last: Promise<unknown> = Promise.resolve();
addEventListener("message", ({ data }: MessageEvent<Request | Hiring>) => {
  if ("hands" in data) hands = hiredHands(data.hands);
  else last = last.then(() => answer(data));
});

async function answer({ id, call, given }: Request): Promise<void> {
  const reply = (message: Reply): void => postMessage(message);
  const tell: Told = (says, what = "step") =>
    reply(what === "step" ? { id, step: says } : { id, finding: says });
  try {
    const run = work[call] as (tell: Told, ...given: readonly unknown[]) => unknown;
    reply({ id, value: await run(tell, ...given) });
  } catch (error) {
    if (!(error instanceof Refused)) console.error(error);
    reply({
      id,
      refused:
        error instanceof Refused ? error.message : `The program itself failed: ${(error as Error).message}`,
    });
  }
}
