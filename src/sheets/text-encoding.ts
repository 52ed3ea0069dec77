import { windows1252CodeUnit } from "./windows-1252.ts";

export type TextEncoding = "utf-8" | "utf-16le" | "utf-16be" | "windows-1252";

/** How the bytes of a text are to be read. */
export interface FoundEncoding {
  readonly encoding: TextEncoding;
  /** Bytes of the byte order mark in front of the text. */
  readonly markLength: number;
  /** True for UTF-8 in which some bytes are none; those are read as Windows-1252. */
  readonly mixed: boolean;
}

const sampledBytes = 64 * 1024;
const chunkBytes = 64 * 1024;

/**
 * Finds the encoding by evidence: a byte order mark, else the pattern of zero bytes that UTF-16 leaves in
 * western text, else whether the bytes are UTF-8. What is neither is Windows-1252, in which every byte means
 * something. Returns null for UTF-32, which no spreadsheet writes.
 */
export function findEncoding(bytes: Uint8Array): FoundEncoding | null {
  if (startsWith(bytes, [0xef, 0xbb, 0xbf])) {
    return { encoding: "utf-8", markLength: 3, mixed: utf8Evidence(bytes).strayBytes > 0 };
  }
  if (startsWith(bytes, [0xff, 0xfe, 0, 0]) || startsWith(bytes, [0, 0, 0xfe, 0xff])) return null;
  if (startsWith(bytes, [0xff, 0xfe])) return { encoding: "utf-16le", markLength: 2, mixed: false };
  if (startsWith(bytes, [0xfe, 0xff])) return { encoding: "utf-16be", markLength: 2, mixed: false };
  const utf16 = unmarkedUtf16(bytes);
  if (utf16 !== null) return { encoding: utf16, markLength: 0, mixed: false };
  const { characters, strayBytes } = utf8Evidence(bytes);
  if (strayBytes === 0) return { encoding: "utf-8", markLength: 0, mixed: false };
  // Text in Windows-1252 hardly ever forms a well-formed UTF-8 sequence by chance.
  if (characters >= strayBytes) return { encoding: "utf-8", markLength: 0, mixed: true };
  return { encoding: "windows-1252", markLength: 0, mixed: false };
}

/** Where decoding met what is no text; positions count characters of the decoded text. */
export interface DecodingFinds {
  nulCharacters: number;
  firstNul: number;
  strayBytes: number;
  firstStray: number;
}

export function noDecodingFinds(): DecodingFinds {
  return { nulCharacters: 0, firstNul: -1, strayBytes: 0, firstStray: -1 };
}

/** The text in pieces of some ten thousand characters, NUL characters taken out; finds are added up. */
export function* decodedChunks(
  bytes: Uint8Array,
  found: FoundEncoding,
  finds: DecodingFinds,
): Generator<string, void, undefined> {
  const decode = decoders[found.encoding];
  let decodedCharacters = 0;
  let at = found.markLength;
  while (at < bytes.length) {
    const end = chunkEnd(bytes, at, found.encoding);
    const strayBefore = finds.strayBytes;
    let text = decode(bytes.subarray(at, end), finds);
    if (strayBefore === 0 && finds.strayBytes > 0) finds.firstStray += decodedCharacters;
    if (text.includes("\0")) {
      if (finds.nulCharacters === 0) finds.firstNul = decodedCharacters + text.indexOf("\0");
      const kept = text.replaceAll("\0", "");
      finds.nulCharacters += text.length - kept.length;
      text = kept;
    }
    decodedCharacters += text.length;
    if (text !== "") yield text;
    at = end;
  }
}

const decoders: Record<TextEncoding, (bytes: Uint8Array, finds: DecodingFinds) => string> = {
  "utf-8": decodeUtf8,
  "utf-16le": (bytes) => decodeUtf16(bytes, 0, 1),
  "utf-16be": (bytes) => decodeUtf16(bytes, 1, 0),
  "windows-1252": decodeWindows1252,
};

function startsWith(bytes: Uint8Array, prefix: readonly number[]): boolean {
  return bytes.length >= prefix.length && prefix.every((byte, index) => bytes[index] === byte);
}

/** Ends a chunk where no character is cut in two. */
function chunkEnd(bytes: Uint8Array, start: number, encoding: TextEncoding): number {
  const end = Math.min(start + chunkBytes, bytes.length);
  if (end === bytes.length || encoding !== "utf-8") return end;
  let cut = end;
  while (cut > end - 4 && (bytes[cut] & 0xc0) === 0x80) cut--;
  return (bytes[cut] & 0xc0) === 0x80 ? end : cut;
}

function unmarkedUtf16(bytes: Uint8Array): "utf-16le" | "utf-16be" | null {
  const pairs = Math.floor(Math.min(bytes.length, sampledBytes) / 2);
  if (pairs < 2) return null;
  let highFirst = 0;
  let highSecond = 0;
  for (let pair = 0; pair < pairs; pair++) {
    const first = bytes[2 * pair];
    const second = bytes[2 * pair + 1];
    if (first === 0 && second !== 0) highFirst++;
    if (second === 0 && first !== 0) highSecond++;
  }
  // Digits, delimiters and line ends alone make a fifth of any sheet; the other half is then nearly never zero.
  const enough = pairs / 5;
  const hardlyAny = pairs / 50;
  if (highSecond >= enough && highFirst <= hardlyAny) return "utf-16le";
  if (highFirst >= enough && highSecond <= hardlyAny) return "utf-16be";
  return null;
}

/** Characters beyond ASCII that are well-formed UTF-8, and bytes that belong to none. */
function utf8Evidence(bytes: Uint8Array): { characters: number; strayBytes: number } {
  const strict = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  let characters = 0;
  let strayBytes = 0;
  let at = 0;
  while (at < bytes.length) {
    const end = chunkEnd(bytes, at, "utf-8");
    const chunk = bytes.subarray(at, end);
    at = end;
    if (isAscii(chunk)) continue;
    try {
      characters += chunk.length - strict.decode(chunk).length;
    } catch {
      const finds = noDecodingFinds();
      const text = decodeLeniently(chunk, finds);
      strayBytes += finds.strayBytes;
      characters += chunk.length - text.length;
    }
  }
  return { characters, strayBytes };
}

function decodeUtf8(bytes: Uint8Array, finds: DecodingFinds): string {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return decodeLeniently(bytes, finds);
  }
}

/** UTF-8 where it is, Windows-1252 for each byte that is part of no well-formed sequence. */
function decodeLeniently(bytes: Uint8Array, finds: DecodingFinds): string {
  const units = new Uint16Array(bytes.length);
  let count = 0;
  let at = 0;
  while (at < bytes.length) {
    const length = sequenceLength(bytes, at);
    if (length === 0) {
      if (finds.strayBytes === 0) finds.firstStray = count;
      finds.strayBytes++;
      units[count++] = windows1252CodeUnit(bytes[at]);
      at++;
      continue;
    }
    let point = length === 1 ? bytes[at] : bytes[at] & (0xff >> (length + 1));
    for (let next = 1; next < length; next++) point = (point << 6) | (bytes[at + next] & 0x3f);
    if (point > 0xffff) {
      units[count++] = 0xd7c0 + (point >> 10);
      units[count++] = 0xdc00 + (point & 0x3ff);
    } else {
      units[count++] = point;
    }
    at += length;
  }
  return textOfUnits(units.subarray(0, count));
}

/** Bytes of the well-formed sequence at this place, 0 if there is none (RFC 3629, section 4). */
function sequenceLength(bytes: Uint8Array, at: number): number {
  const lead = bytes[at];
  if (lead < 0x80) return 1;
  const length =
    lead >= 0xc2 && lead <= 0xdf
      ? 2
      : lead >= 0xe0 && lead <= 0xef
        ? 3
        : lead >= 0xf0 && lead <= 0xf4
          ? 4
          : 0;
  if (length === 0 || at + length > bytes.length) return 0;
  for (let next = 1; next < length; next++) if ((bytes[at + next] & 0xc0) !== 0x80) return 0;
  const second = bytes[at + 1];
  const overlong = (lead === 0xe0 && second < 0xa0) || (lead === 0xf0 && second < 0x90);
  const surrogate = lead === 0xed && second > 0x9f;
  const beyondUnicode = lead === 0xf4 && second > 0x8f;
  return overlong || surrogate || beyondUnicode ? 0 : length;
}

function decodeWindows1252(bytes: Uint8Array): string {
  if (isAscii(bytes)) return new TextDecoder().decode(bytes);
  const units = new Uint16Array(bytes.length);
  for (let at = 0; at < bytes.length; at++) {
    const byte = bytes[at];
    units[at] = byte < 0x80 ? byte : windows1252CodeUnit(byte);
  }
  return textOfUnits(units);
}

function isAscii(bytes: Uint8Array): boolean {
  let seen = 0;
  for (let at = 0; at < bytes.length; at++) seen |= bytes[at];
  return seen < 0x80;
}

function decodeUtf16(bytes: Uint8Array, low: 0 | 1, high: 0 | 1): string {
  const units = new Uint16Array(bytes.length >> 1);
  for (let unit = 0; unit < units.length; unit++) {
    units[unit] = bytes[2 * unit + low] | (bytes[2 * unit + high] << 8);
  }
  return textOfUnits(units);
}

function textOfUnits(units: Uint16Array): string {
  const argumentsAtOnce = 8192;
  let text = "";
  for (let at = 0; at < units.length; at += argumentsAtOnce) {
    // Spreading would walk the units one by one.
    text += Reflect.apply(String.fromCharCode, null, units.subarray(at, at + argumentsAtOnce));
  }
  return text;
}
