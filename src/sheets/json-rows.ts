import { afterSpace, brokenAt, cellText, endOfValue, forEachElement, forEachMember } from "./json-scanner.ts";
import { SheetFailure } from "./sheet-failure.ts";
import { sheetLimits } from "./sheet-limits.ts";

/** The array at `start` as a row of cells. */
export function arrayCells(text: string, start: number): string[] {
  const cells: string[] = [];
  forEachElement(text, start, (from, to) => {
    if (cells.length >= sheetLimits.columns)
      throw new SheetFailure("row_too_wide", String(sheetLimits.columns));
    cells.push(cellText(text, from, to));
  });
  return cells;
}

/** Where the values stand that are a table's rows. */
export type JsonRowsPlace =
  /** The elements of the array at this place. */
  | { readonly kind: "array"; readonly start: number }
  /** Values one after another from this place to the end of the text. */
  | { readonly kind: "sequence"; readonly start: number };

/** Where the values that are a table's rows start and end, one by one. */
export function* rowPlaces(
  text: string,
  place: JsonRowsPlace,
): Generator<{ readonly start: number; readonly end: number }, void, undefined> {
  const inArray = place.kind === "array";
  let at = afterSpace(text, inArray ? place.start + 1 : place.start);
  if (inArray && text[at] === "]") return;
  while (at < text.length) {
    const end = endOfValue(text, at);
    yield { start: at, end };
    at = afterSpace(text, end);
    if (!inArray) continue;
    if (text[at] === "]") return;
    if (text[at] !== ",") throw brokenAt(at);
    at = afterSpace(text, at + 1);
  }
  if (inArray) throw brokenAt(at);
}

/** A table found inside a document; `key` is the path of keys that leads to it, null at the top. */
export interface FoundJsonTable {
  readonly key: string | null;
  readonly place: JsonRowsPlace;
  /** Keys beside the array, whose values are in no table. */
  readonly otherKeys: readonly string[];
}

const deepestSearch = 4;

/**
 * Finds the tables of a JSON document: the array at the top, the arrays that an object holds (one table
 * each), or, if there is none or further objects follow, the object itself and those that follow it as rows.
 */
export function findJsonTables(text: string): readonly FoundJsonTable[] {
  const start = afterSpace(text, 0);
  if (text[start] === "[") {
    const end = afterSpace(text, endOfValue(text, start));
    if (end < text.length) throw brokenAt(end);
    return holdsRows(text, start) ? [{ key: null, place: { kind: "array", start }, otherKeys: [] }] : [];
  }
  const held = arraysHeld(text, start, "", 1);
  const end = afterSpace(text, endOfValue(text, start));
  if (held.arrays.length === 0 || text[end] === "{") {
    return [{ key: null, place: { kind: "sequence", start }, otherKeys: [] }];
  }
  if (end < text.length) throw brokenAt(end);
  return held.arrays.map(({ key, start: arrayStart }) => ({
    key,
    place: { kind: "array", start: arrayStart },
    otherKeys: held.otherKeys,
  }));
}

/** True for an array whose first element is a row: an object, or an array. */
function holdsRows(text: string, start: number): boolean {
  const first = text[afterSpace(text, start + 1)];
  return first === "{" || first === "[";
}

function arraysHeld(
  text: string,
  start: number,
  path: string,
  depth: number,
): { arrays: { key: string; start: number }[]; otherKeys: string[] } {
  const arrays: { key: string; start: number }[] = [];
  const otherKeys: string[] = [];
  forEachMember(text, start, (key, from) => {
    const name = path === "" ? key : `${path}.${key}`;
    if (text[from] === "[" && holdsRows(text, from)) {
      arrays.push({ key: name, start: from });
      return;
    }
    if (text[from] === "{" && depth < deepestSearch) {
      const inner = arraysHeld(text, from, name, depth + 1);
      if (inner.arrays.length > 0) {
        arrays.push(...inner.arrays);
        otherKeys.push(...inner.otherKeys);
        return;
      }
    }
    otherKeys.push(name);
  });
  return { arrays, otherKeys };
}
