import { flock } from "../records/columns.ts";
import type { Column } from "../records/kind.ts";
import { type KindId, kindIds, kinds } from "../records/kinds.ts";
import { foldHeader } from "./fold.ts";
import { fitsDryMatter, hasUnit, keptUnit, namesSomeUnit, splitHeaderUnit, unitFor } from "./header-unit.ts";
import type { Sureness } from "./reading.ts";

/** A header read as one column of a kind. */
export interface HeaderMatch {
  readonly column: Column;
  readonly sureness: Sureness;
  /** The unit that the header names, as the unit table spells it. */
  readonly unit: string | null;
  /** A unit that the header names and the column cannot have. */
  readonly unknownUnit: string | null;
  /** An everyday word ('number', 'goat') that yields to a plainer header in the same sheet. */
  readonly weak: boolean;
}

/** Reads a header as a column of one kind: by the column's own name or a word of the lists, unit apart. */
export function matchHeader(kind: KindId, header: string): HeaderMatch | null {
  for (const { head, tail, inBrackets } of splitHeaderUnit(header)) {
    const entry = lookUp(kind, head);
    if (entry === null) continue;
    const { column, ownName, weak } = entry;
    const unit = tail === null ? null : unitFor(column, tail);
    if (tail !== null && unit === null && !inBrackets) continue;
    if (tail !== null && !fitsDryMatter(column, tail)) continue;
    return {
      column,
      sureness: ownName ? "name" : "word",
      unit: unit ?? (ownName && tail === null ? keptUnit(column) : null),
      unknownUnit: tail !== null && unit === null && namesSomeUnit(tail) && hasUnit(column) ? tail : null,
      weak,
    };
  }
  return null;
}

/** The column of a kind that folded words name, in any order; null when they name none. */
export function lookUp(
  kind: KindId,
  folded: string,
): { readonly column: Column; readonly ownName: boolean; readonly weak: boolean } | null {
  const { names, words, bags } = dictionaries[kind];
  const own = names.get(folded);
  if (own !== undefined) return { column: own, ownName: true, weak: false };
  const column = words.get(folded) ?? bags.get(bagOf(folded));
  return column === undefined ? null : { column, ownName: false, weak: weakWords.has(folded) };
}

interface Dictionary {
  readonly names: ReadonlyMap<string, Column>;
  readonly words: ReadonlyMap<string, Column>;
  readonly bags: ReadonlyMap<string, Column>;
}

const weakWords = new Set([
  "id",
  "number",
  "goat",
  "doe",
  "numero",
  "cabra",
  "no",
  "side",
  "lado",
  "length",
  "largo",
]);

const fillers = new Set(["of", "the", "de", "del", "la", "el", "los", "las"]);

const dictionaries = Object.fromEntries(kindIds.map((id) => [id, dictionaryOf(id)])) as Readonly<
  Record<KindId, Dictionary>
>;

function dictionaryOf(kind: KindId): Dictionary {
  const columns: readonly Column[] = [...kinds[kind].columns, flock];
  const names = new Map<string, Column>();
  const words = new Map<string, Column>();
  const bags = new Map<string, Column>();
  for (const column of columns) names.set(foldHeader(column.name), column);
  for (const column of columns) {
    for (const word of [...column.headers.en, ...column.headers.es]) {
      const folded = foldHeader(word);
      if (!words.has(folded)) words.set(folded, column);
    }
  }
  for (const [folded, column] of [...names, ...words]) {
    const bag = bagOf(folded);
    if (!bags.has(bag)) bags.set(bag, column);
  }
  return { names, words, bags };
}

/** Words in alphabetical order, so that 'date of trim' and 'trim date' are one. */
function bagOf(folded: string): string {
  return folded
    .split(" ")
    .filter((word) => !fillers.has(word))
    .sort()
    .join(" ");
}
