import { code } from "../records/codes.ts";
import { flock } from "../records/columns.ts";
import type { ClawId, FootId } from "../records/feet.ts";
import type { Column } from "../records/kind.ts";
import { type KindId, kinds } from "../records/kinds.ts";
import { type CellRead, isBlank, isRefused, refused, taken } from "./cell-read.ts";
import { cellReader, type StoredCell } from "./cell-reader.ts";
import { fold } from "./fold.ts";
import { type GroupTest, groupMark } from "./group-words.ts";
import { type ColumnSink, KindSink } from "./kind-sink.ts";
import { kindTraits, lengthColumns } from "./kind-traits.ts";
import type { ColumnUnderstanding, TableUnderstanding } from "./reading.ts";
import { remembering } from "./remembering.ts";
import type { UnderstandContext } from "./understand-context.ts";

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

/** One record that every row may give. */
export interface PlannedRecord {
  readonly kind: KindId;
  readonly sink: KindSink;
  readonly cells: readonly PlannedCell[];
  /** Positions of the cells of which one must be filled for the record to say anything. */
  readonly telling: readonly number[];
  /** The same where the record stands for the whole row of a wide sheet. */
  readonly tellingAlone: readonly number[];
  readonly flockAt: number;
  /** Header of the first column that could have recorded something; empty where the sheet has none. */
  readonly silentHeader: string;
  /** The gait scale of the sheet, where it has one. */
  readonly scale: string | null;
  /**
   * `always`: the row is such a record, and says so if it records nothing; `if_told`: only where a telling
   * cell is filled; `if_told_or_alone`: as the first where no other record of the kind came of the row.
   */
  readonly given: "always" | "if_told" | "if_told_or_alone";
  /** Whether a row without a filled telling cell still is a record. */
  readonly bareCounts: boolean;
}

export interface RecordPlan {
  readonly records: readonly PlannedRecord[];
  readonly sinks: readonly KindSink[];
  /** A trims sheet without any column for a length: its rows are trim dates. */
  readonly withoutLengths: boolean;
}

/** Plans which records a row of the sheet gives, for every layout but the grid. */
export function planRecords(
  understanding: TableUnderstanding,
  context: UnderstandContext,
  isGroup: GroupTest,
): RecordPlan {
  const columns = understanding.columns.filter(({ meaning }) => meaning !== null);
  const flockAt = columns.find(({ meaning }) => meaning!.column === flock.name)?.index ?? -1;
  const withoutLengths = !columns.some(
    ({ meaning }) => meaning!.kind === "trims" && lengthColumns.includes(meaning!.column),
  );
  const sinks: KindSink[] = [];
  const records = understanding.kinds.flatMap((kind, rank) => {
    const sink = new KindSink(kind, flockAt >= 0);
    sinks.push(sink);
    const planner = new KindPlanner(kind, sink, understanding, columns, flockAt, context, isGroup);
    return planner.plan(rank === 0, withoutLengths);
  });
  return { records, sinks, withoutLengths };
}

/** Columns that say something of the whole row, also where a foot or claw stands in other headers. */
const rowColumns = new Set([
  "animal",
  "date",
  "foot",
  "claw",
  "pen",
  "note",
  "trimmer",
  "measurer",
  "repeat",
  "trimmed",
  "stage",
  "scorer",
  "examiner",
  "gait_scale",
  "for_cause",
  "status",
  "product",
  "batch",
  "reason",
  "prescribed_by",
  "withdrawal_milk_until",
  "withdrawal_meat_until",
  "withdrawal_until",
]);

/** Columns of the main kind that its companions on the same sheet share. */
const companionColumns = new Set(["animal", "date", "pen", "foot", "claw"]);

class KindPlanner {
  readonly #kind: KindId;
  readonly #sink: KindSink;
  readonly #understanding: TableUnderstanding;
  readonly #columns: readonly ColumnUnderstanding[];
  readonly #flockAt: number;
  readonly #context: UnderstandContext;
  readonly #isGroup: GroupTest;

  constructor(
    kind: KindId,
    sink: KindSink,
    understanding: TableUnderstanding,
    columns: readonly ColumnUnderstanding[],
    flockAt: number,
    context: UnderstandContext,
    isGroup: GroupTest,
  ) {
    this.#isGroup = isGroup;
    this.#kind = kind;
    this.#sink = sink;
    this.#understanding = understanding;
    this.#columns = columns;
    this.#flockAt = flockAt;
    this.#context = context;
  }

  plan(isMain: boolean, withoutLengths: boolean): PlannedRecord[] {
    const own = this.#columns.filter(({ meaning }) => meaning!.kind === this.#kind);
    const ofRow = [
      ...own.filter(({ meaning }) => meaning!.foot === null && meaning!.claw === null),
      ...(isMain ? [] : this.#companions(own)),
    ];
    const places = distinctPlaces(own);
    const bareCounts = isMain && this.#kind === "trims" && withoutLengths;
    const { records } = kindTraits[this.#kind];
    const base = this.#record(ofRow, null, null, {
      telling: ofRow.filter(({ meaning }) => records.includes(meaning!.column)),
      given: places.length > 0 ? "if_told_or_alone" : isMain ? "always" : "if_told",
      bareCounts: bareCounts || (isMain && records.length === 0),
    });
    if (places.length === 0) return [base];
    const shared = ofRow.filter(({ meaning }) => rowColumns.has(meaning!.column));
    const placed = places.map(({ foot, claw }) => {
      const here = own.filter(({ meaning }) => meaning!.foot === foot && meaning!.claw === claw);
      const beside = shared.filter(({ meaning }) => {
        const { column } = meaning!;
        return !(column === "foot" && foot !== null) && !(column === "claw" && claw !== null);
      });
      return this.#record([...beside, ...here], foot, claw, {
        telling: here,
        given: "if_told",
        bareCounts: false,
      });
    });
    // marks of the row, such as `trimmed`, are told by the claws; the row tells them only when it stands alone
    const alone = {
      ...base,
      telling: base.telling.filter((at) => !shared.some(({ index }) => index === at)),
    };
    return isMain ? [...placed, alone] : placed;
  }

  #companions(own: readonly ColumnUnderstanding[]): ColumnUnderstanding[] {
    const given = new Set(own.map(({ meaning }) => meaning!.column));
    const has = new Set<string>(kinds[this.#kind].columns.map(({ name }) => name));
    return this.#columns.filter(({ meaning }) => {
      const { kind, column, foot, claw } = meaning!;
      if (kind === this.#kind || foot !== null || claw !== null || given.has(column) || !has.has(column))
        return false;
      // a gait score beside a claw's measures is the animal's, not the claw's
      return companionColumns.has(column) && !(this.#kind === "gaits" && column === "foot");
    });
  }

  #record(
    columns: readonly ColumnUnderstanding[],
    foot: FootId | string | null,
    claw: ClawId | string | null,
    how: {
      readonly telling: readonly ColumnUnderstanding[];
      readonly given: PlannedRecord["given"];
      readonly bareCounts: boolean;
    },
  ): PlannedRecord {
    const constants: (readonly [string, string])[] = [];
    if (foot !== null) constants.push(["foot", foot]);
    if (claw !== null && this.#has("claw")) constants.push(["claw", claw]);
    const { animal } = this.#understanding;
    if (animal !== null && !columns.some(({ meaning }) => meaning!.column === "animal")) {
      constants.push(["animal", animal]);
    }
    return {
      kind: this.#kind,
      sink: this.#sink,
      cells: [
        ...constants.map(([name, value]) => constantCell(this.#kind, this.#sink, name, [value])),
        ...columns
          .filter(({ meaning }) => meaning!.column !== flock.name)
          .map((column) => plannedCell(this.#kind, this.#sink, column, this.#context, this.#isGroup)),
      ],
      telling: how.telling.map(({ index }) => index),
      tellingAlone: how.telling.map(({ index }) => index),
      flockAt: this.#flockAt,
      silentHeader: this.#silentHeader(),
      scale: columns.find(({ meaning }) => meaning!.column === "gait")?.unit ?? null,
      given: how.given,
      bareCounts: how.bareCounts,
    };
  }

  #silentHeader(): string {
    const { records } = kindTraits[this.#kind];
    const first = this.#columns.find(
      ({ meaning }) => meaning!.kind === this.#kind && records.includes(meaning!.column),
    );
    return first?.header ?? "";
  }

  #has(name: string): boolean {
    return kinds[this.#kind].columns.some((column) => column.name === name);
  }
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
  context: UnderstandContext,
  isGroup: GroupTest,
): PlannedCell {
  const { meaning, unit, dayOrder, decimalMark, header, index } = understood;
  const column = columnNamed(kind, meaning!.column);
  const plain = cellReader({ column, unit, dayOrder, decimalMark, knownAnimals: context.knownAnimals });
  const read = column.name === "animal" ? withGroups(plain, kind, isGroup, context) : plain;
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

/** Rows that name a group are set aside, or passed on with a mark where the settings expand trim dates. */
function withGroups(
  read: (text: string) => CellRead<StoredCell>,
  kind: KindId,
  isGroup: GroupTest,
  { settings }: UnderstandContext,
): (text: string) => CellRead<StoredCell> {
  if (kind === "animals" || kind === "tags") return read;
  return (text) => {
    if (!isGroup(text)) return read(text);
    return settings.expand_groups && kind === "trims"
      ? taken([`${groupMark}${text.trim()}`])
      : refused(code("group_of_animals", "?"));
  };
}

/** A flock's own words for values (`[values.column]`), put in place before a cell is read. */
function withOwnWords(
  read: (text: string) => CellRead<StoredCell>,
  name: string,
  header: string,
  { settings }: UnderstandContext,
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

function distinctPlaces(
  columns: readonly ColumnUnderstanding[],
): { readonly foot: string | null; readonly claw: string | null }[] {
  const places = new Map<string, { foot: string | null; claw: string | null }>();
  for (const { meaning } of columns) {
    const { foot, claw } = meaning!;
    if (foot !== null || claw !== null) places.set(`${foot}|${claw}`, { foot, claw });
  }
  return [...places.values()];
}
