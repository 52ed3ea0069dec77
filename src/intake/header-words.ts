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
  /** Another column that the same word may mean, for the cells to tell. */
  readonly other: Column | null;
}

/**
 * Reads a header as a column of one kind: by the column's own name or a word of the lists, unit apart.
 * `among` narrows the columns that may be meant.
 */
export function matchHeader(
  kind: KindId,
  header: string,
  among: (column: Column) => boolean = anyColumn,
): HeaderMatch | null {
  for (const { head, tail, inBrackets } of splitHeaderUnit(header)) {
    const entries = lookUp(kind, head).filter(({ column }) => among(column));
    // where a word means two columns, the one that can have the unit is meant
    const entry = entries.find(({ column }) => tail !== null && unitFor(column, tail) !== null) ?? entries[0];
    if (entry === undefined) continue;
    const { column, ownName, weak } = entry;
    const unit = tail === null ? null : unitFor(column, tail);
    if (tail !== null && unit === null && !inBrackets) continue;
    if (tail !== null && !fitsDryMatter(column, tail)) continue;
    return {
      column,
      sureness: ownName ? "name" : "word",
      unit: unit ?? (tail !== null ? null : ownName ? keptUnit(column) : unitAmong(column, head)),
      unknownUnit: tail !== null && unit === null && namesSomeUnit(tail) && hasUnit(column) ? tail : null,
      weak,
      other: secondMeaning(kind, head),
    };
  }
  return null;
}

/** Words that stockmen also use for another column of the kind. */
const secondMeanings: Readonly<Partial<Record<KindId, ReadonlyMap<string, string>>>> = {
  trims: new Map([["toe", "claw"]]),
};

function secondMeaning(kind: KindId, folded: string): Column | null {
  const name = secondMeanings[kind]?.get(folded);
  return name === undefined ? null : (dictionaries[kind].names.get(name) ?? null);
}

/** The unit that is itself one of the words of a header, such as `kg fed`. */
function unitAmong(column: Column, folded: string): string | null {
  if (!hasUnit(column)) return null;
  const word = folded.split(" ").find((one) => one.length > 1 && unitFor(column, one) !== null);
  return word === undefined ? null : unitFor(column, word);
}

const anyColumn = (): boolean => true;

interface HeaderEntry {
  readonly column: Column;
  readonly ownName: boolean;
  readonly weak: boolean;
}

/** The columns of a kind that folded words name, in any order, the likeliest first. */
export function lookUp(kind: KindId, folded: string): readonly HeaderEntry[] {
  const { names, words, bags } = dictionaries[kind];
  const own = names.get(folded);
  if (own !== undefined) return [{ column: own, ownName: true, weak: false }];
  const short = folded.replace(/ (?:no|nr|num|n|id)$/, "");
  const columns = words.get(folded) ?? bags.get(bagOf(folded)) ?? words.get(short) ?? [];
  return columns.map((column) => ({ column, ownName: false, weak: weakWords.has(folded) }));
}

interface Dictionary {
  readonly names: ReadonlyMap<string, Column>;
  readonly words: ReadonlyMap<string, readonly Column[]>;
  readonly bags: ReadonlyMap<string, readonly Column[]>;
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
  "toe",
]);

const fillers = new Set(["of", "the", "de", "del", "la", "el", "los", "las"]);

const dictionaries = Object.fromEntries(kindIds.map((id) => [id, dictionaryOf(id)])) as Readonly<
  Record<KindId, Dictionary>
>;

function dictionaryOf(kind: KindId): Dictionary {
  const columns: readonly Column[] = [...kinds[kind].columns, flock];
  const names = new Map<string, Column>();
  const words = new Map<string, Column[]>();
  const bags = new Map<string, Column[]>();
  for (const column of columns) names.set(foldHeader(column.name), column);
  for (const column of columns) {
    for (const word of [...column.headers.en, ...column.headers.es]) add(words, foldHeader(word), column);
  }
  for (const [folded, column] of names) add(bags, bagOf(folded), column);
  for (const [folded, meant] of words) for (const column of meant) add(bags, bagOf(folded), column);
  return { names, words, bags };
}

function add(dictionary: Map<string, Column[]>, key: string, column: Column): void {
  const before = dictionary.get(key);
  if (before === undefined) dictionary.set(key, [column]);
  else if (!before.includes(column)) before.push(column);
}

/** Words in alphabetical order, so that 'date of trim' and 'trim date' are one. */
function bagOf(folded: string): string {
  return folded
    .split(" ")
    .filter((word) => !fillers.has(word))
    .sort()
    .join(" ");
}
