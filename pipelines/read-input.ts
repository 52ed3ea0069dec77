import { readdirSync, readFileSync, statSync } from "node:fs";
import { basename, join, relative, sep } from "node:path";
import { isSheetName, SETTINGS_FILE } from "../src/intake/input-names.ts";
import type { IntakeInput } from "../src/intake/take-in.ts";
import { Unusable } from "./unusable.ts";

/**
 * Reads the sheets and settings of folders and single files. Paths are relative to the folder given, which is
 * named in front when there are several; hidden files and folders that hold a book (output) are passed over.
 */
export function readInput(words: readonly string[]): IntakeInput {
  const files: { path: string; bytes: Uint8Array }[] = [];
  const settings: { folder: string; text: string }[] = [];
  for (const word of words) {
    let kind: ReturnType<typeof statSync>;
    try {
      kind = statSync(word);
    } catch {
      throw new Unusable(`There is no file or folder ${word}.`);
    }
    if (kind.isDirectory()) gather(word, word, words.length > 1 ? basename(word) : "", files, settings);
    else if (basename(word) === SETTINGS_FILE) settings.push({ folder: "", text: readText(word) });
    else files.push({ path: basename(word), bytes: readBytes(word) });
  }
  if (files.length === 0) {
    throw new Unusable(
      `No sheet was found in ${words.join(", ")}. Sheets end in .csv, .tsv, .xlsx, .json, .ndjson or .gz.`,
    );
  }
  return { files, settings };
}

function gather(
  top: string,
  folder: string,
  prefix: string,
  files: { path: string; bytes: Uint8Array }[],
  settings: { folder: string; text: string }[],
): void {
  const entries = readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1));
  if (folder !== top && entries.some((entry) => entry.name.endsWith(".duckdb"))) return;
  const place = [prefix, relative(top, folder).split(sep).join("/")].filter((part) => part !== "").join("/");
  for (const entry of entries) {
    if (entry.name.startsWith(".") || entry.name.startsWith("~$")) continue;
    const path = join(folder, entry.name);
    if (entry.isDirectory()) gather(top, path, prefix, files, settings);
    else if (entry.name === SETTINGS_FILE) settings.push({ folder: place, text: readText(path) });
    else if (isSheetName(entry.name))
      files.push({ path: place === "" ? entry.name : `${place}/${entry.name}`, bytes: readBytes(path) });
  }
}

function readBytes(path: string): Uint8Array {
  // reading a pipe or a device would never end
  if (!statSync(path, { throwIfNoEntry: false })?.isFile())
    throw new Unusable(`${path} is not a file that can be read. Take it out of the folder.`);
  try {
    return readFileSync(path);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ERR_FS_FILE_TOO_LARGE")
      throw new Unusable(`${path} is larger than 2 GB. Split it into several sheets.`);
    throw new Unusable(
      `${path} cannot be read (${(error as NodeJS.ErrnoException).code}). Check its permissions.`,
    );
  }
}

function readText(path: string): string {
  return new TextDecoder().decode(readBytes(path));
}
