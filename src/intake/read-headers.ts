import type { ClawId, FootId } from "../records/feet.ts";
import type { Column } from "../records/kind.ts";
import { type KindId, kinds } from "../records/kinds.ts";
import { foldHeader } from "./fold.ts";
import { splitHeaderUnit, unitFor } from "./header-unit.ts";
import { type HeaderMatch, matchHeader } from "./header-words.ts";
import { kindTraits } from "./kind-traits.ts";
import type { Sureness } from "./reading.ts";
import { matchWideHeader, namesOuterClaw } from "./wide-header.ts";

/** What one header means within a kind. */
export interface HeaderMeaning {
  readonly index: number;
  readonly header: string;
  /** Null: a foot or claw without a measure, which the cells must tell. */
  readonly column: Column | null;
  readonly foot: FootId | null;
  readonly claw: ClawId | null;
  readonly sureness: Sureness;
  readonly unit: string | null;
  /** A unit, as written, that the header names and the column cannot have. */
  readonly unknownUnit: string | null;
  /** A unit beside a bare place, as written. */
  readonly unitText: string | null;
  readonly weak: boolean;
  /** Another column that the same word may mean, for the cells to tell. */
  readonly other: Column | null;
}

/** A row of headers read as one kind. */
export interface HeaderReading {
  readonly kind: KindId;
  readonly meanings: readonly HeaderMeaning[];
  /** Pairs of columns that mean the same with equal right. */
  readonly twins: readonly (readonly [HeaderMeaning, HeaderMeaning])[];
  /** Needed columns that no header gives. */
  readonly missing: readonly string[];
  /** Whether the columns that tell this kind from others are there. */
  readonly tells: boolean;
}

/** Kinds whose sheets may hold a foot or claw in the header. */
const wideKinds: ReadonlySet<KindId> = new Set<KindId>(["trims", "lesions", "gaits", "treatments"]);

/** Reads a row of headers as one kind; `own` are a flock's own words for columns (`[columns]`). */
export function readHeaders(
  kind: KindId,
  headers: readonly string[],
  own: ReadonlyMap<string, string>,
): HeaderReading {
  const inIsClaw = wideKinds.has(kind) && headers.some(namesOuterClaw);
  const all = headers
    .map((header, index) => meaningOfHeader(kind, header, index, own, inIsClaw))
    .filter((meaning) => meaning !== null);
  const footColumn = all.some((meaning) => meaning.column?.name === "foot");
  // 'inner' and 'outer' alone are places only beside a column that names the foot
  const placed = all.filter((meaning) => meaning.foot !== null || meaning.claw === null || footColumn);
  const { kept, twins } = withoutTwins(placed);
  const names = new Set(kept.map(({ column }) => column?.name));
  const columns: readonly Column[] = kinds[kind].columns;
  const missing = columns
    .filter((column) => column.required && !names.has(column.name))
    .map(({ name }) => name);
  if (kind === "trial" && !names.has("pen") && !names.has("animal")) missing.push("pen");
  const { telling } = kindTraits[kind];
  const tells =
    telling.length === 0 ||
    telling.some((name) => names.has(name)) ||
    kept.some(({ column }) => column === null);
  return { kind, meanings: kept, twins, missing, tells };
}

/** A flock's own words for columns, by folded header. */
export function ownHeaderWords(columns: Readonly<Record<string, string>>): ReadonlyMap<string, string> {
  return new Map(Object.entries(columns).map(([header, target]) => [foldHeader(header), target.trim()]));
}

function meaningOfHeader(
  kind: KindId,
  header: string,
  index: number,
  own: ReadonlyMap<string, string>,
  inIsClaw: boolean,
): HeaderMeaning | null {
  if (header.trim() === "") return null;
  const ownWord = ownWordOf(header, own);
  if (ownWord !== null) return fromSettings(kind, header, index, ownWord);
  const base = { index, header, foot: null, claw: null, unitText: null };
  const plain = matchHeader(kind, header);
  if (plain !== null && !(plain.weak && wideKinds.has(kind) && plain.column.name === "claw")) {
    return { ...base, ...plain };
  }
  const wide = wideKinds.has(kind) ? matchWideHeader(kind, header, inIsClaw) : null;
  if (wide === null) return plain === null ? null : { ...base, ...plain };
  const { foot, claw, unitText, match } = wide;
  const found: HeaderMatch | null = match;
  if (found === null) {
    if (kind !== "trims") return null;
    return {
      ...base,
      column: null,
      foot,
      claw,
      unitText,
      sureness: "values",
      unit: null,
      unknownUnit: null,
      weak: false,
      other: null,
    };
  }
  return { ...base, ...found, foot, claw, sureness: "word", other: null };
}

/** `[columns]` may answer with a column, `kind.column`, a place and a column, or nothing to leave one out. */
function fromSettings(kind: KindId, header: string, index: number, own: OwnWord): HeaderMeaning | null {
  const dot = own.target.indexOf(".");
  const ofKind = dot > 0 && own.target.slice(0, dot) in kinds ? own.target.slice(0, dot) : null;
  if (ofKind !== null && ofKind !== kind) return null;
  const name = ofKind === null ? own.target : own.target.slice(dot + 1);
  const plain = matchHeader(kind, name);
  const wide = plain === null && wideKinds.has(kind) ? matchWideHeader(kind, name, true) : null;
  const match = plain ?? wide?.match ?? null;
  if (match === null) return null;
  return {
    index,
    header,
    column: match.column,
    foot: wide?.foot ?? null,
    claw: wide?.claw ?? null,
    sureness: "settings",
    // the column's own name says what it keeps, not in which unit this sheet has it
    unit: own.tail === null ? null : unitFor(match.column, own.tail),
    unknownUnit: null,
    unitText: null,
    weak: false,
    other: null,
  };
}

interface OwnWord {
  readonly target: string;
  /** What the header says beside the flock's own word, perhaps a unit. */
  readonly tail: string | null;
}

function ownWordOf(header: string, own: ReadonlyMap<string, string>): OwnWord | null {
  for (const { head, tail } of own.size === 0 ? [] : splitHeaderUnit(header)) {
    const target = own.get(head);
    if (target !== undefined) return { target, tail };
  }
  return null;
}

const rank: Readonly<Record<Sureness, number>> = { settings: 3, name: 2, word: 1, values: 0 };

function withoutTwins(meanings: readonly HeaderMeaning[]): {
  kept: HeaderMeaning[];
  twins: (readonly [HeaderMeaning, HeaderMeaning])[];
} {
  const best = new Map<string, HeaderMeaning>();
  const twins: (readonly [HeaderMeaning, HeaderMeaning])[] = [];
  for (const meaning of meanings) {
    const key = `${meaning.column?.name ?? ""}|${meaning.foot ?? ""}|${meaning.claw ?? ""}`;
    const before = best.get(key);
    if (before === undefined) {
      best.set(key, meaning);
      continue;
    }
    const strength = (one: HeaderMeaning): number => rank[one.sureness] * 2 + (one.weak ? 0 : 1);
    if (strength(meaning) === strength(before)) {
      twins.push([before, meaning]);
      continue;
    }
    const [better, worse] = strength(meaning) > strength(before) ? [meaning, before] : [before, meaning];
    best.set(key, better);
    // a word that yields to a plainer one may still mean its other column
    const otherKey = `${worse.other?.name ?? ""}||`;
    if (worse.other !== null && !best.has(otherKey)) {
      best.set(otherKey, { ...worse, column: worse.other, unit: null, other: null });
    }
  }
  const kept = [...best.values()].sort((a, b) => a.index - b.index);
  return { kept, twins: twins.filter(([one]) => kept.includes(one)) };
}
