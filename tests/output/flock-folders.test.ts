import { describe, expect, test } from "vitest";
import { flockFolders } from "../../src/output/flock-folders.ts";

describe("the folder of a flock", () => {
  test.each([
    ["a path", "../../etc/passwd", "-etc-passwd"],
    ["an absolute path", "/root/.ssh", "-root-ssh"],
    ["a drive", "C:\\Windows", "C-Windows"],
    ["dots alone", "..", "-"],
    ["a device of Windows", "NUL", "NUL-2"],
    ["the program's own folder", "Results", "Results-2"],
    ["control characters and marks that turn text round", "a\u0000b\u202ec\nd", "a-b-c-d"],
    ["letters of other scripts", "Hof Süd 山羊", "Hof Süd 山羊"],
    ["nothing visible", " \u200b ", "-"],
  ])("named by %s stays in the output folder", (_, id, folder) => {
    expect(flockFolders([id]).get(id)).toBe(folder);
  });

  test("is another for every flock, on any disk", () => {
    const flocks = ["north", "North", "a/b", "a:b", "a*b", "é", "e\u0301"];
    const folders = [...flockFolders(flocks).values()];
    expect(folders).toEqual(["north", "North-2", "a-b", "a-b-2", "a-b-3", "é", "é-2"]);
    expect(new Set(folders.map((folder) => folder.toLowerCase())).size).toBe(flocks.length);
  });

  test("is short enough for every file system, whole letters kept", () => {
    const folder = flockFolders(["山".repeat(500)]).get("山".repeat(500))!;
    expect(folder).toBe("山".repeat(40));
  });
});
