import { isSheetName, SETTINGS_FILE } from "../../src/intake/input-names.ts";
import type { IntakeInput } from "../../src/intake/take-in.ts";
import type { GivenFile } from "../worker/book-service.ts";

/**
 * Sorts dropped files into sheets and settings, as the command line reads a folder: hidden files and what is
 * no sheet are passed over, and one folder that holds all of them is not part of their names.
 */
export function inputOfFiles(files: readonly GivenFile[]): IntakeInput {
  const seen = files.filter(({ path }) => path.split("/").every((part) => !/^(\.|~\$)/.test(part)));
  const top = commonFolder(seen.map(({ path }) => path));
  const kept = seen.map(({ path, bytes }) => ({ path: path.slice(top.length), bytes }));
  return {
    files: kept.filter(({ path }) => isSheetName(path)),
    settings: kept
      .filter(({ path }) => path === SETTINGS_FILE || path.endsWith(`/${SETTINGS_FILE}`))
      .map(({ path, bytes }) => ({
        folder: path.slice(0, Math.max(0, path.length - SETTINGS_FILE.length - 1)),
        text: new TextDecoder().decode(bytes),
      })),
  };
}

/** The first folder of every path, with its `/`; empty when they have none in common. */
function commonFolder(paths: readonly string[]): string {
  const first = paths[0]?.split("/") ?? [];
  const folder = first.length > 1 ? `${first[0]}/` : "";
  return folder !== "" && paths.every((path) => path.startsWith(folder)) ? folder : "";
}
