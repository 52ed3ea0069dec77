import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll } from "vitest";
import { coronet } from "../../pipelines/coronet.ts";
import { fixedRim } from "./fixed-rim.ts";

export interface Outcome {
  readonly code: number;
  readonly printed: string;
  readonly told: string;
}

/** Runs one call of the command line on a fixed day, recording what it prints. */
export async function call(...argv: readonly string[]): Promise<Outcome> {
  const printed: string[] = [];
  const told: string[] = [];
  const rim = fixedRim(
    (text) => printed.push(text),
    (text) => told.push(text),
  );
  const code = await coronet(argv, rim);
  return { code, printed: printed.join("\n"), told: told.join("\n") };
}

/** A folder that goes when the file's tests are done. */
export function scratchFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "coronet-test-"));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}
