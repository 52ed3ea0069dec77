import type { KindId } from "../records/kinds.ts";
import type { Settings } from "../records/settings.ts";
import type { TextTable } from "../sheets/text-table.ts";

/**
 * What `[kinds]` in the settings says of a worksheet, by any of its names: the path as given, the file's
 * name with or without its ending, the worksheet's name, or both as `file:worksheet`. Null when it says
 * nothing.
 */
export function answeredKind(table: TextTable, kinds: Settings["kinds"]): KindId | null {
  const answers = new Map(Object.entries(kinds).map(([name, kind]) => [plain(name), kind] as const));
  const file = table.file.replace(/^.*[/\\]/, "");
  const files = [table.file, file, fileStem(file)];
  const names =
    table.worksheet === null
      ? files
      : [...files.map((name) => `${name}:${table.worksheet}`), table.worksheet, ...files];
  for (const name of names) {
    const answer = answers.get(plain(name));
    if (answer !== undefined) return answer;
  }
  return null;
}

/** A file's name without its folders and ending. */
export function fileStem(file: string): string {
  return file.replace(/^.*[/\\]/, "").replace(/(?:\.(?:csv|tsv|txt|xlsx|json|ndjson|jsonl|gz))+$/i, "");
}

function plain(name: string): string {
  return name.trim().toLowerCase();
}
