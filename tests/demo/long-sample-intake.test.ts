import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { openNativeBook } from "../../pipelines/native-book.ts";
import { sampleFlock } from "../../src/demo/sample-flock.ts";
import { takeIn } from "../../src/intake/take-in.ts";
import { parseIsoDay } from "../../src/records/days.ts";

const folder = join(import.meta.dirname, "../../data-samples/long");

test("the sample flock loses the planted slips to the set-aside list, and nothing else", async () => {
  const files = readdirSync(folder)
    .filter((name) => name.endsWith(".csv"))
    .map((path) => ({ path, bytes: new Uint8Array(readFileSync(join(folder, path))) }));
  const settings = [{ folder: "", text: readFileSync(join(folder, "flock.toml"), "utf8") }];
  const book = await openNativeBook(":memory:");
  try {
    const now = parseIsoDay("2026-03-01") as number;
    const report = await takeIn(
      book,
      { files, settings },
      { now, version: "test", verb: "run", replace: false },
    );
    expect(report).not.toHaveProperty("troubles");
    const setAside = await book.rows<{
      file: string;
      row_no: number;
      column_name: string;
      value: string;
      reason: string;
    }>(
      `SELECT s.file, a.row_no, coalesce(a.column_name, '') AS column_name, coalesce(a.value, '') AS value, a.reason
       FROM intake.set_aside a JOIN intake.source s USING (source_id) ORDER BY 1, 2`,
    );
    const code = (reason: string) => reason.replace(/\(.*/s, "");
    const { faults } = sampleFlock();
    const planted = faults
      .filter(({ reason }) => reason !== "exact_repeat")
      .map(({ kind, row, column, value, reason }) => `${kind}.csv ${row} ${column} ${value} ${code(reason)}`);
    const found = setAside.map(
      ({ file, row_no, column_name, value, reason }) =>
        `${file} ${row_no} ${column_name} ${value} ${code(reason)}`,
    );
    expect(found.sort()).toEqual(planted.sort());
    for (const { kind, row, reason } of faults.filter(({ reason }) => reason.includes("("))) {
      expect(setAside.find((one) => one.file === `${kind}.csv` && one.row_no === row)?.reason).toBe(reason);
    }
  } finally {
    await book.close();
  }
});
