import { mkdirSync, renameSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import type { PageFile } from "../src/report/page-shell.tsx";

/** Writes each file whole or not at all: beside its place first, then moved there. */
export function writeFiles(folder: string, files: readonly PageFile[]): void {
  for (const { path, content } of files) {
    const target = join(folder, path);
    mkdirSync(dirname(target), { recursive: true });
    const half = `${target}.part`;
    writeFileSync(half, content);
    renameSync(half, target);
  }
}
