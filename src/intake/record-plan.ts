import { flock } from "../records/columns.ts";
import type { DayNumber } from "../records/days.ts";
import { type KindId, kinds } from "../records/kinds.ts";
import { KindSink } from "./kind-sink.ts";
import { kindTraits } from "./kind-traits.ts";
import { constantCell, type PlannedCell, plannedCell } from "./planned-cell.ts";
import type { ReadContext } from "./read-context.ts";
import type { ColumnUnderstanding, TableUnderstanding } from "./reading.ts";

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
  /** As which record a filled row that gives no other is set aside; null where such a row is none. */
  readonly silent: PlannedRecord | null;
}

/** Plans which records a row of the sheet gives, for every layout but the grid. */
export function planRecords(understanding: TableUnderstanding, context: ReadContext): RecordPlan {
  const columns = understanding.columns.filter(({ meaning }) => meaning !== null);
  const flockAt = columns.find(({ meaning }) => meaning!.column === flock.name)?.index ?? -1;
  const planned = understanding.kinds.map((kind, rank) => {
    const sink = new KindSink(kind, flockAt >= 0);
    const { animal, kinds, day = null } = understanding;
    const sheet = { kind, sink, columns, flockAt, animal, day, alone: kinds.length === 1, context };
    return { sink, records: planKind(sheet, rank === 0) };
  });
  return {
    records: planned.flatMap(({ records }) => records),
    sinks: planned.map(({ sink }) => sink),
    silent: planned[0]?.records.at(-1) ?? null,
  };
}

/** One kind of record of a sheet, and the columns it can draw on. */
interface KindOfSheet {
  readonly kind: KindId;
  readonly sink: KindSink;
  readonly columns: readonly ColumnUnderstanding[];
  readonly flockAt: number;
  /** The animal that the whole worksheet is about. */
  readonly animal: string | null;
  /** The day that the title gives the whole worksheet. */
  readonly day: DayNumber | null;
  /** Whether the sheet gives no other kind. */
  readonly alone: boolean;
  readonly context: ReadContext;
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

function planKind(sheet: KindOfSheet, isMain: boolean): PlannedRecord[] {
  const { kind } = sheet;
  const own = sheet.columns.filter(({ meaning }) => meaning!.kind === kind);
  const ofRow = [...own.filter(isOfRow), ...(isMain ? [] : companions(sheet, own))];
  const places = distinctPlaces(own);
  const { records } = kindTraits[kind];
  // beside scores or findings, or with a mark for each foot, an unmarked row says nothing of a trim
  const marked = own.some(
    (column) => column.meaning!.column === "trimmed" && !(sheet.alone && isOfRow(column)),
  );
  const base = planRecord(sheet, ofRow, null, null, {
    telling: ofRow.filter(({ meaning }) => records.includes(meaning!.column)),
    given: places.length > 0 ? "if_told_or_alone" : isMain && !marked ? "always" : "if_told",
    bareCounts:
      isMain && (records.length === 0 || (kind === "trims" && sheet.context.withoutLengths && !marked)),
  });
  if (places.length === 0) return [base];
  const shared = ofRow.filter(({ meaning }) => rowColumns.has(meaning!.column));
  const placed = places.map(({ foot, claw }) => {
    const here = own.filter(({ meaning }) => meaning!.foot === foot && meaning!.claw === claw);
    const beside = shared.filter(({ meaning }) => {
      const { column } = meaning!;
      return !(column === "foot" && foot !== null) && !(column === "claw" && claw !== null);
    });
    const how = { telling: here, given: "if_told", bareCounts: false } as const;
    return planRecord(sheet, [...beside, ...here], foot, claw, how);
  });
  // marks of the row, such as `trimmed`, are told by the claws; the row tells them only when it stands alone
  const telling = base.telling.filter((at) => !shared.some(({ index }) => index === at));
  return isMain ? [...placed, { ...base, telling }] : placed;
}

function isOfRow({ meaning }: ColumnUnderstanding): boolean {
  return meaning!.foot === null && meaning!.claw === null;
}

/** Columns of the main kind that another kind on the same sheet shares. */
function companions(
  { kind, columns }: KindOfSheet,
  own: readonly ColumnUnderstanding[],
): ColumnUnderstanding[] {
  const given = new Set(own.map(({ meaning }) => meaning!.column));
  const has = new Set<string>(kinds[kind].columns.map(({ name }) => name));
  return columns.filter((one) => {
    const { column } = one.meaning!;
    if (one.meaning!.kind === kind || !isOfRow(one) || given.has(column) || !has.has(column)) return false;
    // a gait score beside a claw's measures is the animal's, not the claw's
    return companionColumns.has(column) && !(kind === "gaits" && column === "foot");
  });
}

function planRecord(
  { kind, sink, columns: all, flockAt, animal, day, context }: KindOfSheet,
  columns: readonly ColumnUnderstanding[],
  foot: string | null,
  claw: string | null,
  how: {
    readonly telling: readonly ColumnUnderstanding[];
    readonly given: PlannedRecord["given"];
    readonly bareCounts: boolean;
  },
): PlannedRecord {
  const constants: (readonly [string, string | number])[] = [];
  if (foot !== null) constants.push(["foot", foot]);
  if (claw !== null && kinds[kind].columns.some(({ name }) => name === "claw"))
    constants.push(["claw", claw]);
  if (animal !== null && !columns.some(({ meaning }) => meaning!.column === "animal")) {
    constants.push(["animal", animal]);
  }
  if (day !== null && !columns.some(({ meaning }) => meaning!.column === "date"))
    constants.push(["date", day]);
  const { records } = kindTraits[kind];
  const recording = all.find(({ meaning }) => meaning!.kind === kind && records.includes(meaning!.column));
  return {
    kind,
    sink,
    cells: [
      ...constants.map(([name, value]) => constantCell(kind, sink, name, [value])),
      ...columns
        .filter(({ meaning }) => meaning!.column !== flock.name)
        .map((column) => plannedCell(kind, sink, column, context)),
    ],
    telling: how.telling.map(({ index }) => index),
    tellingAlone: how.telling.map(({ index }) => index),
    flockAt,
    silentHeader: recording?.header ?? "",
    scale: columns.find(({ meaning }) => meaning!.column === "gait")?.unit ?? null,
    given: how.given,
    bareCounts: how.bareCounts,
  };
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
