import { sha256 } from "./sha256.ts";

const BLOCK = 64;
const INNER = 0x36;
const OUTER = 0x5c;

/**
 * HMAC of a text under a secret text, both as UTF-8, with SHA-256 (RFC 2104; FIPS 198-1): 64 lower-case hexadecimal
 * digits. Who lacks the secret can neither tell the text from it nor make it from the text.
 */
export function hmacSha256(secret: string, text: string): string {
  const encode = (of: string): Uint8Array => new TextEncoder().encode(of);
  const given = encode(secret);
  const key = new Uint8Array(BLOCK);
  key.set(given.length > BLOCK ? bytesOf(sha256(given)) : given);
  const padded = (pad: number): Uint8Array => key.map((byte) => byte ^ pad);
  const inner = sha256(joined(padded(INNER), encode(text)));
  return sha256(joined(padded(OUTER), bytesOf(inner)));
}

function joined(a: Uint8Array, b: Uint8Array): Uint8Array {
  const both = new Uint8Array(a.length + b.length);
  both.set(a);
  both.set(b, a.length);
  return both;
}

function bytesOf(hexadecimal: string): Uint8Array {
  return Uint8Array.from({ length: hexadecimal.length / 2 }, (_, i) =>
    Number.parseInt(hexadecimal.slice(2 * i, 2 * i + 2), 16),
  );
}
