/** The file that says of a flock what its sheets do not. */
export const SETTINGS_FILE = "flock.toml";

/** Whether a file may hold a sheet, by the ending of its name; what is in it is told by its content. */
export function isSheetName(name: string): boolean {
  return /\.(csv|tsv|tab|txt|xlsx|xlsm|xls|ods|json|ndjson|jsonl|gz)$/i.test(name);
}
