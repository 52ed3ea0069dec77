import { textThatIsNoSheet } from "./content-kind.ts";
import { findDelimiter } from "./delimiter.ts";
import { readDelimited } from "./read-delimited.ts";
import { jsonKind, readJson } from "./read-json.ts";
import { readNdjson } from "./read-ndjson.ts";
import { decodedChunks, findEncoding, noDecodingFinds } from "./text-encoding.ts";
import type { TextTable } from "./text-table.ts";
import type { TroubleList } from "./trouble-list.ts";

const sampledCharacters = 128 * 1024;

/** Reads a file of text: JSON, NDJSON, or delimited. */
export function readText(file: string, allBytes: Uint8Array, troubles: TroubleList): readonly TextTable[] {
  const bytes = withoutPadding(allBytes);
  const encoding = findEncoding(bytes);
  if (encoding === null) {
    troubles.add("unreadable_file", "utf-32");
    return [];
  }
  const finds = noDecodingFinds();
  let start = "";
  for (const chunk of decodedChunks(bytes, encoding, finds)) {
    start += chunk;
    if (start.length >= sampledCharacters) break;
  }
  const otherKind = textThatIsNoSheet(start, finds.nulCharacters, start.length + finds.nulCharacters);
  if (otherKind !== null) {
    troubles.add("not_a_sheet", otherKind);
    return [];
  }
  const kind = jsonKind(start, start.length < sampledCharacters);
  if (kind === "json") return readJson(file, bytes, encoding, troubles);
  if (kind === "ndjson") return orEmpty(readNdjson(file, bytes, encoding, troubles), troubles);
  const delimiter = findDelimiter(start.slice(0, sampledCharacters));
  return orEmpty(readDelimited(file, bytes, encoding, delimiter, troubles), troubles);
}

function orEmpty(table: TextTable | null, troubles: TroubleList): readonly TextTable[] {
  if (table === null) troubles.add("empty_file", "");
  return table === null ? [] : [table];
}

/** Leaves off the zero bytes that fill up a file after a crash, and the end mark of old DOS programs. */
function withoutPadding(bytes: Uint8Array): Uint8Array {
  let end = bytes.length;
  while (end > 0 && bytes[end - 1] === 0) end--;
  // The last character of UTF-16 text, little end first, ends in a zero byte of its own.
  if (end < bytes.length && end % 2 === 1) end++;
  if (end > 0 && bytes[end - 1] === 0x1a) end--;
  return bytes.subarray(0, end);
}
