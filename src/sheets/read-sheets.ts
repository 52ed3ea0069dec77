import { kindOfCompoundFile } from "./compound-file.ts";
import { recogniseContent } from "./content-kind.ts";
import { readText } from "./read-text.ts";
import { readWorkbook } from "./read-workbook.ts";
import { SheetFailure } from "./sheet-failure.ts";
import type { ReadSheets, TextTable } from "./text-table.ts";
import { type TroubleList, troublesOf } from "./trouble-list.ts";
import { gunzip } from "./unpack.ts";

/**
 * Reads one file's bytes into text tables: CSV, TSV, semicolon and pipe text, XLSX (every worksheet), JSON,
 * NDJSON, and gzip of any of them. The kind of file is decided by its content, never by its name alone.
 * A worksheet without any text is a table without rows; a file without any is an `empty_file`.
 *
 * Never throws on any bytes and never hangs: what cannot be read comes back in `troubles`. The tables read
 * from `bytes` when their batches are asked for, so the caller must not change them meanwhile.
 */
export function readSheets(file: string, bytes: Uint8Array): ReadSheets {
  const troubles = troublesOf(file);
  const tables = readContent(file, bytes, troubles);
  return { tables, troubles: troubles.listed() };
}

function readContent(file: string, bytes: Uint8Array, troubles: TroubleList): readonly TextTable[] {
  if (!isGzip(bytes)) return readUnpacked(file, bytes, troubles);
  try {
    const unpacked = gunzip(bytes);
    if (!isGzip(unpacked)) return readUnpacked(file, unpacked, troubles);
    troubles.add("not_a_sheet", "gzip in gzip");
  } catch (error) {
    if (!(error instanceof SheetFailure)) throw error;
    troubles.add(error.code, error.detail);
  }
  return [];
}

function readUnpacked(file: string, bytes: Uint8Array, troubles: TroubleList): readonly TextTable[] {
  const content = recogniseContent(bytes);
  switch (content.kind) {
    case "text":
      return readText(file, bytes, troubles);
    case "zip":
      return readWorkbook(file, bytes, troubles);
    case "compound": {
      const kind = kindOfCompoundFile(bytes);
      if (kind === null) troubles.add("not_a_sheet", "compound file");
      else troubles.add(kind, "");
      return [];
    }
    case "other":
      troubles.add("not_a_sheet", content.name);
      return [];
  }
}

function isGzip(bytes: Uint8Array): boolean {
  return bytes.length > 2 && bytes[0] === 0x1f && bytes[1] === 0x8b && bytes[2] === 8;
}
