import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { inputOfFiles } from "../../notebooks/own-sheets/input-of-files.ts";
import { readInput } from "../../pipelines/read-input.ts";

const bytes = new TextEncoder().encode("a,b\n1,2\n");
const paths = (...given: readonly string[]) => {
  const { files, settings } = inputOfFiles(given.map((path) => ({ path, bytes })));
  return { files: files.map(({ path }) => path), settings: settings.map(({ folder }) => folder) };
};

describe("files as a reader drops them", () => {
  test.each(["data-samples/long", "data-samples/three-farms"])(
    "a dropped folder is what the command line reads: %s",
    (folder) => {
      const top = folder.split("/").at(-1)!;
      const dropped = readdirSync(folder, { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => join(entry.parentPath, entry.name))
        .map((path) => ({
          path: `${top}${path.slice(folder.length)}`,
          bytes: new Uint8Array(readFileSync(path)),
        }));
      const byPath = (a: { path: string }, b: { path: string }): number => (a.path < b.path ? -1 : 1);
      const byFolder = (a: { folder: string }, b: { folder: string }): number =>
        a.folder < b.folder ? -1 : 1;
      const own = inputOfFiles(dropped);
      const read = readInput([folder]);
      const plain = (file: { path: string; bytes: Uint8Array }) => ({
        ...file,
        bytes: new TextDecoder("latin1").decode(file.bytes),
      });
      expect([...own.files].sort(byPath).map(plain)).toEqual([...read.files].sort(byPath).map(plain));
      expect([...own.settings].sort(byFolder)).toEqual([...read.settings].sort(byFolder));
    },
  );

  test("passes over hidden files, lock files and what is no sheet", () => {
    expect(paths("f/trims.csv", "f/.trims.csv", "f/~$book.xlsx", "f/.git/x.csv", "f/film.mp4")).toEqual({
      files: ["trims.csv"],
      settings: [],
    });
  });

  test("keeps the names of folders when there are several", () => {
    expect(paths("a/trims.csv", "b/trims.csv", "b/flock.toml", "flock.toml")).toEqual({
      files: ["a/trims.csv", "b/trims.csv"],
      settings: ["b", ""],
    });
  });
});
