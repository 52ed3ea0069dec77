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
      cells: [headerCell(cell, across), ...beside.map(plan), ...valueCells(cell, plan)],
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

  function headerCell({ header, dayOrder }: ColumnUnderstanding, name: "date" | "animal"): PlannedCell {
    if (name === "animal") return constantCell(kind, sink, "animal", [header.trim()]);
    const day = readDay(header, dayOrder);
    const constant = constantCell(kind, sink, "date", [isRefused(day) ? null : day.value]);
    // a date across that reads no way loses every cell beneath it
    return isRefused(day) ? { ...constant, header, index: 0, constant: null, read: () => day } : constant;
  }

  function valueCells(
    cell: ColumnUnderstanding,
    plan: (column: ColumnUnderstanding) => PlannedCell,
  ): PlannedCell[] {
    const value = plan(cell);
    if (cell.meaning!.column !== "trimmed") return [value];
    const note = columnOf("trims", "note");
    return [
      { ...value, read: (text) => markBefore(text, value) },
      {
        ...value,
        column: note,
        sink: sink.column(note),
        alone: true,
        read: (text) => taken(remarkBehind(text, value)),
      },
    ];
  }
}

/** `x limping`: the mark counts, the words behind it are a remark. */
function markBefore(text: string, value: PlannedCell): ReturnType<PlannedCell["read"]> {
  const whole = value.read(text);
  if (!isRefused(whole)) return whole;
  const mark = markAndRemark.exec(text.trim());
  const alone = mark === null ? null : value.read(mark[1]!);
  return alone === null || isRefused(alone) ? refused(whole.trouble) : alone;
}

function remarkBehind(text: string, value: PlannedCell): StoredCell | null {
  if (!isRefused(value.read(text))) return null;
  const mark = markAndRemark.exec(text.trim());
  return mark === null ? null : [mark[2]!.trim()];
}

const markAndRemark = /^(x|✓|✔|y|yes|n|no|s|si|sí)[\s,;:.\-–]+(.+)$/isu;

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
