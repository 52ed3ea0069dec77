import type { ClawId, FootId } from "../records/feet.ts";
import type { Column } from "../records/kind.ts";
import type { KindId } from "../records/kinds.ts";
import { foldHeader } from "./fold.ts";
import { footInWords } from "./foot-in-words.ts";
import { plainUnit, unitFor } from "./header-unit.ts";
import { type HeaderMatch, matchHeader } from "./header-words.ts";

/** A header that holds a foot, a claw or both beside what was measured there. */
export interface WideMatch {
  readonly foot: FootId | null;
  readonly claw: ClawId | null;
  /** What was measured; null when the header names the place alone and the cells must tell. */
  readonly match: HeaderMatch | null;
  /** A unit beside a place without a measure, as written. */
  readonly unitText: string | null;
}

/**
 * Reads a header such as `LF inner before (in)`, `RH out toe`, `left front` as a place and a column of the
 * kind, in any order. `in` is the inner claw when the sheet also has an outer one (`inIsClaw`), else inches.
 */
export function matchWideHeader(kind: KindId, header: string, inIsClaw: boolean): WideMatch | null {
  const bracket = /[([{]([^)\]}]*)[)\]}]?/.exec(header);
  const inside = bracket === null ? null : plainUnit(bracket[1]!);
  const insideIsClaw = inside !== null && (inIsClaw || inside !== "in") && namesClaw(inside);
  const text = bracket === null || insideIsClaw ? header : header.replace(bracket[0], " ");
  const folded = foldHeader(text.replace(/["″]\s*$/, " in"));
  const place = footInWords(inIsClaw ? folded : spareInches(folded));
  const feet = place.feet;
  if (feet.length > 1 || (feet.length === 0 && place.claw === null)) return null;
  const words = place.rest
    .map((word) => aliases.get(word) ?? word)
    .map((word) => (word === INCHES ? "in" : word));
  const foot = feet[0] ?? null;
  const unitText = insideIsClaw ? null : inside;
  if (words.length === 0) return { foot, claw: place.claw, match: null, unitText };
  const measure = words.join(" ") + (unitText === null ? "" : ` (${unitText})`);
  const match = matchHeader(kind, measure, perPlace);
  if (match !== null) return { foot, claw: place.claw, match, unitText };
  // a place and a unit, nothing else: `LF inner mm`
  return words.length === 1 && lengthUnits.has(words[0]!)
    ? { foot, claw: place.claw, match: null, unitText: words[0]! }
    : null;
}

/** Whether a header names an outer claw, so that `in` elsewhere in the sheet is its neighbour. */
export function namesOuterClaw(header: string): boolean {
  return footInWords(foldHeader(header)).claw === "outer";
}

/** Whether a text is a unit that a bare place may carry. */
export function unitOfPlace(column: Column, unitText: string | null): string | null {
  return unitText === null ? null : unitFor(column, unitText);
}

const INCHES = "inches";

/** Keeps a lone `in` from being read as the inner claw. */
function spareInches(folded: string): string {
  return folded.replace(/\bin\b/g, INCHES);
}

function namesClaw(text: string): boolean {
  return footInWords(foldHeader(text)).claw !== null;
}

const lengthUnits = new Set(["mm", "cm", "in", "inch", "inches"]);

/** Columns that hold something of one foot or claw; the others stand once a row. */
function perPlace(column: Column): boolean {
  return !shared.has(column.name) && column.type !== "tag" && column.type !== "day";
}

const shared = new Set([
  "foot",
  "claw",
  "pen",
  "flock",
  "trimmer",
  "measurer",
  "scorer",
  "examiner",
  "gait_scale",
  "repeat",
]);

const aliases = new Map([
  ["b", "before"],
  ["bef", "before"],
  ["pre", "before"],
  ["prev", "before"],
  ["previo", "antes"],
  ["ant", "antes"],
  ["a", "after"],
  ["aft", "after"],
  ["post", "after"],
  ["desp", "despues"],
  ["len", "length"],
  ["lg", "length"],
  ["over", "overhang"],
  ["ovg", "overgrowth"],
]);
