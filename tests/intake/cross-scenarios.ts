import { afterAll, beforeAll, expect, it } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { defaultSettings, type Settings } from "../../src/records/settings.ts";
import { emptyTables, type HandMadeRecord, type HandMadeSheet, takeHandMade } from "./hand-made-sheets.ts";
import { openTestBook } from "./open-test-book.ts";
import { setAsideOf } from "./set-aside-of.ts";

/** What the book says of a scenario once all are taken. */
export interface Scenario {
  setAside(): Promise<readonly string[]>;
  rows(sql: string): Promise<object[]>;
}

/**
 * Scenarios of a test file are taken together, each as a flock of its own: flocks know nothing of each other. Call it
 * once a file, telling how many records are exact repeats; the function it gives adds a scenario, in whose questions
 * `$herd.x` stands for its rows of a table.
 */
export function crossScenarios({
  repeats = 0,
} = {}): (flock: string, sheets: readonly HandMadeSheet[], settings?: Partial<Settings>) => Scenario {
  let book: Book;
  const scenarios = new Map<string, { sheets: readonly HandMadeSheet[]; settings: Partial<Settings> }>();
  beforeAll(async () => {
    book = await openTestBook();
    await emptyTables(book);
    const all = [...scenarios];
    const sheets = all.flatMap(([flock, { sheets: own }]) =>
      own.map((sheet) => ({ flock, ...sheet, file: `${flock}/${sheet.file}` })),
    );
    const flocks = all.map(([flock, { settings }]) => ({
      flock,
      settings: { ...defaultSettings, ...settings },
      namedBy: "folder" as const,
    }));
    await takeHandMade(book, sheets, { flocks });
  });
  afterAll(() => book.close());
  it("every record is taken, set aside or a repeat, and the herd holds what is taken", async () => {
    const [sum] = await book.rows<{ read: number; taken: number; aside: number; repeats: number }>(
      `SELECT CAST(sum("read") AS INTEGER) AS "read", CAST(sum(taken) AS INTEGER) AS taken, CAST(sum(set_aside) AS INTEGER) AS aside,
         CAST(sum(repeats) AS INTEGER) AS repeats FROM intake.record_sum`,
    );
    const written = [...scenarios.values()].flatMap(({ sheets }) =>
      sheets.map(({ records }) => records.length),
    );
    expect(sum!.read).toBe(written.reduce((total, n) => total + n, 0));
    expect(sum!.taken + sum!.aside + sum!.repeats).toBe(sum!.read);
    expect(sum!.repeats).toBe(repeats);
  });
  return (flock, sheets, settings = {}) => {
    scenarios.set(flock, { sheets, settings });
    const own = (line: string): string => line.replaceAll(`${flock}/`, "");
    return {
      setAside: async () => (await setAsideOf(book)).filter((line) => line.startsWith(`${flock}/`)).map(own),
      rows: (sql) => book.rows(sql.replace(/\$([a-z_.]+)/g, `(FROM $1 WHERE flock = '${flock}')`)),
    };
  };
}

/** A trim of one claw. */
export const trim = (animal: string, date: string, more: HandMadeRecord = {}): HandMadeRecord => ({
  animal,
  date,
  foot: "LF",
  claw: "inner",
  trimmed: true,
  ...more,
});

/** A gait score. */
export const gait = (
  animal: string,
  date: string,
  score: number,
  scale: string | null = "1-5",
): HandMadeRecord => ({
  animal,
  date,
  gait: score,
  gait_scale: scale,
});
