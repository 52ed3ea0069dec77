import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Book } from "../../src/book/book.ts";

/**
 * What every engine's book must do the same. Expected values are by hand: they are what was put in.
 */
export function describeBook(engine: string, open: () => Promise<Book>): void {
  describe(`book on ${engine}`, () => {
    let book: Book;
    beforeEach(async () => {
      book = await open();
      await book.run("CREATE OR REPLACE TABLE t (tag VARCHAR, n INTEGER, x DOUBLE, yes BOOLEAN, d DATE)");
    });
    afterEach(() => book.close());

    const loadThree = (): Promise<void> =>
      book.load("t", [
        { name: "d", type: "day", values: Int32Array.of(0, 19_791, -1) },
        { name: "tag", type: "text", values: ["007", 'ñandú; "quoted"', null] },
        { name: "x", type: "number", values: Float64Array.of(0.1, Number.NaN, -1e-300) },
        { name: "yes", type: "flag", values: [true, null, false] },
      ]);

    test("loads columns in any order and leaves out what is not given", async () => {
      await loadThree();
      const rows = await book.rows("SELECT tag, n, x, yes, CAST(d AS VARCHAR) AS d FROM t");
      expect(rows).toEqual([
        { tag: "007", n: null, x: 0.1, yes: true, d: "1970-01-01" },
        { tag: 'ñandú; "quoted"', n: null, x: null, yes: null, d: "2024-03-09" },
        { tag: null, n: null, x: -1e-300, yes: false, d: "1969-12-31" },
      ]);
    });

    test("loads texts of any characters, an empty one and a missing one apart, alone and beside others", async () => {
      const tags = [
        "",
        null,
        " a ",
        "=1",
        '"',
        "a\nb\r\nc",
        "\u001e",
        "\u001fx\u001e\u001e",
        "\\N",
        "sep=;",
        "NULL",
        "é🐐",
      ];
      const text = { name: "tag", type: "text", values: tags } as const;
      await book.load("t", [text]);
      await book.load("t", [
        text,
        { name: "n", type: "integer", values: Int32Array.from(tags, (_, i) => i) },
      ]);
      const columns = await book.columns("SELECT tag, n FROM t");
      expect(columns.text("tag")).toEqual([...tags, ...tags]);
      expect([...columns.number("n")].slice(tags.length)).toEqual(tags.map((_, i) => i));
    });

    test("runs a statement with values, an empty text and a long one among them", async () => {
      const long = `'?${"é,".repeat(1_000_000)}`;
      await book.run("INSERT INTO t (tag, n) SELECT unnest([?, ?]), ?", ["", long, 7]);
      expect(await book.rows("SELECT CAST(length(tag) AS INTEGER) AS length, n FROM t ORDER BY 1")).toEqual([
        { length: 0, n: 7 },
        { length: 2_000_002, n: 7 },
      ]);
    });

    test("hands back whole columns with missing numbers as NaN", async () => {
      await loadThree();
      const columns = await book.columns("SELECT tag, x, yes FROM t");
      expect(columns.rowCount).toBe(3);
      expect([...columns.number("x")]).toEqual([0.1, Number.NaN, -1e-300]);
      expect(columns.text("tag")[2]).toBeNull();
      expect(columns.flag("yes")).toEqual([true, null, false]);
      expect(() => columns.text("x")).toThrow("no text column x");
    });

    test.each([
      ["a decimal", "SELECT 1.50 AS price"],
      ["a date", "SELECT DATE '2024-03-09' AS price"],
      ["a big integer", "SELECT count(*) AS price FROM t"],
      ["a sum", "SELECT sum(n) AS price FROM t"],
    ])("refuses %s, which engines hand back differently", async (_, sql) => {
      await expect(book.rows(sql)).rejects.toThrow("column price is");
      await expect(book.columns(sql)).rejects.toThrow("column price is");
    });

    test("takes values in the order of the marks", async () => {
      const rows = await book.rows(
        "SELECT CAST(? AS VARCHAR) AS a, CAST(? AS DOUBLE) AS b, CAST(? AS BOOLEAN) AS c, CAST(? AS VARCHAR) AS e",
        ["it's", 2.5, true, null],
      );
      expect(rows).toEqual([{ a: "it's", b: 2.5, c: true, e: null }]);
    });

    test("refuses columns the table lacks and columns of unequal length", async () => {
      await expect(book.load("t", [{ name: "zz", type: "text", values: ["a"] }])).rejects.toThrow(
        "no column zz",
      );
      await expect(
        book.load("t", [
          { name: "tag", type: "text", values: ["a"] },
          { name: "n", type: "integer", values: Int32Array.of(1, 2) },
        ]),
      ).rejects.toThrow("column n has 2 values");
      await expect(book.load("nowhere", [{ name: "tag", type: "text", values: ["a"] }])).rejects.toThrow(
        "no table nowhere",
      );
    });

    test("keeps all of a transaction or nothing", async () => {
      await expect(
        book.transaction(async () => {
          await loadThree();
          throw new Error("stopped half way");
        }),
      ).rejects.toThrow("stopped half way");
      expect(await book.rows("SELECT CAST(count(*) AS INTEGER) AS n FROM t")).toEqual([{ n: 0 }]);
      await book.transaction(loadThree);
      expect(await book.rows("SELECT CAST(count(*) AS INTEGER) AS n FROM t")).toEqual([{ n: 3 }]);
    });

    test("loads more rows than one engine vector holds, in order", async () => {
      const n = 10_000;
      await book.load("t", [
        { name: "n", type: "integer", values: Int32Array.from({ length: n }, (_, i) => i) },
      ]);
      const columns = await book.columns("SELECT n FROM t");
      expect([...columns.number("n")]).toEqual(Array.from({ length: n }, (_, i) => i));
    });
  });
}
