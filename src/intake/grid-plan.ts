import { code } from "../records/codes.ts";
import { columnOf } from "../records/kinds.ts";
import { isRefused, refused, taken } from "./cell-read.ts";
import type { StoredCell } from "./cell-reader.ts";
import { KindSink } from "./kind-sink.ts";
import { kindTraits } from "./kind-traits.ts";
import { constantCell, type PlannedCell, plannedCell } from "./planned-cell.ts";
import type { ReadContext } from "./read-context.ts";
import { readDay } from "./read-day.ts";
import type { ColumnUnderstanding, TableUnderstanding } from "./reading.ts";
import type { PlannedRecord, RecordPlan } from "./record-plan.ts";
import { remembering } from "./remembering.ts";
import { valueAndRemark } from "./value-and-remark.ts";

/** Plans one record for every cell under a date (or a tag) of a grid. */
export function planGrid(understanding: TableUnderstanding, context: ReadContext): RecordPlan {
  const kind = understanding.kinds[0]!;
  const columns = understanding.columns.filter(({ meaning }) => meaning !== null);
  const cells = columns.filter(({ sureness }) => sureness === "values");
  const beside = columns.filter((column) => !cells.includes(column) && column.meaning!.column !== "flock");
  const flockAt = columns.find(({ meaning }) => meaning!.column === "flock")?.index ?? -1;
  const across = beside.some(({ meaning }) => meaning!.column === "animal") ? "date" : "animal";
  const sink = new KindSink(kind, flockAt >= 0);
  const plan = (column: ColumnUnderstanding): PlannedCell => plannedCell(kind, sink, column, context);
  const records = cells.map(
    (cell): PlannedRecord => ({
      kind,
      sink,
      cells: [
        // a cell that is itself a day needs none from its header
        ...(cell.meaning!.column === "date" ? [] : [headerCell(cell, across)]),
        ...beside.map(plan),
        ...valueCells(cell, plan),
      ],
      telling: [cell.index],
      tellingAlone: [cell.index],
      flockAt,
      silentHeader: cell.header,
      scale: cell.unit,
      given: "if_told",
      bareCounts: false,
    }),
  );
  return { records, sinks: [sink], silent: null };

  function headerCell(
    { header, dayText, dayOrder }: ColumnUnderstanding,
    name: "date" | "animal",
  ): PlannedCell {
    if (name === "animal") return constantCell(kind, sink, "animal", [header.trim()]);
    const day = readDay(dayText ?? header, dayOrder);
    const constant = constantCell(kind, sink, "date", [isRefused(day) ? null : day.value]);
    // a date across that reads no way loses every cell beneath it
    return isRefused(day) ? { ...constant, header, index: 0, constant: null, read: () => day } : constant;
  }

  function valueCells(
    cell: ColumnUnderstanding,
    plan: (column: ColumnUnderstanding) => PlannedCell,
  ): PlannedCell[] {
    const value = plan(cell);
    if (value.column.name === "note" || value.column.name === "date" || value.column.type === "lesions")
      return [value];
    const note = columnOf(kind, "note");
    return [
      { ...value, read: remembering((text) => valueBefore(text, value)) },
      {
        ...value,
        column: note,
        sink: sink.column(note),
        alone: true,
        read: remembering((text) => taken(remarkBehind(text, value))),
      },
    ];
  }
}

/** `x limping`, `32 mm, limping`: the mark or measure counts, the words behind it are a remark. */
function valueBefore(text: string, value: PlannedCell): ReturnType<PlannedCell["read"]> {
  const whole = value.read(text);
  if (!isRefused(whole)) return whole;
  const parted = valueAndRemark(text);
  const alone = parted === null ? null : value.read(parted.value);
  if (alone !== null && !isRefused(alone)) return alone;
  return /\d/.test(text) ? whole : refused(code("remark_alone"));
}

function remarkBehind(text: string, value: PlannedCell): StoredCell | null {
  if (!isRefused(value.read(text))) return null;
  const parted = valueAndRemark(text);
  return parted === null || isRefused(value.read(parted.value)) ? null : [parted.remark];
}

/** Columns whose cells may hold remarks: notes, and the cells of a grid. */
export function remarkColumns({ columns, layout }: TableUnderstanding): number[] {
  return columns
    .filter(
      ({ meaning, sureness }) =>
        meaning !== null &&
        (meaning.column === "note" ||
          (layout === "grid" && sureness === "values" && kindTraits[meaning.kind].records.length > 0)),
    )
    .filter(({ meaning }) => meaning!.column !== "lesion")
    .map(({ index }) => index);
}

/** Columns that are data, but where a sign of notifiable disease may be written all the same. */
export function signColumns({ columns }: TableUnderstanding): number[] {
  return columns
    .filter(({ meaning }) => meaning !== null && WRITTEN_OUT.has(meaning.column))
    .map(({ index }) => index);
}

const WRITTEN_OUT: ReadonlySet<string> = new Set(["lesion", "severity", "treatment", "reason"]);
