import { chmodSync, cpSync, existsSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { openNativeBook } from "../../pipelines/native-book.ts";
import { scratchFolder } from "../pipelines/recording-rim.ts";
import { callUnder } from "./call-under.ts";
import { prepareKeepersFolder, scenarios } from "./keepers-folder.ts";
import { killAt } from "./kill-at.ts";
import { type State, stateOf } from "./state-of.ts";

const scratch = scratchFolder();
const prepared = join(scratch, "prepared");
let before: State;
beforeAll(async () => {
  mkdirSync(prepared);
  before = await prepareKeepersFolder(prepared);
});

/** Milliseconds of work over which the moments of a call are spread. */
const spans: Readonly<Record<string, number>> = { ingest: 700, analyse: 1500 };

/** Moments at which a call is broken off: it stands still at all but the last, where it is killed. */
const MOMENTS = 10;

// The calls that write most into a lasting book; `npm run crash` kills every call, and many times.
describe("a call that is killed", () => {
  test.each(scenarios.filter(({ name }) => Object.hasOwn(spans, name)))(
    "$name leaves the book and the pages as before or as after, never half",
    async (scenario) => {
      const share = spans[scenario.name]! / MOMENTS;
      const moments = Array.from({ length: MOMENTS }, (_, i) => (i + Math.random()) * share);
      const report = await killAt(scenario, prepared, before, scratch, [moments]);
      expect(report.killed + report.ended).toBe(1);
      if (report.killed === 1 && process.platform !== "win32") expect(report.stopped).toBe(MOMENTS - 1);
      expect(report.before + report.after + report.between).toBe(report.stopped + 1);
    },
  );
});

// Windows has neither limits on file size nor accounts to change to
describe.skipIf(process.platform === "win32")("a disk or folder that does not take it", () => {
  const copy = (name: string): string => {
    const place = join(scratch, name);
    cpSync(prepared, place, { recursive: true });
    return place;
  };

  test.each([
    ["analyse", 16_384, (at: string) => ["analyse", "--book", join(at, "flock.duckdb")]],
    ["run", 409_600, (at: string) => ["run", join(at, "first"), "--out", join(at, "new")]],
  ])("%s says so and leaves all as it was", async (verb, largestFile, argv) => {
    const place = copy(`full-${verb}`);
    const { code, told } = callUnder({ largestFile }, argv(place));
    expect(told).toMatch(/^A file would become larger than this disk or account allows/);
    expect(told).toMatch(/Name another place/);
    expect(told).not.toMatch(/\bat .*\.ts:\d+/);
    expect(code).toBe(2);
    expect(await stateOf(place)).toEqual(before);
    expect(existsSync(join(place, "new"))).toBe(false);
  });

  test("a folder that may only be read gives its book to readers and tells writers why not", () => {
    const place = copy("read-only");
    chmodSync(scratch, 0o755);
    for (const path of [place, join(place, "flock.duckdb")]) chmodSync(path, path === place ? 0o555 : 0o444);
    // an administrator may write everywhere, so the call is made as nobody
    const account = process.getuid?.() === 0 ? { uid: 65_534 } : {};
    const book = ["--book", join(place, "flock.duckdb")];
    expect(callUnder(account, ["query", "SELECT 1 AS one", ...book])).toEqual({ code: 0, told: "" });
    const writing = callUnder(account, ["undo", "2", ...book]);
    expect(writing.told).toMatch(
      /cannot be opened for writing: check the permissions of the file and its folder/,
    );
    expect(writing.code).toBe(2);
    const pages = callUnder(account, ["export", join(place, "export"), ...book]);
    expect(pages.told).toMatch(
      /^The folder or file may not be written or read \(.*\)\. Check its permissions/,
    );
    expect(pages.code).toBe(2);
    chmodSync(place, 0o755);
  });

  test("a book that another program has open is left to it", async () => {
    const place = copy("in-use");
    const path = join(place, "flock.duckdb");
    const holder = await openNativeBook(path);
    try {
      const { code, told } = callUnder({}, ["undo", "2", "--book", path]);
      expect(told).toBe(
        `${path} is open in another program (process ${process.pid}). Close that one and try again.\n`,
      );
      expect(code).toBe(2);
    } finally {
      await holder.close();
    }
    expect(await stateOf(place)).toEqual(before);
  });
});
