import { mkdirSync, renameSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import type { PageFile } from "../src/report/page-shell.tsx";
import { inWorkshop } from "./workshop.ts";

/**
 * Writes each file whole or not at all. All are written aside first, so that a full disk leaves the folder as
 * it was, and then moved into place one by one.
 */
export async function writeFiles(folder: string, files: readonly PageFile[]): Promise<void> {
  await inWorkshop(join(folder, "page"), (workshop) => {
    files.forEach(({ content }, i) => {
      writeFileSync(join(workshop, String(i)), content);
    });
    files.forEach(({ path }, i) => {
      const target = join(folder, path);
      mkdirSync(dirname(target), { recursive: true });
      renameSync(join(workshop, String(i)), target);
    });
  });
}
