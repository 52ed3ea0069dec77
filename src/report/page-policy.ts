import { sha256 } from "../records/sha256.ts";

/**
 * The content security policy of a page (CSP Level 3): nothing may load, run or be sent; only the styles
 * named here by their SHA-256 apply, so that markup that slipped into a page could not even look different.
 */
export function pagePolicy(styles: readonly string[]): string {
  const sources = styles.map((style) => `'sha256-${styleHash(style)}'`);
  return `default-src 'none'; style-src ${sources.join(" ")}; base-uri 'none'; form-action 'none'`;
}

/** SHA-256 of a style's text in base64 (RFC 4648, section 4). */
function styleHash(style: string): string {
  const hex = sha256(new TextEncoder().encode(style));
  let bits = "";
  for (const digit of hex) bits += Number.parseInt(digit, 16).toString(2).padStart(4, "0");
  const sextets = bits.match(/.{1,6}/g) ?? [];
  const text = sextets.map((sextet) => ALPHABET[Number.parseInt(sextet.padEnd(6, "0"), 2)]).join("");
  return text.padEnd(Math.ceil(text.length / 4) * 4, "=");
}

const ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
