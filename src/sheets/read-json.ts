import {
  type JsonColumns,
  jsonHeaders,
  lookThroughObject,
  noJsonColumns,
  objectRows,
} from "./json-objects.ts";
import {
  arrayCells,
  type FoundJsonTable,
  findJsonTables,
  type JsonRowsPlace,
  rowPlaces,
} from "./json-rows.ts";
import { afterSpace, endOfValue } from "./json-scanner.ts";
import { notesOfTable } from "./note-list.ts";
import { inBatches, type NumberedRow } from "./row-batches.ts";
import { SheetFailure } from "./sheet-failure.ts";
import { sheetLimits } from "./sheet-limits.ts";
import { decodedChunks, type FoundEncoding, noDecodingFinds } from "./text-encoding.ts";
import type { TextTable } from "./text-table.ts";
import type { TroubleList } from "./trouble-list.ts";

/** Tells from its first characters whether a text is a JSON document, lines of JSON, or neither. */
export function jsonKind(start: string, complete: boolean): "json" | "ndjson" | null {
  const first = afterSpace(start, 0);
  const second = start[afterSpace(start, first + 1)] ?? "";
  const opensObject = start[first] === "{" && (second === '"' || second === "}");
  const opensArray = start[first] === "[" && /[[{\]"\d-]/.test(second);
  if (!opensObject && !opensArray) return null;
  try {
    const end = endOfValue(start, first);
    if (start.slice(first, end).includes("\n")) return "json";
    const next = afterSpace(start, end);
    const another = next < start.length ? start[next] === start[first] : !complete;
    if (another) return /[\r\n]/.test(start.slice(end, next)) ? "ndjson" : "json";
    return "json";
  } catch (error) {
    if (error instanceof SheetFailure) return "json";
    throw error;
  }
}

/** Reads a JSON document; one that does not hold together to its end is not read at all. */
export function readJson(
  file: string,
  bytes: Uint8Array,
  encoding: FoundEncoding,
  troubles: TroubleList,
): readonly TextTable[] {
  if (bytes.length > sheetLimits.jsonBytes) {
    troubles.add("file_too_large", String(sheetLimits.jsonBytes));
    return [];
  }
  const text = [...decodedChunks(bytes, encoding, noDecodingFinds())].join("");
  let found: readonly FoundJsonTable[];
  try {
    found = findJsonTables(text);
  } catch (error) {
    if (!(error instanceof SheetFailure)) throw error;
    troubles.add(error.code, error.detail);
    return [];
  }
  if (found.length === 0) {
    const bare = text.replace(/\s/g, "");
    if (bare === "[]") troubles.add("empty_file", "");
    else troubles.add("not_a_sheet", "json");
  }
  const tables: TextTable[] = [];
  for (const one of found) {
    const table = readJsonTable(file, text, encoding, one, troubles);
    if (table !== null) tables.push(table);
  }
  return tables;
}

function readJsonTable(
  file: string,
  text: string,
  encoding: FoundEncoding,
  found: FoundJsonTable,
  troubles: TroubleList,
): TextTable | null {
  const worksheet = found.key === null ? {} : { worksheet: found.key };
  const notes = notesOfTable();
  for (const key of found.otherKeys) notes.add("other_members", { detail: key, key });
  const columns = noJsonColumns();
  let ofObjects = true;
  let row = 1;
  try {
    for (const { start, end } of rowPlaces(text, found.place)) {
      if (row === 1) ofObjects = text[start] === "{";
      row++;
      const opening = text[start];
      if (end - start > sheetLimits.rowCharacters) {
        const lost = { ...worksheet, row: ofObjects ? row : row - 1 };
        troubles.add("row_too_long", String(sheetLimits.rowCharacters), lost);
      } else if (opening === (ofObjects ? "{" : "[")) {
        if (ofObjects)
          row += lookThroughObject(text, start, columns, { ...worksheet, row }, notes, troubles) - 1;
        else arrayCells(text, start);
      } else if (!text.startsWith("null", start)) {
        troubles.add("broken_json", "row", { ...worksheet, row: ofObjects ? row : row - 1 });
      }
    }
  } catch (error) {
    if (!(error instanceof SheetFailure)) throw error;
    troubles.add(error.code, error.detail, { ...worksheet, row });
    return null;
  }
  if (ofObjects && columns.columns.length === 0) {
    troubles.add("empty_file", "", worksheet);
    return null;
  }
  return {
    file,
    worksheet: found.key,
    hidden: false,
    format: "json",
    encoding: encoding.encoding,
    notes: notes.listed(),
    mergedRanges: [],
    batches: () => inBatches(rowsOf(text, found.place, ofObjects ? columns : null)),
  };
}

/** The rows of a table: objects by their columns under a header, or arrays as they are where there are none. */
function* rowsOf(
  text: string,
  place: JsonRowsPlace,
  columns: JsonColumns | null,
): Generator<NumberedRow, void, undefined> {
  let rowNumber = 0;
  if (columns !== null) yield { rowNumber: ++rowNumber, cells: jsonHeaders(columns) };
  for (const { start, end } of rowPlaces(text, place)) {
    if (columns !== null && text[start] === "{" && end - start <= sheetLimits.rowCharacters) {
      for (const cells of objectRows(text, start, columns)) yield { rowNumber: ++rowNumber, cells };
      continue;
    }
    rowNumber++;
    if (end - start > sheetLimits.rowCharacters) continue;
    if (columns === null && text[start] === "[") yield { rowNumber, cells: arrayCells(text, start) };
  }
}
