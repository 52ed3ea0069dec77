import { code } from "../records/codes.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";

/**
 * Reads an animal's tag, letter for letter; only spaces around it are dropped. A number that a spreadsheet
 * turned into powers of ten is refused (`digits_lost`), and so is a 15-digit electronic number that no
 * transponder can hold (`not_an_electronic_number`).
 */
export function readTag(text: string): CellRead<string> {
  const tag = text.trim();
  if (/^\d(?:[.,]\d+)?e\+?\d{1,2}$/i.test(tag) && /[.,]|\+/.test(tag)) return refused(code("digits_lost"));
  if (/^\d{15}$/.test(tag) && !isElectronicNumber(tag)) return refused(code("not_an_electronic_number"));
  return taken(tag);
}

/** Reads several tags in one cell, kept with `; ` between them. */
export function readTags(text: string): CellRead<string> {
  const tags: string[] = [];
  for (const part of text.split(/[;,|\n]|\s\/\s/)) {
    if (part.trim() === "") continue;
    const tag = readTag(part);
    if ("trouble" in tag) return tag;
    tags.push(tag.value);
  }
  return taken(tags.join("; "));
}

/**
 * Whether 15 digits can be the number of an animal transponder: a country of ISO 3166 (001-899) or a
 * manufacturer's or shared code (900-998; 999 is for tests), then a national number of 38 bits, so at most
 * 274 877 906 943 (ISO 11784).
 */
function isElectronicNumber(digits: string): boolean {
  return Number(digits.slice(0, 3)) >= 1 && Number(digits.slice(3)) <= 2 ** 38 - 1;
}
