import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll } from "vitest";
import { coronet } from "../../pipelines/coronet.ts";
import { parseIsoDay } from "../../src/records/days.ts";

export interface Outcome {
  readonly code: number;
  readonly printed: string;
  readonly told: string;
}

/** Runs one call of the command line on a fixed day, recording what it prints. */
export async function call(...argv: readonly string[]): Promise<Outcome> {
  const printed: string[] = [];
  const told: string[] = [];
  const code = await coronet(argv, {
    today: parseIsoDay("2026-03-15")!,
    instant: "2026-03-15T12:00:00.000Z",
    print: (text) => printed.push(text),
    tell: (text) => told.push(text),
    width: null,
  });
  return { code, printed: printed.join("\n"), told: told.join("\n") };
}

/** A folder that goes when the file's tests are done. */
export function scratchFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "coronet-test-"));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}
