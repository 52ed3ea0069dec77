import { mkdirSync, readdirSync, readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { describe, expect, test } from "vitest";
import { coronet } from "../../pipelines/coronet.ts";
import { type Hands, threadHands } from "../../pipelines/hands.ts";
import type { Job } from "../../src/findings/crew.ts";
import { studyFiles } from "../../src/report/sections/study-data.ts";
import { fixedRim } from "./fixed-rim.ts";
import { scratchFolder } from "./recording-rim.ts";

const folder = scratchFolder();

async function everyFile(out: string, hands?: Hands): Promise<Map<string, string>> {
  const rim = fixedRim(
    () => undefined,
    () => undefined,
  );
  const own = hands === undefined ? rim : { ...rim, hands: () => hands };
  expect(await coronet(["run", "data-samples/keepers-grid", "--out", out], own)).toBe(0);
  const files = (readdirSync(out, { recursive: true }) as string[]).filter((name) =>
    /\.(html|csv|json)$/.test(name),
  );
  return new Map(files.sort().map((name) => [name, readFileSync(join(out, name), "utf8")]));
}

describe("work on other threads", () => {
  test("gives the same tables, pages and pictures as on this one", { timeout: 120_000 }, async () => {
    mkdirSync(folder, { recursive: true });
    const here = await everyFile(join(folder, "here"));
    const there = await everyFile(join(folder, "there"), threadHands(2));
    expect([...there.keys()]).toEqual([...here.keys()]);
    // The manifest tells seconds; study numbers come from each book's own secret.
    const differing = ["manifest.json", ...Object.values(studyFiles)];
    for (const [name, text] of here) {
      if (!differing.includes(basename(name))) expect(there.get(name), name).toBe(text);
    }
  });

  test("hands a failure back to who asked, and goes on with the next job", async () => {
    const { crew } = threadHands(1);
    const unknown: Job<number, number> = { name: "nobody's job", work: (x) => x };
    await expect(crew.run(unknown, 1)).rejects.toThrow();
    await expect(crew.run(unknown, 2)).rejects.toThrow();
  });
});
