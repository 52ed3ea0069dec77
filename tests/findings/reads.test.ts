import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { inventFlock } from "../../src/demo/invent-flock.ts";
import { analyse, findings } from "../../src/findings/analyse.ts";
import type { Finding } from "../../src/findings/finding.ts";
import { growthInterval } from "../../src/findings/growth-interval.ts";
import { measurementError } from "../../src/findings/measurement-error.ts";
import { herdBook, loadHerd } from "./herd-book.ts";

/**
 * Findings run side by side, each once those are done whose tables it says it reads: one that reads another's table
 * without saying so may find it empty, and rows added to another's table before that one is made are lost. Every statement of an analysis is written down under the step that asked it.
 */
const asked = new Map<string, string[]>();
let step = "";
let opened: Book;

/** The same book, telling every statement that it is asked. */
function told(book: Book, tell: (sql: string) => void): Book {
  return {
    engine: book.engine,
    run: (sql) => {
      tell(sql);
      return book.run(sql);
    },
    rows: (sql, values) => {
      tell(sql);
      return book.rows(sql, values);
    },
    columns: (sql, values) => {
      tell(sql);
      return book.columns(sql, values);
    },
    load: (table, columns) => {
      tell(table);
      return book.load(table, columns);
    },
    transaction: (work) => book.transaction(work),
    close: () => book.close(),
  };
}

/** Result tables that a statement names. */
function tablesIn(sql: string): string[] {
  return [...sql.replaceAll('"', "").matchAll(/\bresults\.(\w+)/g)].map(([, name]) => `results.${name}`);
}

beforeAll(async () => {
  // Two flocks, so that pooling has something to read as well.
  const { sheets } = inventFlock({ seed: 11, goats: 8, days: 200, pens: 2, visitEveryDays: 40 });
  opened = await herdBook(sheets, {}, "one");
  const second = inventFlock({ seed: 12, goats: 4, days: 110, pens: 2, visitEveryDays: 50 });
  await loadHerd(opened, second.sheets, {}, "two");
  const book = told(opened, (sql) => asked.set(step, [...(asked.get(step) ?? []), sql]));
  // one step at a time: a finding waits for others before its step begins, never within it
  let last: Promise<void> = Promise.resolve();
  await analyse(book, {
    calendarDay: 100_000,
    on: null,
    seed: 1,
    version: "test",
    madeAt: "",
    step: (name, work) => {
      const own = last.then(async () => {
        step = name;
        await work();
        step = "after all";
      });
      last = own.catch(() => {});
      return own;
    },
  });
});
afterAll(() => opened.close());

const nameOf = ({ schema, name }: Finding["tables"][number]): string => `${schema}.${name}`;

describe("every result table that a finding's statements name is its own, or one it says it reads or adds to", () => {
  test.each(
    [measurementError, growthInterval, ...findings].map(
      (finding) => [nameOf(finding.tables[0]!), finding] as const,
    ),
  )("%s", (name, finding) => {
    const statements = asked.get(name.replace("results.", "")) ?? [];
    const known = new Set([
      ...finding.tables.flatMap((table) => [nameOf(table), ...table.reads]),
      ...(finding.adds ?? []).map(nameOf),
    ]);
    const named = new Set(statements.flatMap(tablesIn));
    // it created and filled its own tables: the statements are there
    for (const table of finding.tables) expect(named, "its own").toContain(nameOf(table));
    expect([...named].filter((table) => !known.has(table))).toEqual([]);
  });
});

test("what a finding says it reads is there to be read", () => {
  const filled = new Set(
    [measurementError, growthInterval, ...findings].flatMap(({ tables }) => tables.map(nameOf)),
  );
  const said = findings.flatMap(({ tables }) => tables.flatMap(({ reads }) => reads));
  expect(said.filter((table) => table.startsWith("results.") && !filled.has(table))).toEqual([]);
});

test("a statement's tables are seen, quoted or not", () => {
  expect(
    tablesIn('SELECT * FROM results."case" c JOIN "results"."lesion" USING (x), results.coverage'),
  ).toEqual(["results.case", "results.lesion", "results.coverage"]);
});
