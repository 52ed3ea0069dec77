import type { Column } from "../records/kind.ts";
import { type QuantityId, quantities, type Unit } from "../records/units.ts";
import { fold, foldHeader } from "./fold.ts";
import { ageUnitOf } from "./read-age.ts";
import { remembering } from "./remembering.ts";

/** One way to part a header into the words that name it and a unit. */
export interface SplitHeader {
  /** Folded words that name the column. */
  readonly head: string;
  /** What may be a unit, as written in lower case; null when the whole header is the name. */
  readonly tail: string | null;
  readonly inBrackets: boolean;
}

/** The ways in which a header may be parted, the whole header first: `toe before (in)`, `rain mm`, `% CP`. */
export const splitHeaderUnit = remembering(split);

function split(header: string): readonly SplitHeader[] {
  const splits: SplitHeader[] = [];
  const bracket = /[([{]([^)\]}]*)[)\]}]?/.exec(header);
  const head = bracket === null ? "" : foldHeader(header.replace(bracket[0], " "));
  const inside: SplitHeader | null =
    head === "" ? null : { head, tail: plainUnit(bracket![1]!), inBrackets: true };
  const sign = /^\s*(%|")|(%|"|″)\s*$/.exec(header);
  // signs such as `%` leave no trace in the folded header, so they are looked at before it
  if (inside !== null && fold(inside.tail!) === "" && inside.tail !== "") splits.push(inside);
  else if (sign !== null) {
    splits.push({ head: foldHeader(header), tail: (sign[1] ?? sign[2])!, inBrackets: false });
  }
  splits.push({ head: foldHeader(header), tail: null, inBrackets: false });
  const scale = /\b\d\s*(?:-|–|to|a)\s*\d\b/.exec(header);
  if (scale !== null) {
    splits.push({ head: foldHeader(header.replace(scale[0], " ")), tail: null, inBrackets: false });
  }
  if (inside !== null) splits.push(inside);
  const words = foldHeader(header).split(" ");
  for (let count = 1; count <= Math.min(LONGEST_UNIT, words.length - 1); count++) {
    splits.push({
      head: words.slice(0, -count).join(" "),
      tail: words.slice(-count).join(" "),
      inBrackets: false,
    });
    splits.push({
      head: words.slice(count).join(" "),
      tail: words.slice(0, count).join(" "),
      inBrackets: false,
    });
  }
  return splits;
}

/** The unit of the column that a text spells, as the unit table writes it; null when it is none of them. */
export function unitFor(column: Column, text: string): string | null {
  if (column.type === "age") return ageUnitOf(fold(text));
  return column.quantity === undefined ? null : unitNamed(column.quantity, text);
}

/** The spelling in the unit table of a unit of this quantity, however it is spaced; null when it has none. */
export function unitNamed(quantity: QuantityId, text: string): string | null {
  const plain = plainUnit(text);
  return unitIndex[quantity].get(plain) ?? unitIndex[quantity].get(fold(plain)) ?? null;
}

/** Whether a text spells a unit of any quantity. */
export function namesSomeUnit(text: string): boolean {
  return (Object.keys(quantities) as QuantityId[]).some((quantity) => unitNamed(quantity, text) !== null);
}

export function hasUnit(column: Column): boolean {
  return column.quantity !== undefined;
}

/** The unit in which the book keeps the column, which its own name spells. */
export function keptUnit(column: Column): string | null {
  if (column.quantity === undefined) return null;
  return quantities[column.quantity].units[0].spellings[0];
}

/** False for a unit per dry matter on a column that does not count so: it names another column. */
export function fitsDryMatter(column: Column, unit: string): boolean {
  const perDryMatter = /(^|[^a-z])(dm|ms|dry matter|materia seca)($|[^a-z])/.test(unit);
  return !perDryMatter || column.name.includes("dm") || column.name.includes("dry_matter");
}

const LONGEST_UNIT = 4;

/** A unit as it is compared: lower case, `per` as a stroke, single spaces. */
export function plainUnit(text: string): string {
  return text
    .trim()
    .toLowerCase()
    .replace(/\s*(?:\/|\bper\b|\bpor\b)\s*/g, "/")
    .replace(/\b(?:hd|goat|animal)\b/g, "head")
    .replace(/\.$/, "")
    .replace(/\s+/g, " ");
}

const unitIndex = Object.fromEntries(
  (Object.keys(quantities) as QuantityId[]).map((quantity) => {
    const index = new Map<string, string>();
    const units: readonly Unit[] = quantities[quantity].units;
    for (const { spellings } of units) {
      for (const spelling of spellings) {
        for (const form of [spelling, plainUnit(spelling), fold(spelling)]) {
          if (form !== "" && !index.has(form)) index.set(form, spellings[0]!);
        }
      }
    }
    return [quantity, index] as const;
  }),
) as unknown as Readonly<Record<QuantityId, ReadonlyMap<string, string>>>;
