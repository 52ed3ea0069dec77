import { SheetFailure } from "./sheet-failure.ts";
import { sheetLimits } from "./sheet-limits.ts";

/**
 * Places of JSON values in a text (RFC 8259). Values are cut out as they are written rather than read into
 * numbers, so that `0.10` and an ear tag of twenty digits keep every digit. `NaN` and `Infinity`, which some
 * programs write, pass as values. All functions throw SheetFailure (`broken_json`, `json_too_deep`).
 */
export function afterSpace(text: string, from: number): number {
  let at = from;
  while (at < text.length) {
    const unit = text.charCodeAt(at);
    if (unit !== 32 && unit !== 10 && unit !== 13 && unit !== 9) break;
    at++;
  }
  return at;
}

/** Where the value that starts at `start` ends. */
export function endOfValue(text: string, start: number): number {
  const first = text[start];
  if (first === '"') return endOfString(text, start);
  if (first === "{" || first === "[") return endOfNested(text, start);
  scalar.lastIndex = start;
  const found = scalar.exec(text);
  if (found === null) throw brokenAt(start);
  return start + found[0].length;
}

/** Calls `take` with the place of each element of the array at `start`; returns where the array ends. */
export function forEachElement(
  text: string,
  start: number,
  take: (from: number, to: number) => void,
): number {
  let at = afterSpace(text, start + 1);
  if (text[at] === "]") return at + 1;
  while (true) {
    const end = endOfValue(text, at);
    take(at, end);
    at = afterSpace(text, end);
    if (text[at] === "]") return at + 1;
    if (text[at] !== ",") throw brokenAt(at);
    at = afterSpace(text, at + 1);
  }
}

/** Calls `take` with key and place of value of each member of the object at `start`; returns where it ends. */
export function forEachMember(
  text: string,
  start: number,
  take: (key: string, from: number, to: number) => void,
): number {
  let at = afterSpace(text, start + 1);
  if (text[at] === "}") return at + 1;
  while (true) {
    if (text[at] !== '"') throw brokenAt(at);
    const keyEnd = endOfString(text, at);
    const key = stringValue(text, at, keyEnd);
    const colon = afterSpace(text, keyEnd);
    if (text[colon] !== ":") throw brokenAt(colon);
    const from = afterSpace(text, colon + 1);
    const to = endOfValue(text, from);
    take(key, from, to);
    at = afterSpace(text, to);
    if (text[at] === "}") return at + 1;
    if (text[at] !== ",") throw brokenAt(at);
    at = afterSpace(text, at + 1);
  }
}

/** The value at a place as the text of a cell: strings without their quotes, null empty, all else as written. */
export function cellText(text: string, from: number, to: number): string {
  if (text[from] === '"') return stringValue(text, from, to);
  const written = text.slice(from, to);
  return written === "null" ? "" : written;
}

export function brokenAt(place: number): SheetFailure {
  return new SheetFailure("broken_json", `character ${place + 1}`);
}

const scalar = /-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?|true|false|null|NaN|-?Infinity/y;

const escapes: Record<string, string> = { b: "\b", f: "\f", n: "\n", r: "\r", t: "\t" };

function stringValue(text: string, from: number, to: number): string {
  const raw = text.slice(from + 1, to - 1);
  if (!raw.includes("\\")) return raw;
  return raw.replace(/\\(?:u([0-9a-fA-F]{4})|([\s\S]))/g, (_, unit: string | undefined, letter: string) => {
    if (unit !== undefined) return String.fromCharCode(Number.parseInt(unit, 16));
    return Object.hasOwn(escapes, letter) ? escapes[letter] : letter;
  });
}

function endOfString(text: string, start: number): number {
  let from = start + 1;
  while (true) {
    const close = text.indexOf('"', from);
    if (close === -1) throw brokenAt(start);
    let backslashes = 0;
    while (close - backslashes > from && text.charCodeAt(close - 1 - backslashes) === 92) backslashes++;
    if (backslashes % 2 === 0) return close + 1;
    from = close + 1;
  }
}

/** Walks over an array or object with a stack of its own, so that deep nesting cannot exhaust the program's. */
function endOfNested(text: string, start: number): number {
  const closers: string[] = [];
  let at = start;
  while (at < text.length) {
    const character = text[at];
    if (character === '"') {
      at = endOfString(text, at);
      continue;
    }
    if (character === "{" || character === "[") {
      closers.push(character === "{" ? "}" : "]");
      if (closers.length > sheetLimits.jsonDepth) {
        throw new SheetFailure("json_too_deep", String(sheetLimits.jsonDepth));
      }
    } else if (character === "}" || character === "]") {
      if (closers.pop() !== character) throw brokenAt(at);
      if (closers.length === 0) return at + 1;
    }
    at++;
  }
  throw brokenAt(start);
}
