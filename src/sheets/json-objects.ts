import { afterSpace, cellText, forEachElement, forEachMember } from "./json-scanner.ts";
import type { NoteList } from "./note-list.ts";
import { SheetFailure } from "./sheet-failure.ts";
import { sheetLimits } from "./sheet-limits.ts";
import type { TroubleList } from "./trouble-list.ts";

/**
 * The columns of a table of objects, in order of first appearance. A member of an object inside an object
 * has a column of its own (`sides LF`), and so has a member of the objects that a list in an object holds.
 */
export interface JsonColumns {
  readonly ofObjects: Member;
  readonly ofLists: Member;
  readonly columns: JsonColumn[];
}

interface JsonColumn {
  readonly path: Path;
  /** The list whose objects have this member; null for a member of the row's own object. */
  readonly list: Path | null;
}

/** The keys that lead to a value. */
type Path = readonly string[];

/** A place in the tree of keys; `column` is null until a value there makes a cell. */
interface Member {
  readonly path: Path;
  readonly members: Map<string, Member>;
  column: number | null;
}

export function noJsonColumns(): JsonColumns {
  return { ofObjects: memberAt([]), ofLists: memberAt([]), columns: [] };
}

/** The header of each column; a member of a list's objects bears the list's name only where it must. */
export function jsonHeaders({ columns }: JsonColumns): string[] {
  const own = new Set(columns.filter(({ list }) => list === null).map(({ path }) => path.join(" ")));
  return columns.map(({ path, list }) => {
    const name = path.join(" ");
    return list !== null && own.has(name) ? [...list, name].join(" ") : name;
  });
}

/**
 * Adds the columns of the object at `start` that are new, tells what is odd about it, and gives how many rows
 * the object takes. Throws SheetFailure (`row_too_wide`, `broken_json`).
 */
export function lookThroughObject(
  text: string,
  start: number,
  columns: JsonColumns,
  place: { readonly row: number; readonly worksheet?: string },
  notes: NoteList,
  troubles: TroubleList,
): number {
  const reading = { text, columns, repeated: [], asWritten: [] };
  let rows = 0;
  for (const _ of rowsRead(reading, start)) rows++;
  for (const key of reading.repeated) notes.add("repeated_key", { row: place.row, detail: key });
  for (const name of new Set(reading.asWritten)) troubles.add("nested_values", name, place);
  return rows;
}

/**
 * The rows that the object at `start` gives: one, or, where one of its members is a list of objects, one for
 * each of these with the object's other cells beside it. Lists of plain values are joined by `; `; what is
 * empty gives no column. Values that make no cell (two lists of objects side by side, lists in lists, objects
 * too deep) stand in theirs as they are written.
 */
export function objectRows(text: string, start: number, columns: JsonColumns): Generator<string[]> {
  return rowsRead({ text, columns, repeated: [], asWritten: [] }, start);
}

interface Reading {
  readonly text: string;
  readonly columns: JsonColumns;
  /** Keys that an object names twice; the last value counts. */
  readonly repeated: string[];
  /** Names of members whose values stand as they are written. */
  readonly asWritten: string[];
}

interface OpenRow {
  readonly cells: string[];
  /** The list whose object is read; null for the row's own object. */
  readonly list: Path | null;
  /** Lists of objects that were met. */
  readonly lists: Value[];
}

interface Value {
  readonly member: Member;
  readonly from: number;
  readonly to: number;
}

/** How many keys may lead to a cell. */
const deepestMember = 4;

function* rowsRead(reading: Reading, start: number): Generator<string[]> {
  const row: OpenRow = { cells: [], list: null, lists: [] };
  fillRow(reading, start, reading.columns.ofObjects, row);
  const [list] = row.lists;
  if (list === undefined || row.lists.length > 1) {
    for (const one of row.lists) putAsWritten(reading, one, row);
    yield row.cells;
    return;
  }
  for (const { from } of elements(reading.text, list.from)) {
    const one: OpenRow = { cells: [...row.cells], list: list.member.path, lists: [] };
    fillRow(reading, from, reading.columns.ofLists, one);
    for (const inside of one.lists) putAsWritten(reading, inside, one);
    yield one.cells;
  }
}

function fillRow(reading: Reading, start: number, parent: Member, row: OpenRow): void {
  const { text } = reading;
  for (const value of valuesOf(reading, start, parent)) {
    const { member, from, to } = value;
    const kind = kindOfValue(text, from);
    if (kind === "plain") put(reading, member, cellText(text, from, to), row);
    else if (kind === "plain values") put(reading, member, joined(text, from), row);
    else if (kind === "objects") row.lists.push(value);
    else if (kind === "object" && member.path.length < deepestMember) fillRow(reading, from, member, row);
    else if (kind !== "empty") putAsWritten(reading, value, row);
  }
}

function put({ columns }: Reading, member: Member, cell: string, { cells, list }: OpenRow): void {
  if (member.column === null) {
    if (columns.columns.length >= sheetLimits.columns)
      throw new SheetFailure("row_too_wide", String(sheetLimits.columns));
    member.column = columns.columns.push({ path: member.path, list }) - 1;
  }
  while (cells.length <= member.column) cells.push("");
  cells[member.column] = cell;
}

function putAsWritten(reading: Reading, { member, from, to }: Value, row: OpenRow): void {
  put(reading, member, reading.text.slice(from, to), row);
  reading.asWritten.push(member.path.join(" "));
}

function memberAt(path: Path): Member {
  return { path, members: new Map(), column: null };
}

function valuesOf({ text, repeated }: Reading, start: number, parent: Member): Iterable<Value> {
  const values = new Map<string, Value>();
  forEachMember(text, start, (key, from, to) => {
    if (values.has(key)) repeated.push(key);
    let member = parent.members.get(key);
    if (member === undefined) {
      member = memberAt([...parent.path, key]);
      parent.members.set(key, member);
    }
    values.set(key, { member, from, to });
  });
  return values.values();
}

type ValueKind = "plain" | "object" | "plain values" | "objects" | "empty" | "mixed";

function kindOfValue(text: string, from: number): ValueKind {
  if (text[from] === "{") return text[afterSpace(text, from + 1)] === "}" ? "empty" : "object";
  if (text[from] !== "[") return "plain";
  const inside = new Set(elements(text, from).map((one) => kindByOpening(text[one.from])));
  if (inside.size === 0) return "empty";
  return inside.size === 1 ? [...inside][0]! : "mixed";
}

function kindByOpening(character: string | undefined): ValueKind {
  if (character === "{") return "objects";
  return character === "[" ? "mixed" : "plain values";
}

function elements(text: string, start: number): readonly { readonly from: number; readonly to: number }[] {
  const found: { from: number; to: number }[] = [];
  forEachElement(text, start, (from, to) => found.push({ from, to }));
  return found;
}

/** The plain values of a list as one cell, written as a sheet lists several. */
function joined(text: string, start: number): string {
  return elements(text, start)
    .map(({ from, to }) => cellText(text, from, to))
    .filter((cell) => cell !== "")
    .join("; ");
}
