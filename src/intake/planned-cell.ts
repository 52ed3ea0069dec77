import type { Column } from "../records/kind.ts";
import { type KindId, kinds } from "../records/kinds.ts";
import { type CellRead, isBlank, isRefused, taken } from "./cell-read.ts";
import { cellReader, type StoredCell } from "./cell-reader.ts";
import { fold } from "./fold.ts";
import { groupMark } from "./group-words.ts";
import type { ColumnSink, KindSink } from "./kind-sink.ts";
import { kindTraits } from "./kind-traits.ts";
import type { ReadContext } from "./read-context.ts";
import type { ColumnUnderstanding } from "./reading.ts";
import { remembering } from "./remembering.ts";

/** One cell of a record: where it stands in the row, or what it always is. */
export interface PlannedCell {
  readonly column: Column;
  /** The header as the sheet has it. */
  readonly header: string;
  /** Position in the row; -1 for a constant. */
  readonly index: number;
  readonly constant: StoredCell | null;
  /** Null for a blank cell. */
  readonly read: (text: string) => CellRead<StoredCell | null>;
  readonly sink: ColumnSink;
  /** Whether a bad cell loses only itself. */
  readonly alone: boolean;
}

/** A cell that is the same in every record, such as the foot that a header names. */
export function constantCell(kind: KindId, sink: KindSink, name: string, value: StoredCell): PlannedCell {
  const column = columnNamed(kind, name);
  return {
    column,
    header: name,
    index: -1,
    constant: value,
    read: () => taken(value),
    sink: sink.column(column),
    alone: false,
  };
}

/** A cell of a row, read as its column was understood; each distinct text is read once. */
export function plannedCell(
  kind: KindId,
  sink: KindSink,
  understood: ColumnUnderstanding,
  context: ReadContext,
): PlannedCell {
  const { meaning, unit, dayOrder, decimalMark, header, index } = understood;
  const column = columnNamed(kind, meaning!.column);
  const { knownAnimals, serialShift, withoutLengths } = context;
  const plain = cellReader({
    column,
    unit,
    dayOrder,
    decimalMark,
    knownAnimals,
    wholeAnimal: kind === "treatments" || kind === "gaits" || (kind === "trims" && withoutLengths),
    serialShift,
  });
  const read = column.name === "animal" ? withGroups(plain, kind, context) : plain;
  return {
    column,
    header,
    index,
    constant: null,
    read:
      column.type === "text"
        ? orBlank(read)
        : remembering(orBlank(withOwnWords(read, column.name, header, context), column.type === "tag")),
    sink: sink.column(column),
    alone: kindTraits[kind].cellsAlone && column.required !== true,
  };
}

/** A tag may be any word, `NA` too; every other cell is blank with one of the marks for 'no value'. */
function orBlank(
  read: (text: string) => CellRead<StoredCell>,
  isTag = false,
): (text: string) => CellRead<StoredCell | null> {
  return (text) => ((isTag ? /^[\s\-–—]*$/.test(text) : isBlank(text)) ? taken(null) : read(text));
}

/** Rows that name a group are passed on with a mark: how many were present is only known beside the other sheets. */
function withGroups(
  read: (text: string) => CellRead<StoredCell>,
  kind: KindId,
  { isGroup }: ReadContext,
): (text: string) => CellRead<StoredCell> {
  if (kind === "animals" || kind === "tags") return read;
  return (text) => (isGroup(text) ? taken([`${groupMark}${text.trim()}`]) : read(text));
}

/** A flock's own words for values (`[values.column]`), put in place before a cell is read. */
function withOwnWords(
  read: (text: string) => CellRead<StoredCell>,
  name: string,
  header: string,
  { settings }: ReadContext,
): (text: string) => CellRead<StoredCell> {
  const own = { ...settings.values[header.trim()], ...settings.values[name] };
  const words = new Map<string, string>();
  for (const [word, value] of Object.entries(own)) {
    for (const form of [word, fold(word)]) if (form !== "") words.set(form, value);
  }
  if (words.size === 0) return read;
  return (text) => {
    const value = words.get(text.trim()) ?? words.get(fold(text));
    const asOwn = value === undefined ? null : read(value);
    return asOwn === null || isRefused(asOwn) ? read(text) : asOwn;
  };
}

function columnNamed(kind: KindId, name: string): Column {
  return kinds[kind].columns.find((column) => column.name === name)!;
}
