import { recogniseContent } from "./content-kind.ts";
import { readText } from "./read-text.ts";
import type { ReadSheets } from "./text-table.ts";
import { troublesOf } from "./trouble-list.ts";

/**
 * Reads one file's bytes into text tables: CSV, TSV, semicolon and pipe text, XLSX (every worksheet), JSON,
 * NDJSON, and gzip of any of them. The kind of file is decided by its content, never by its name alone.
 *
 * Never throws on any bytes and never hangs: what cannot be read comes back in `troubles`.
 */
export function readSheets(file: string, bytes: Uint8Array): ReadSheets {
  const troubles = troublesOf(file);
  const content = recogniseContent(bytes);
  if (content.kind === "other") {
    troubles.add("not_a_sheet", content.name);
    return { tables: [], troubles: troubles.listed() };
  }
  const tables = readText(file, bytes, troubles);
  return { tables, troubles: troubles.listed() };
}
