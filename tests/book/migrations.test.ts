import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { gunzipSync } from "node:zlib";
import { describe, expect, test } from "vitest";
import { openNativeBook } from "../../pipelines/native-book.ts";
import { openOrExplain } from "../../pipelines/open-book.ts";
import { type Book, quoteName } from "../../src/book/book.ts";
import { type Migration, migrate, migrations, schemaOf } from "../../src/book/migrations.ts";
import { schemaStatements, schemaVersion } from "../../src/book/schema.ts";
import { stagingStatements } from "../../src/intake/staging.ts";
import { call, scratchFolder } from "../pipelines/recording-rim.ts";

const folder = scratchFolder();

/** A book as schema version 1 left it; see the note beside the file for what it holds. */
function oldBook(name: string): string {
  const path = join(folder, name, "flock.duckdb");
  mkdirSync(dirname(path));
  const packed = readFileSync(new URL("../reference/books/schema-1.duckdb.gz", import.meta.url));
  writeFileSync(path, gunzipSync(packed));
  return path;
}

async function count(book: Book, from: string): Promise<number> {
  const [row] = await book.rows<{ n: number }>(`SELECT CAST(count(*) AS INTEGER) AS n FROM ${from}`);
  return row!.n;
}

async function columnsOf(book: Book): Promise<readonly string[]> {
  const rows = await book.rows<{ column: string }>(
    `SELECT schema_name || '.' || table_name || '.' || column_name || ' ' || data_type AS "column" FROM duckdb_columns()
     WHERE database_name = current_database() AND schema_name IN ('intake', 'herd') ORDER BY ALL`,
  );
  return rows.map(({ column }) => column);
}

const addShelter: Migration = {
  from: 1,
  says: "pens say what shelters them",
  run: (book) => book.run("ALTER TABLE herd.pen ADD COLUMN shelter VARCHAR"),
};
const addSlope: Migration = {
  from: 2,
  says: "pens say how steep they are",
  run: (book) => book.run("ALTER TABLE herd.pen ADD COLUMN slope DOUBLE"),
};
const failing: Migration = {
  from: 2,
  says: "a step that fails half way",
  async run(book) {
    await book.run(`ALTER TABLE herd.pen ADD COLUMN ${quoteName("half done")} DOUBLE`);
    throw new Error("stopped half way");
  },
};

describe("a book of schema version 1", () => {
  test("opens with all its records, as the present version lays them out", async () => {
    const book = await openOrExplain(oldBook("opened"), false);
    try {
      expect(await schemaOf(book)).toBe(schemaVersion);
      for (const [table, rows] of Object.entries({ animal: 3, stay: 3, gait: 2, lesion: 3, claw_record: 4 }))
        expect(await count(book, `herd.${table}`), table).toBe(rows);
      expect(await count(book, "intake.set_aside WHERE loses = 'record'")).toBe(2);
      const fresh = await openNativeBook(":memory:");
      await fresh.run([...schemaStatements(), ...stagingStatements()].join(";\n"));
      expect(await columnsOf(book)).toEqual(await columnsOf(fresh));
      await fresh.close();
    } finally {
      await book.close();
    }
  });

  test("takes another sheet, gives it back, and takes its first ingest back too", async () => {
    const path = oldBook("used");
    const sheet = join(dirname(path), "more.csv");
    writeFileSync(sheet, "animal,date,foot,claw,toe_before_mm,toe_after_mm\nA1,2025-05-01,LF,inner,44,38\n");
    expect((await call("ingest", sheet, "--book", path)).told).toBe(
      "19 records read: 16 taken, 2 set aside, 1 exact repeats.",
    );
    expect((await call("undo", "2", "--book", path)).printed).toMatch(/18 records read: 15 taken/);
    expect((await call("undo", "1", "--book", path)).printed).toMatch(/0 records read/);
  });
});

describe("migrating", () => {
  test("runs every step between, in order, after a checked copy beside the book", async () => {
    const path = oldBook("stepped");
    const book = await openOrExplain(path, true, { steps: [addSlope, addShelter], to: 3 });
    expect(await schemaOf(book)).toBe(3);
    expect(await columnsOf(book)).toContain("herd.pen.shelter VARCHAR");
    expect(await columnsOf(book)).toContain("herd.pen.slope DOUBLE");
    expect(await count(book, "herd.animal")).toBe(3);
    await book.close();
    expect(readdirSync(dirname(path)).sort()).toEqual(["flock.duckdb", "flock.schema-1.duckdb"]);
    const kept = await openNativeBook(join(dirname(path), "flock.schema-1.duckdb"), { readOnly: true });
    expect(await schemaOf(kept)).toBe(1);
    expect(await count(kept, "herd.claw_record")).toBe(4);
    await kept.close();
  });

  test("leaves the book as it was when a step fails, and never writes over a copy", async () => {
    const path = oldBook("failing");
    const upgrade = { steps: [addShelter, failing], to: 3 };
    await expect(openOrExplain(path, false, upgrade)).rejects.toThrow("stopped half way");
    await expect(openOrExplain(path, false, upgrade)).rejects.toThrow("stopped half way");
    const book = await openNativeBook(path, { readOnly: true });
    expect(await schemaOf(book)).toBe(1);
    expect((await columnsOf(book)).some((column) => /shelter|half done/.test(column))).toBe(false);
    await book.close();
    expect(existsSync(join(dirname(path), "flock.schema-1-2.duckdb"))).toBe(true);
  });

  test("goes nowhere without a step, nor backwards", async () => {
    const book = await openNativeBook(oldBook("missing"));
    await expect(migrate(book, [addShelter], 3)).rejects.toThrow("no step leads from schema 2 to 3");
    await expect(migrate(book, [], 0)).rejects.toThrow("later than 0");
    expect(await schemaOf(book)).toBe(1);
    await book.close();
  });

  test("has a step for every version there has been", () => {
    expect(migrations.map(({ from }) => from)).toEqual(
      Array.from({ length: schemaVersion - 1 }, (_, i) => i + 1),
    );
  });

  test("refuses a book of a later version with what to do, and leaves it alone", async () => {
    const path = oldBook("later");
    const book = await openNativeBook(path);
    await book.run("UPDATE book.meta SET value = '999' WHERE name = 'schema'");
    await book.close();
    const { code, told } = await call("analyse", "--book", path);
    expect(told).toBe(
      `${path} was made by a later version of Coronet. Update this one, or open a copy made before.`,
    );
    expect(code).toBe(2);
    expect(readdirSync(dirname(path))).toEqual(["flock.duckdb"]);
  });
});
