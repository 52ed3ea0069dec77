/** What a file's first bytes say it is. */
export type ContentKind =
  | { readonly kind: "zip" }
  | { readonly kind: "compound" }
  | { readonly kind: "text" }
  | { readonly kind: "other"; readonly name: string };

const sampledBytes = 64 * 1024;

/** Signatures at the start (or at an offset) of formats that are sometimes given a sheet's name. */
const signatures: readonly (readonly [name: string, offset: number, signature: string])[] = [
  ["pdf", 0, "%PDF-"],
  ["png", 0, "\x89PNG\r\n\x1a\n"],
  ["jpeg", 0, "\xff\xd8\xff"],
  ["gif", 0, "GIF87a"],
  ["gif", 0, "GIF89a"],
  ["tiff", 0, "II*\0"],
  ["tiff", 0, "MM\0*"],
  ["heic", 4, "ftyp"],
  ["riff", 0, "RIFF"],
  ["7z", 0, "7z\xbc\xaf\x27\x1c"],
  ["rar", 0, "Rar!\x1a\x07"],
  ["xz", 0, "\xfd7zXZ\0"],
  ["zstd", 0, "\x28\xb5\x2f\xfd"],
  ["bzip2", 0, "BZh91AY&SY"],
  ["parquet", 0, "PAR1"],
  ["arrow", 0, "ARROW1\0\0"],
  ["sqlite", 0, "SQLite format 3\0"],
  ["duckdb", 8, "DUCK"],
  ["rtf", 0, "{\\rtf"],
];

/** Recognises the kind of content by signatures; whatever has none counts as text if it looks like text. */
export function recogniseContent(bytes: Uint8Array): ContentKind {
  if (hasSignature(bytes, 0, "PK\x03\x04") || hasSignature(bytes, 0, "PK\x05\x06")) return { kind: "zip" };
  if (hasSignature(bytes, 0, "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")) return { kind: "compound" };
  for (const [name, offset, signature] of signatures) {
    if (hasSignature(bytes, offset, signature)) return { kind: "other", name };
  }
  return { kind: "text" };
}

/**
 * Names what a decoded text is, if not a sheet: markup, or binary data that has no signature. Binary data is
 * told by control characters, which make a tenth of random bytes and next to nothing of any text.
 */
export function textThatIsNoSheet(start: string, nulCharacters: number, byteCount: number): string | null {
  const sample = start.slice(0, sampledBytes);
  const opening = sample.slice(0, 2000).trimStart().toLowerCase();
  if (/^<(!doctype html|html|head|body|table|meta|style|div)\b/.test(opening)) return "web page";
  if (/^<(\?xml|!doctype|!--|svg|[a-z:]+ xmlns)/.test(opening)) return "xml";
  let controls = 0;
  for (let at = 0; at < sample.length; at++) {
    const unit = sample.charCodeAt(at);
    if (unit < 32 && unit !== 9 && unit !== 10 && unit !== 13 && unit !== 12) controls++;
  }
  if (controls * 100 > sample.length || nulCharacters * 3 > byteCount) return "binary";
  return null;
}

function hasSignature(bytes: Uint8Array, offset: number, signature: string): boolean {
  if (bytes.length < offset + signature.length) return false;
  for (let at = 0; at < signature.length; at++) {
    if (bytes[offset + at] !== signature.charCodeAt(at)) return false;
  }
  return true;
}
